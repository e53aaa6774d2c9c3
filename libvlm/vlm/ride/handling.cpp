#include <vlm/ride/handling.hpp>

#include <algorithm>
#include <array>
#include <cmath>

#include <vlm/base/error.hpp>
#include <vlm/base/gravity.hpp>
#include <vlm/force/added_mass.hpp>
#include <vlm/force/alpha_rate.hpp>
#include <vlm/force/drag_breakdown.hpp>
#include <vlm/force/lattice_loads.hpp>
#include <vlm/force/polar_point.hpp>
#include <vlm/force/responses.hpp>
#include <vlm/ride/trim.hpp>
#include <vlm/shape/outline.hpp>

namespace vlm {
namespace {

// Loads here are about some point, or derivatives of such.

// A load about another point.
Load moved(const Load& load, const Vec3& from, const Vec3& to) {
  return {load.force, load.moment + cross(from - to, load.force)};
}

// Other drag along a direction, about the origin.
Load other_load(const OtherDrag& sum, const Vec3& along) {
  return {sum.drag * along, cross(Vec3{sum.drag_by_x, 0, sum.drag_by_z}, along)};
}

OtherDrag difference_quotient(const OtherDrag& a, const OtherDrag& b, double step) {
  return {(a.drag - b.drag) / step, (a.drag_by_x - b.drag_by_x) / step, (a.drag_by_z - b.drag_by_z) / step};
}

// A craft at one depth, in a stream of the speed and angle of a riding point. The responses are for all
// motions, and must live as long.
class FlowPast {
public:
  FlowPast(const Craft& craft, const Responses& responses, const DragChoice& choice,
           const std::optional<FuselageFigures>& body, double speed, double alpha,
           std::span<const double> turns = {})
      : responses_(responses), speed_(speed), condition_{alpha}, axes_(stream_axes(condition_)),
        turns_(turns), amplitudes_(amplitudes(responses_, condition_, turns_)) {
    const auto items = [&](double at_speed, double at_alpha) {
      return drag_breakdown(craft, responses_.system.lattice(), body, choice,
                            polar_point(responses_, {at_alpha}, turns_), at_speed)
          .items;
    };
    // Smooth in both, or as smooth as a drag table is.
    constexpr double step = 1e-4;
    const auto here = items(speed_, alpha), faster = items(speed_ * (1 + step), alpha),
               slower = items(speed_ * (1 - step), alpha), steeper = items(speed_, alpha + step),
               flatter = items(speed_, alpha - step);
    const auto drag_of = [&](auto sum) {
      return StreamDrag{sum(here), difference_quotient(sum(faster), sum(slower), 2 * step * speed_),
                        difference_quotient(sum(steeper), sum(flatter), 2 * step)};
    };
    other_ = drag_of([](const std::vector<DragItem>& all) { return other_drag(all); });
    without_waves_ = drag_of([](std::vector<DragItem> all) {
      std::erase_if(all, [](const DragItem& item) { return item.cause == waves_beyond_image; });
      return other_drag(all);
    });
  }

  const Responses& responses() const { return responses_; }
  const Condition& condition() const { return condition_; }
  Balance at() const { return balance(responses_, condition_, turns_); }
  const StreamAxes& axes() const { return axes_; }
  double speed() const { return speed_; }
  double chord() const { return responses_.reference.chord; }

  // Loads about the origin: of circulation alone; all.
  Load circulation() const { return 0.5 * flow_slope(speed_, amplitudes_); }
  Load loads() const { return circulation() + other_load(other_.drag, axes_.drag); }

  // Derivatives about the origin, in axes that stay with the craft: with the speed; with angle of attack.
  Load by_speed() const { return flow_slope(1, amplitudes_) + slope(other_, 1, 0); }
  Load by_alpha() const {
    return flow_slope(speed_, amplitude_slopes(responses_, condition_, Variable::alpha, turns_)) +
           slope(other_, 0, 1);
  }

  // With sideslip; the drag turns with the stream.
  Load by_beta() const {
    return flow_slope(speed_, amplitude_slopes(responses_, condition_, Variable::beta, turns_)) +
           other_load(other_.drag, {0, -1, 0});
  }

