#include <vlm/ride/trim.hpp>

#include <algorithm>
#include <cmath>

#include <vlm/base/error.hpp>
#include <vlm/base/gravity.hpp>

namespace vlm {
namespace {

// Forces in the plane of symmetry and their moment about the origin, nose-up positive. Geometry axes.
struct PlaneLoad {
  double x = 0, z = 0, pitch = 0;

  void add(double force_x, double force_z, const Vec3& at) {
    x += force_x;
    z += force_z;
    pitch += at.z * force_x - at.x * force_z;
  }
};

// A number and its derivative with respect to the angle of attack.
struct Dual {
  double value, slope;
};

Dual operator+(Dual a, Dual b) {
  return {a.value + b.value, a.slope + b.slope};
}
Dual operator-(Dual a, Dual b) {
  return {a.value - b.value, a.slope - b.slope};
}
Dual operator*(Dual a, Dual b) {
  return {a.value * b.value, a.slope * b.value + a.value * b.slope};
}
Dual operator*(double a, Dual b) {
  return {a * b.value, a * b.slope};
}

// Sums over masses that trims need again and again.
struct Weights {
  double total = 0; // [kg]
  double water = 0; // displaced [kg]

  Weights(const Loading& loading, double density) : total(loading.rider.mass) {
    for (const Mass& m : loading.masses) {
      total += m.mass;
      water += density * m.displaced_volume;
    }
  }
};

// The hydrodynamic loads at an angle: lift across the stream, drag along it.
struct Flow {
  Dual lift, drag;
};

Dual at(const AngleForm& form, double c, double s, double pressure) {
  return {pressure * form.value(c, s), pressure * form.slope(c, s)};
}

Flow flow_at(const PlaneForms& forms, const OtherDrag& other, double c, double s, double speed) {
  const double unit = speed * speed;
  const Dual x = at(forms.x, c, s, unit), z = at(forms.z, c, s, unit);
  const Dual cosine{c, -s}, sine{s, c};
  return {z * cosine - x * sine, at(forms.far_drag, c, s, unit) + Dual{other.drag, 0}};
}

// Upward angle of the drive's force over the direction of travel.
Dual drive_angle(const Drive& drive, double alpha) {
  return drive.kind == Drive::Kind::motor ? Dual{drive.angle + alpha, 1} : Dual{drive.angle, 0};
}

bool is_driven(const Drive& drive) {
  return drive.kind == Drive::Kind::pull || drive.kind == Drive::Kind::motor;
}

// Force across the stream that is missing, with the drive's force, or the slope, that the drag asks for. Not
// finite where there is none.
Dual missing_lift(const Flow& flow, const Loading& loading, const Weights& weights, double alpha) {
  const double weight = weights.total * standard_gravity, buoyancy = weights.water * standard_gravity;
  if (is_driven(loading.drive)) {
    const Dual angle = drive_angle(loading.drive, alpha);
    const double tangent = std::tan(angle.value);
    return flow.lift + flow.drag * Dual{tangent, (1 + tangent * tangent) * angle.slope} -
           Dual{weight - buoyancy, 0};
  }
  if (loading.drive.kind == Drive::Kind::wave) {
    const double sine = flow.drag.value / weight, cosine = std::sqrt(1 - sine * sine);
    const Dual share{cosine, -sine / cosine * flow.drag.slope / weight};
    return flow.lift - (weight - buoyancy) * share;
  }
  return flow.lift - Dual{weight - buoyancy, 0};
}

// All loads in a state but what comes through the feet, which goes into `feet`.
PlaneLoad all_but_feet(const PlaneForms& forms, const Loading& loading, const OtherDrag& other,
                       double density, double speed, const TrimState& state, PlaneLoad& feet) {
  const double c = std::cos(state.alpha), s = std::sin(state.alpha), unit = speed * speed;
  const double near_x = unit * forms.x.value(c, s), near_z = unit * forms.z.value(c, s);
  const double far = unit * forms.far_drag.value(c, s), excess = far - (near_x * c + near_z * s);
  PlaneLoad sum{near_x, near_z, unit * forms.pitch.value(c, s)};
  sum.add(excess * c, excess * s, {});
  sum.x += other.drag * c;
  sum.z += other.drag * s;
  sum.pitch += other.drag_by_z * c - other.drag_by_x * s;

  // Gravity, with the inertia of slowing down, per mass.
  const double fall = standard_gravity * std::cos(state.wave_slope),
               forward = standard_gravity * std::sin(state.wave_slope) + state.deceleration;
  const double pull_x = fall * s - forward * c, pull_z = -fall * c - forward * s;
  for (const Mass& m : loading.masses) {
    sum.add(m.mass * pull_x, m.mass * pull_z, m.centre);
    const double lift = density * m.displaced_volume * fall;
    sum.add(-lift * s, lift * c, m.centre);
  }
  double foot_x = loading.rider.mass * pull_x, foot_z = loading.rider.mass * pull_z;
  const Drive& drive = loading.drive;
  if (is_driven(drive)) {
    const double up = drive_angle(drive, state.alpha).value, cu = std::cos(up), su = std::sin(up);
    const double x = state.drive_force * (-cu * c - su * s), z = state.drive_force * (-cu * s + su * c);
    if (drive.kind == Drive::Kind::motor)
      sum.add(x, z, drive.position);
    else if (drive.station)
      sum.add(x, z, deck_point(loading.deck, *drive.station, drive.height));
    else
      foot_x += x, foot_z += z;
  }
  feet = {foot_x, foot_z, 0};
  return sum;
}

// The station at which the feet's force balances a moment. It goes straight along the deck.
double load_station(const Deck& deck, const PlaneLoad& others, const PlaneLoad& feet) {
  const Vec3 axis = deck_point(deck, 0), along = deck_point(deck, 1) - axis;
  const double at_axis = axis.z * feet.x - axis.x * feet.z, per_metre = along.z * feet.x - along.x * feet.z;
  return -(others.pitch + at_axis) / per_metre;
}

} // namespace

OtherDrag other_drag(std::span<const DragItem> items) {
  OtherDrag sum;
  for (const DragItem& item : items)
    if (item.point) {
      sum.drag += item.drag;
      sum.drag_by_x += item.drag * item.point->x;
      sum.drag_by_z += item.drag * item.point->z;
    }
  return sum;
}

namespace {

// The moment of forms about the origin from that about the moment point.
void move_to_origin(PlaneForms& forms, const Vec3& from) {
  const auto move = [&](double AngleForm::*part) {
    forms.pitch.*part += from.z * forms.x.*part - from.x * forms.z.*part;
  };
  move(&AngleForm::cos2), move(&AngleForm::cross), move(&AngleForm::sin2);
}

} // namespace

PlaneForms plane_forms(const Responses& responses, std::span<const double> turns) {
  const SurfaceForms& craft = responses.craft;
  PlaneForms forms{at_turns(craft.force[0], turns), at_turns(craft.force[2], turns),
                   at_turns(craft.moment[1], turns), at_turns(craft.far_drag, turns)};
  move_to_origin(forms, responses.moment_point);
  return forms;
}

PlaneForms plane_form_slopes(const Responses& responses, std::span<const double> turns, std::size_t turn) {
  const SurfaceForms& craft = responses.craft;
  const auto slope = [&](const Matrix& form) {
    const std::size_t first = form.rows - turns.size(), row = first + turn;
    AngleForm f{2 * form(row, 0), form(row, 1), 0};
    for (std::size_t i = 0; i < turns.size(); ++i)
      f.cos2 += 2 * form(row, first + i) * turns[i];
    return f;
  };
  PlaneForms forms{slope(craft.force[0]), slope(craft.force[2]), slope(craft.moment[1]),
                   slope(craft.far_drag)};
  move_to_origin(forms, responses.moment_point);
  return forms;
}

std::optional<TrimState> trim(const PlaneForms& forms, const Loading& loading, const OtherDrag& other,
                              double density, double speed) {
  const Weights weights(loading, density);
  TrimState state;
  bool settled = false;
  Flow flow{};
  for (int i = 0; i < 50 && !settled; ++i) {
    flow = flow_at(forms, other, std::cos(state.alpha), std::sin(state.alpha), speed);
    const Dual missing = missing_lift(flow, loading, weights, state.alpha);
    const double step = -missing.value / missing.slope;
    if (!std::isfinite(step) || std::abs(state.alpha) > 0.5)
      return std::nullopt;
    settled = std::abs(step) < 1e-13;
    state.alpha += std::clamp(step, -0.2, 0.2);
  }
  if (!settled)
    return std::nullopt;
  flow = flow_at(forms, other, std::cos(state.alpha), std::sin(state.alpha), speed);
  state.lift = flow.lift.value;
  state.drag = flow.drag.value;
  const double weight = weights.total * standard_gravity;
  if (is_driven(loading.drive))
    state.drive_force = state.drag / std::cos(drive_angle(loading.drive, state.alpha).value);
  else if (loading.drive.kind == Drive::Kind::wave)
    state.wave_slope = std::asin(state.drag / weight);
  else
    state.deceleration = state.drag / weights.total;
  PlaneLoad feet;
  const PlaneLoad others = all_but_feet(forms, loading, other, density, speed, state, feet);
  const double c = std::cos(state.alpha), s = std::sin(state.alpha);
  if (!(feet.z * c - feet.x * s < 0)) // the pull lifts the rider off the deck
    return std::nullopt;
  state.load_station = load_station(loading.deck, others, feet);
  if (!std::isfinite(state.load_station))
    return std::nullopt;
  if (loading.drive.kind == Drive::Kind::pull && !loading.drive.station)
    state.lean = state.drive_force * std::cos(loading.drive.angle) * loading.drive.height *
                 std::cos(state.alpha + loading.deck.angle) / (loading.rider.mass * standard_gravity);
  else if (!is_driven(loading.drive)) // against what gravity or slowing down pulls forward
    state.lean =
        (std::tan(state.wave_slope) + state.deceleration / standard_gravity) * loading.rider.centre_height;
  return state;
}

TrimSlope trim_slope(const PlaneForms& forms, const PlaneForms& slopes, const Loading& loading,
                     const OtherDrag& other, double density, double speed) {
  // Smooth and of one scale, so that this step leaves 1e-10 of rounding and 1e-10 of third order.
  constexpr double step = 1e-5;
  const auto turned = [&](double change) {
    const auto moved = [&](const AngleForm& form, const AngleForm& slope) {
      return AngleForm{form.cos2 + change * slope.cos2, form.cross + change * slope.cross,
                       form.sin2 + change * slope.sin2};
    };
    const auto state = trim({moved(forms.x, slopes.x), moved(forms.z, slopes.z),
                             moved(forms.pitch, slopes.pitch), moved(forms.far_drag, slopes.far_drag)},
                            loading, other, density, speed);
    if (!state)
      throw Error(
          "no trim beside the one whose slope is sought: it lies at the end of what the craft can lift",
          ErrorKind::run);
    return *state;
  };
  const TrimState ahead = turned(step), behind = turned(-step);
  return {(ahead.alpha - behind.alpha) / (2 * step), (ahead.load_station - behind.load_station) / (2 * step)};
}

} // namespace vlm
