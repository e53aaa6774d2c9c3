#include <vlm/force/responses.hpp>

#include <algorithm>
#include <cmath>

#include <vlm/base/error.hpp>
#include <vlm/flow/still_part.hpp>
#include <vlm/force/span_loading.hpp>
#include <vlm/lattice/lattice.hpp>

namespace vlm {
namespace {

std::vector<double> strip_turns(const Lattice& lattice, const TurnShape& turn) {
  std::vector<double> angle;
  for (const Strip& strip : lattice.strips)
    angle.push_back(strip.surface != turn.surface ? 0
                    : turn.shape                  ? value_at(*turn.shape, std::abs(strip.span_fraction))
                                 : strip.direction.y); // as MeanSurface has it: a turn about y
  return angle;
}

// Two unit streams, along x and along z.
std::vector<Cause> streams_in_plane() {
  return {{{1, 0, 0}, {}, {}, {}}, {{0, 0, 1}, {}, {}, {}}};
}

// Even rings of vorticity around the body hardly move water outside it, so small errors of what passes the
// skin between control points can make them strong; they bear a moment in a stream that crosses them. Of 970
// crafts drawn at random (docs/method.md), against twice as many rings and panels around, those with less
// than this, in lengths of the body times the speed, had lifts off by at most 1 % and moments by 3 %, most a
// tenth of that; with more, moments are off by up to 5 %.
constexpr double most_even_ring = 5;

// circulation: in streams_in_plane, then in others [panels × causes].
bool shell_is_determined(const Lattice& lattice, const Matrix& circulation) {
  if (!lattice.has_shell())
    return true;
  const Row& shell = lattice.rows.back();
  const double length = lattice.node_x.back() - lattice.node_x[shell.first_node];
  for (std::size_t c = 0; c < 2; ++c)
    for (std::size_t k = 0; k < shell.panels_per_strip; ++k) {
      double mean = 0;
      for (std::size_t j = 0; j < shell.num_strips; ++j)
        mean += circulation(shell.first_panel + j * shell.panels_per_strip + k, c) /
                static_cast<double>(shell.num_strips);
      if (std::abs(mean) > most_even_ring * length)
        return false;
    }
  return true;
}

// The first surface without which the flow about the fuselage is determined; empty if there is none.
std::string surface_at_fault(const Craft& craft, const LatticeOptions& options, double wake_angle,
                             ThreadPool& pool) {
  for (std::size_t i = 0; i < craft.surfaces.size() && craft.surfaces.size() > 1; ++i) {
    Craft others = craft;
    LatticeOptions counts = options;
    others.surfaces.erase(others.surfaces.begin() + static_cast<std::ptrdiff_t>(i));
    others.reference_surface = others.surfaces.front().name;
    if (!counts.counts.empty())
      counts.counts.erase(counts.counts.begin() + static_cast<std::ptrdiff_t>(i));
    try {
      const Lattice lattice = make_lattice(others, counts, wake_angle);
      const FlowSystem system(lattice, wake_along_stream(wake_angle), pool);
      if (shell_is_determined(lattice, system.solve(streams_in_plane(), &pool)))
        return craft.surfaces[i].name;
    } catch (const Error&) { // cannot be laid without it: says nothing of it
    }
  }
  return "";
}

[[noreturn]] void refuse_undetermined(const Craft& craft, const LatticeOptions& options, double wake_angle,
                                      ThreadPool& pool) {
  const std::string name = surface_at_fault(craft, options, wake_angle, pool);
  throw Error("the flow about the fuselage is not determined: " +
              (name.empty() ? "a surface passes" : "surface '" + name + "' passes") +
              " close along its skin or partly out of it, or it has too few rings or panels around for its "
              "shape; move that surface up or down by some millimetres, give it a nose ahead of the leading "
              "edge or a shorter tail, or raise rings and around");
}

[[noreturn]] void refuse_out_of_plane() {
  throw Error("sideslip or a rate: found one of them, wanted responses made for all motions");
}

} // namespace

Responses make_responses(const Craft& craft, const LatticeOptions& options, double wake_angle,
                         std::span<const TurnShape> turns, ThreadPool& pool, Motions motions,
                         StillPart* still) {
  const Lattice lattice = make_lattice(craft, options, wake_angle);
  std::vector<Cause> causes = streams_in_plane();
  if (motions == Motions::all) {
    causes.push_back({{0, 1, 0}, {}, {}, {}});
    for (const Vec3& axis : {Vec3{1, 0, 0}, Vec3{0, 1, 0}, Vec3{0, 0, 1}})
      causes.push_back({{}, to_body_axes(axis), craft.moment_point, {}});
  }
  for (const TurnShape& turn : turns)
    causes.push_back({{}, {}, {}, strip_turns(lattice, turn)});

  const Vec3 along = wake_along_stream(wake_angle);
  if (still && !still->fits(lattice, along))
    still = nullptr;
  Responses r{FlowSystem(lattice, along, pool, causes, still),
              wake_angle,
              {},
              {},
              {},
              {},
              reference(craft),
              motions,
              craft.moment_point,
              0};
  r.circulation = r.system.solve(causes, &pool);
  if (!shell_is_determined(lattice, r.circulation))
    refuse_undetermined(craft, options, wake_angle, pool);
  r.strip_circulation = strip_sums(lattice, r.circulation);
  r.parts = load_forms(r.system.influence(), causes, r.circulation, craft.surfaces.size(),
                       craft.water.density, craft.moment_point, pool, still);
  r.craft = total(r.parts);
  r.pressure_area = 0.5 * craft.water.density * r.reference.area;
  return r;
}

std::vector<double> amplitudes(const Responses& responses, const Condition& condition,
                               std::span<const double> turns) {
  const double c = std::cos(condition.alpha), s = std::sin(condition.alpha), cb = std::cos(condition.beta);
  std::vector<double> a{c * cb, s * cb};
  if (responses.motions == Motions::all) {
    const Reference& size = responses.reference;
    const Vec3& rate = condition.rates;
    a.insert(a.end(), {-std::sin(condition.beta), 2 * rate.x / size.span, 2 * rate.y / size.chord,
                       2 * rate.z / size.span});
  } else if (!condition.in_plane()) {
    refuse_out_of_plane();
  }
  for (const double turn : turns)
    a.push_back(turn * a[0]);
  return a;
}

std::vector<double> amplitude_slopes(const Responses& responses, const Condition& condition,
                                     Variable variable, std::span<const double> turns) {
  const double c = std::cos(condition.alpha), s = std::sin(condition.alpha), cb = std::cos(condition.beta),
               sb = std::sin(condition.beta);
  if (variable != Variable::alpha && responses.motions != Motions::all)
    refuse_out_of_plane();
  const Reference& size = responses.reference;
  std::vector<double> slopes(responses.craft.far_drag.rows);
  switch (variable) {
  case Variable::alpha:
    slopes[0] = -s * cb, slopes[1] = c * cb;
    break;
  case Variable::beta:
    slopes[0] = -c * sb, slopes[1] = -s * sb, slopes[2] = -cb;
    break;
  case Variable::roll_rate:
    slopes[3] = 2 / size.span;
    break;
  case Variable::pitch_rate:
    slopes[4] = 2 / size.chord;
    break;
  case Variable::yaw_rate:
    slopes[5] = 2 / size.span;
    break;
  }
  const std::size_t first = slopes.size() - turns.size(); // a turn goes with the axial stream
  for (std::size_t i = 0; i < turns.size(); ++i)
    slopes[first + i] = turns[i] * slopes[0];
  return slopes;
}

AngleForm at_turns(const Matrix& form, std::span<const double> turns) {
  // Amplitudes are cos α times axial (1, 0, …, turns…) plus sin α times vertical (0, 1, 0…); turns come last.
  const std::size_t first = form.rows - turns.size();
  AngleForm f{form(0, 0), form(0, 1), form(1, 1)};
  for (std::size_t i = 0; i < turns.size(); ++i) {
    f.cross += form(first + i, 1) * turns[i];
    double row = 2 * form(first + i, 0);
    for (std::size_t j = 0; j < turns.size(); ++j)
      row += form(first + i, first + j) * turns[j];
    f.cos2 += row * turns[i];
  }
  return f;
}

std::optional<double> angle_for_lift(const AngleForm& force_x, const AngleForm& force_z, double lift) {
  if (!std::isfinite(lift))
    throw Error("lift to carry: found no finite number, wanted one");
  double alpha = 0;
  for (int i = 0; i < 50; ++i) {
    const double c = std::cos(alpha), s = std::sin(alpha);
    const double x = force_x.value(c, s), z = force_z.value(c, s);
    const double error = z * c - x * s - lift;
    const double slope = force_z.slope(c, s) * c - z * s - force_x.slope(c, s) * s - x * c;
    const double step = -error / slope;
    if (!std::isfinite(step))
      break;
    alpha += std::clamp(step, -0.2, 0.2);
    if (std::abs(alpha) > 0.5)
      break;
    if (std::abs(step) < 1e-13)
      return alpha;
  }
  return std::nullopt;
}

namespace {

// Force and moment of the craft in its plane of symmetry, or their slopes with angle of attack.
struct PlaneLoads {
  double x, z, pitch;
};

Balance balance_of(const Responses& responses, double lift, const PlaneLoads& at, const PlaneLoads& slope) {
  const double least = no_force * responses.pressure_area;
  const Vec3& about = responses.moment_point;
  Balance b;
  // The axial force's lever about the moment point is the height of that point over the x axis.
  if (std::abs(lift) > least && std::abs(at.z) > least)
    b.centre_of_lift = about.x - (at.pitch + about.z * at.x) / at.z;
  if (std::abs(slope.z) > least)
    b.neutral_point = about.x - (slope.pitch + about.z * slope.x) / slope.z;
  if (b.centre_of_lift && b.neutral_point)
    b.static_margin = (*b.neutral_point - *b.centre_of_lift) / responses.reference.chord;
  return b;
}

} // namespace

Balance balance(const Responses& responses, const Condition& condition, std::span<const double> turns) {
  const std::vector<double> a = amplitudes(responses, condition, turns),
                            b = amplitude_slopes(responses, condition, Variable::alpha, turns);
  const SurfaceForms& craft = responses.craft;
  const PlaneLoads at{value(craft.force[0], a), value(craft.force[2], a), value(craft.moment[1], a)};
  return balance_of(responses, at.z * std::cos(condition.alpha) - at.x * std::sin(condition.alpha), at,
                    {derivative(craft.force[0], a, b), derivative(craft.force[2], a, b),
                     derivative(craft.moment[1], a, b)});
}

std::optional<OperatingWake> find_operating_wake(const Craft& craft, const LatticeOptions& options,
                                                 const WakeChoice& choice, double lift_coefficient,
                                                 ThreadPool& pool) {
  if (choice.along == WakeChoice::Along::body)
    return OperatingWake{};
  if (choice.angle)
    return OperatingWake{*choice.angle, 0, 0};
  OperatingWake wake;
  for (int i = 0; i < 10; ++i) {
    const Responses r = make_responses(craft, options, wake.angle, {}, pool);
    ++wake.num_factorisations;
    wake.num_solves += r.system.num_solves();
    const auto next = angle_for_lift(at_turns(r.craft.force[0], {}), at_turns(r.craft.force[2], {}),
                                     lift_coefficient * r.pressure_area);
    if (!next)
      return std::nullopt;
    const bool settled = std::abs(*next - wake.angle) < 1e-6;
    wake.angle = *next;
    if (settled)
      return wake;
  }
  throw Error("the operating angle does not settle while the wake is laid along it: give the wake's angle",
              ErrorKind::run);
}

OperatingWake operating_wake(const Craft& craft, const LatticeOptions& options, const WakeChoice& choice,
                             double lift_coefficient, ThreadPool& pool) {
  if (const auto wake = find_operating_wake(craft, options, choice, lift_coefficient, pool))
    return *wake;
  throw Error("no angle of attack within ±28 degrees carries the lift asked for: ask for less lift, more "
              "speed or more "
              "area");
}

} // namespace vlm