  // With a turn [rad/s] about a body axis through a point, which itself goes straight on.
  Load by_roll_rate(const Vec3& about) const { return flow_slope(1, turning({1, 0, 0}, about)); }
  Load by_pitch_rate(const Vec3& about) const {
    const OtherDrag& drag = without_waves_.drag;
    const Vec3 place = (drag.drag > 0 ? 1 / drag.drag : 0) * Vec3{drag.drag_by_x, 0, drag.drag_by_z};
    const Vec3 stream = -cross({0, 1, 0}, place - about); // that it meets besides
    return flow_slope(1, turning({0, 1, 0}, about)) +
           slope(without_waves_, dot(stream, axes_.drag), dot(stream, axes_.lift) / speed_);
  }

private:
  // Derivative of the loads of circulation, about the origin, along a direction of amplitudes [m/s].
  Load flow_slope(double factor, std::span<const double> direction) const {
    const SurfaceForms& craft = responses_.craft;
    const auto along = [&](const std::array<Matrix, 3>& forms) {
      const double scale = speed_ * factor;
      return scale * Vec3{derivative(forms[0], amplitudes_, direction),
                          derivative(forms[1], amplitudes_, direction),
                          derivative(forms[2], amplitudes_, direction)};
    };
    return moved({along(craft.force), along(craft.moment)}, responses_.moment_point, {});
  }

  // Drag other than induced, and its derivatives with the speed [m/s] and the angle [rad] of the stream.
  struct StreamDrag {
    OtherDrag drag, by_speed, by_alpha;
  };

  // Of that in a stream that is faster [m/s] and comes more from below [rad].
  Load slope(const StreamDrag& of, double faster, double steeper) const {
    return faster * other_load(of.by_speed, axes_.drag) +
           steeper * (other_load(of.by_alpha, axes_.drag) + other_load(of.drag, axes_.lift));
  }

  // Amplitudes of turning at 1 rad/s: about the moment point, and the stream that it moves through.
  std::vector<double> turning(const Vec3& body_axis, const Vec3& about) const {
    const Vec3 stream = -cross(to_body_axes(body_axis), responses_.moment_point - about);
    std::vector<double> turning{stream.x, stream.z, stream.y, body_axis.x, body_axis.y, body_axis.z};
    for (const double turn : turns_) // which goes with the axial stream
      turning.push_back(turn * stream.x);
    return turning;
  }

  const Responses& responses_;
  double speed_;
  Condition condition_;
  StreamAxes axes_;
  std::span<const double> turns_;
  std::vector<double> amplitudes_;   // at V = 1 m/s
  StreamDrag other_, without_waves_; // a turn is not known to change waves
};

// Along the axes of the stream, about a point: of loads about the origin.
StreamLoads along_stream(const Load& load, const StreamAxes& axes, const Vec3& about) {
  return {-dot(load.force, axes.drag), dot(load.force, axes.lift), moved(load, {}, about).moment.y};
}

// Where the resultant crosses the x axis, of a load about the origin that stands out from `least` [N].
std::optional<double> crossing(const Load& load, double least) {
  if (!(std::abs(load.force.z) > least))
    return std::nullopt;
  return -load.moment.y / load.force.z;
}

// Where the line across the stream through the centre of all weight less buoyancy crosses the x axis.
double load_line_of(const Loading& loading, const RidingPoint& point, double density) {
  Vec3 moment = loading.rider.mass * deck_point(loading.deck, point.load_station);
  for (const Mass& m : loading.masses)
    moment += (m.mass - density * m.displaced_volume) * m.centre;
  const Vec3 centre = (1 / carried_mass(loading, density)) * moment;
  return centre.x + centre.z * std::tan(point.alpha);
}

// Loads of the lag of downwash per rad/s of angle of attack, about the origin.
Load lag_of(const FlowPast& flow, ThreadPool& pool) {
  const Responses& r = flow.responses();
  const std::vector<Derivative> rate = alpha_rate_derivatives(r, flow.condition(), pool);
  const double scale = r.pressure_area * flow.speed() * 0.5 * flow.chord();
  const Vec3 force = rate[0].value * flow.axes().lift + rate[2].value * flow.axes().drag;
  return moved({scale * force, {0, scale * flow.chord() * rate[1].value, 0}}, r.moment_point, {});
}

// About the centres of mass with the rider held rigidly and on the deck
HandlingFigures figures_of(const FlowPast& flow, const std::optional<double>& load_line, const Vec3& rigid,
                           const Vec3& on_the_deck, const std::optional<Load>& lag) {
  HandlingFigures f;
  f.neutral_point = flow.at().neutral_point;
  if (f.neutral_point && load_line)
    f.static_margin = (*f.neutral_point - *load_line) / flow.chord();
  const Load by_alpha = flow.by_alpha(), by_beta = flow.by_beta();
  const auto damping = [](const Load& load, const Vec3& about) { return -moved(load, {}, about).moment.y; };
  f.pitch_stiffness = damping(by_alpha, rigid);
  f.pitch_rate_damping = damping(flow.by_pitch_rate(rigid), rigid);
  f.deck_pitch_stiffness = damping(by_alpha, on_the_deck);
  f.deck_pitch_rate_damping = damping(flow.by_pitch_rate(on_the_deck), on_the_deck);
  if (lag) {
    f.pitch_lag_damping = damping(*lag, rigid);
    f.deck_pitch_lag_damping = damping(*lag, on_the_deck);
  }
  f.roll_damping = -to_body_axes(flow.by_roll_rate({}).moment).x;
  if (*f.roll_damping > 0)
    f.roll_per_torque = 1 / *f.roll_damping;
  f.side_force =
      by_beta.force.y + dot(flow.loads().force, flow.axes().drag); // the axis turns with the stream
  f.yaw_stiffness = to_body_axes(moved(by_beta, {}, rigid).moment).z;
  return f;
}

// All but the damping of late downwash.
HandlingFigures loaded_figures(const FlowPast& flow, const Loading& loading, const RidingPoint& point,
                               double density) {
  return figures_of(flow, load_line_of(loading, point, density),
                    inertia(loading, point.load_station, RiderHold::rigid, point.alpha, point.lean).centre,
                    inertia(loading, point.load_station, RiderHold::on_the_deck).centre, {});
}

// Of velocities of a centre of mass, forward, upward and nose-up, from that of the origin's velocities aft,
// up and nose-up.
Matrix added_mass_at(const Matrix& about_origin, const StreamAxes& axes, const Vec3& centre) {
  // A turn about the centre moves the origin by ŷ × (origin − centre).
  const std::array<Vec3, 3> origin{Vec3{-axes.drag.x, 0, -axes.drag.z},
                                   {axes.lift.x, 0, axes.lift.z},
                                   {-centre.z, 1, centre.x}}; // y: of the turn
  const auto entry = [](const Vec3& v, std::size_t i) { return i == 0 ? v.x : i == 1 ? v.z : v.y; };
  Matrix m(3, 3);
  for (std::size_t a = 0; a < 3; ++a)
    for (std::size_t b = 0; b < 3; ++b)
      for (std::size_t i = 0; i < 3; ++i)
        for (std::size_t j = 0; j < 3; ++j)
          m(a, b) += entry(origin[a], i) * about_origin(i, j) * entry(origin[b], j);
  return m;
}

// That a fluctuating flow passes: the largest mean chord but of a mast, whatever makes the coefficients.
double passed_chord(const Craft& craft) {
  double chord = 0;
  for (const Surface& surface : craft.surfaces)
    if (!surface.pierces)
      chord = std::max(chord, outline_figures(surface).mean_chord);
  return chord;
}

RideModes modes_of(const FlowPast& flow, const Loading& loading, const RidingPoint& point, RiderHold hold,
                   double density, double chord, const Matrix& water, const Load& lag,
                   const std::optional<Load>& by_depth) {
  RideModes ride{inertia(loading, point.load_station, hold, point.alpha, point.lean), {}};
  const Vec3& centre = ride.inertia.centre;
  const StreamAxes& axes = flow.axes();
  const Load loads = flow.loads();
  LevelFlight f;
  f.speed = flow.speed();
  f.mass = ride.inertia.mass;
  f.pitch_inertia = ride.inertia.pitch;
  f.lift = dot(loads.force, axes.lift);
  f.drag = dot(loads.force, axes.drag);
  f.by_speed = along_stream(flow.by_speed(), axes, centre);
  f.by_alpha = along_stream(flow.by_alpha(), axes, centre);
  f.by_alpha.forward -= f.lift; // the axes turn: lift's forward by the slope of drag's direction
  f.by_alpha.up -= f.drag;
  f.by_pitch_rate = along_stream(flow.by_pitch_rate(centre), axes, centre);
  f.by_alpha_rate = along_stream(lag, axes, centre);
  if (by_depth)
    f.by_depth = along_stream(*by_depth, axes, centre);
  f.origin_aft = -dot(centre, axes.drag);
  if (loading.drive.kind == Drive::Kind::motor)
    f.turning_thrust = f.drag;
  for (const Mass& m : loading.masses)
    f.attitude_moment -= density * m.displaced_volume * standard_gravity * dot(m.centre - centre, axes.lift);
  f.added_mass = added_mass_at(water, axes, centre);
  ride.modes = modes(motion_of(f), flow.speed(), chord);
  return ride;
}

constexpr std::array figure_list{
    HandlingFigure{"neutral point in angle", "neutral_point", "m", &HandlingFigures::neutral_point},
    HandlingFigure{"static margin", "static_margin", "1", &HandlingFigures::static_margin},
    HandlingFigure{"pitch stiffness", "pitch_stiffness", "N m/rad", &HandlingFigures::pitch_stiffness},
    HandlingFigure{"pitch damping of rate", "pitch_rate_damping", "N m s/rad",
                   &HandlingFigures::pitch_rate_damping},
    HandlingFigure{"pitch damping of lag", "pitch_lag_damping", "N m s/rad",
                   &HandlingFigures::pitch_lag_damping},
    HandlingFigure{"on the deck: pitch stiffness", "deck_pitch_stiffness", "N m/rad",
                   &HandlingFigures::deck_pitch_stiffness},
    HandlingFigure{"on the deck: pitch damping of rate", "deck_pitch_rate_damping", "N m s/rad",
                   &HandlingFigures::deck_pitch_rate_damping},
    HandlingFigure{"on the deck: pitch damping of lag", "deck_pitch_lag_damping", "N m s/rad",
                   &HandlingFigures::deck_pitch_lag_damping},
    HandlingFigure{"roll damping", "roll_damping", "N m s/rad", &HandlingFigures::roll_damping},
    HandlingFigure{"roll rate per foot torque", "roll_rate_per_torque", "rad/s/(N m)",
                   &HandlingFigures::roll_per_torque},
    HandlingFigure{"side force of sideslip", "side_force_of_sideslip", "N/rad", &HandlingFigures::side_force},
    HandlingFigure{"yaw stiffness", "yaw_stiffness", "N m/rad", &HandlingFigures::yaw_stiffness},
};

void check_level(const Craft& craft, const Loading& loading, const RidingPoint& point) {
  check(loading, craft.water.density);
  if (!(point.speed > 0))
    throw Error("handling: found a speed of " + std::to_string(point.speed) + " m/s, wanted one above 0");
  if (craft.still_surface.bank != 0)
    throw Error("handling: found a bank, wanted level flight: set bank_deg = 0");
}

// How far what bounds the water is: the still surface above, or a wall below.
std::optional<double> distance_of(const StillSurface& still) {
  return still.boundary == Boundary::free   ? still.depth
         : still.boundary == Boundary::wall ? still.clearance
                                            : std::nullopt;
}

// A craft that rides lower [m]: deeper, and nearer to a wall.
Craft sunk(Craft craft, double by) {
  StillSurface& still = craft.still_surface;
  if (still.depth)
    *still.depth += by;
  if (still.clearance)
    *still.clearance -= by;
  return craft;
}

HandlingFigures per_metre(const HandlingFigures& below, const HandlingFigures& above, double metres) {
  HandlingFigures change;
  for (const HandlingFigure& f : figure_list)
    if (below.*f.figure && above.*f.figure)
      change.*f.figure = (*(below.*f.figure) - *(above.*f.figure)) / metres;
  return change;
}

} // namespace

std::span<const HandlingFigure> handling_figures() {
  return figure_list;
}

Handling handling(const Craft& craft, const LatticeOptions& options, const DragChoice& choice,
                  const Loading& loading, const RidingPoint& point, ThreadPool& pool) {
  const double density = craft.water.density;
  check_level(craft, loading, point);
  const auto body = body_figures(craft);
  const auto responses_of = [&](const Craft& c) {
    return make_responses(c, options, point.wake_angle, {}, pool, Motions::all);
  };
  const Responses responses = responses_of(craft);
  const FlowPast flow(craft, responses, choice, body, point.speed, point.alpha);
  const Vec3 rigid = inertia(loading, point.load_station, RiderHold::rigid, point.alpha, point.lean).centre,
             on_the_deck = inertia(loading, point.load_station, RiderHold::on_the_deck).centre;
  const Load lag = lag_of(flow, pool);
  Handling h;
  h.load_line = load_line_of(loading, point, density);
  h.figures = figures_of(flow, h.load_line, rigid, on_the_deck, lag);

  std::optional<Load> by_depth;
  if (const std::optional<double> distance = distance_of(craft.still_surface)) {
    const double step = 1e-4 * *distance;
    const Craft lowered = sunk(craft, step), raised = sunk(craft, -step);
    const Responses deeper = responses_of(lowered), higher = responses_of(raised);
    const FlowPast below(lowered, deeper, choice, body, point.speed, point.alpha),
        above(raised, higher, choice, body, point.speed, point.alpha);
    by_depth = (1 / (2 * step)) * (below.loads() - above.loads());
    h.per_depth = per_metre(figures_of(below, h.load_line, rigid, on_the_deck, {}),
                            figures_of(above, h.load_line, rigid, on_the_deck, {}), 2 * step);
    h.height_stiffness = dot(by_depth->force, flow.axes().lift);
    // Rounding of the two loads over the step.
    const double least = 1e-7 * norm(flow.circulation().force) / *distance;
    // Without the skin that a mast wets besides: its drag acts high up and is no lift.
    h.height_neutral_point = crossing((1 / (2 * step)) * (below.circulation() - above.circulation()), least);
  }

  const Matrix water = added_mass(craft, flow.responses().system.influence(), {}, pool);
  const double chord = passed_chord(craft);
  h.rigid = modes_of(flow, loading, point, RiderHold::rigid, density, chord, water, lag, by_depth);
  h.on_the_deck =
      modes_of(flow, loading, point, RiderHold::on_the_deck, density, chord, water, lag, by_depth);
  return h;
}

HandlingFigures steady_handling(const Craft& craft, const LatticeOptions& options, const DragChoice& choice,
                                const Loading& loading, const RidingPoint& point, ThreadPool& pool) {
  check_level(craft, loading, point);
  const Responses responses = make_responses(craft, options, point.wake_angle, {}, pool, Motions::all);
  const FlowPast flow(craft, responses, choice, body_figures(craft), point.speed, point.alpha);
  return loaded_figures(flow, loading, point, craft.water.density);
}

HandlingFigures steady_handling(const Ride& ride, const TrimmedCraft& t, std::span<const double> amplitudes) {
  const RidingPoint point{t.speed, t.state.alpha, t.state.load_station, t.responses.wake_angle, t.state.lean};
  check_level(ride.craft, ride.loading, point);
  const FlowPast flow(ride.craft, t.responses, ride.drag, ride.body, t.speed, t.state.alpha, amplitudes);
  return loaded_figures(flow, ride.loading, point, ride.craft.water.density);
}

HandlingFigures handling_without_loading(const Ride& ride, const TrimmedCraft& t,
                                         std::span<const double> amplitudes) {
  const FlowPast flow(ride.craft, t.responses, ride.drag, ride.body, t.speed, t.state.alpha, amplitudes);
  const std::optional<double> centre = flow.at().centre_of_lift;
  const Vec3 about = centre ? Vec3{*centre, 0, 0} : t.responses.moment_point;
  HandlingFigures f = figures_of(flow, centre, about, about, {});
  f.deck_pitch_stiffness = f.deck_pitch_rate_damping = std::nullopt;
  return f;
}

} // namespace vlm
