#include <vlm/study/responses.hpp>

#include <algorithm>
#include <cmath>

#include <vlm/base/error.hpp>
#include <vlm/force/span_loading.hpp>
#include <vlm/lattice/lattice.hpp>

namespace vlm {
namespace {

std::vector<double> strip_turns(const Lattice& lattice, const TurnShape& turn) {
  std::vector<double> angle;
  for (const Strip& strip : lattice.strips)
    angle.push_back(strip.surface == turn.surface ? value_at(turn.shape, std::abs(strip.span_fraction)) : 0);
  return angle;
}

} // namespace

TurnShape whole_turn(std::size_t surface) {
  return {surface, {"incidence", {0, 1}, {1, 1}, Curve::straight}};
}

Responses make_responses(const Craft& craft, const LatticeOptions& options, double wake_angle,
                         std::span<const TurnShape> turns, ThreadPool& pool) {
  const Lattice lattice = make_lattice(craft, options);
  std::vector<Cause> causes{{{1, 0, 0}, {}, {}, {}}, {{0, 0, 1}, {}, {}, {}}};
  for (const TurnShape& turn : turns)
    causes.push_back({{}, {}, {}, strip_turns(lattice, turn)});

  Responses r{FlowSystem(lattice, wake_along_stream(wake_angle), pool),
              wake_angle,
              {},
              {},
              {},
              {},
              reference(craft),
              craft.moment_point,
              0};
  r.circulation = r.system.solve(causes);
  r.strip_circulation = strip_sums(lattice, r.circulation);
  r.surfaces = load_forms(r.system.influence(), causes, r.circulation, craft.surfaces.size(),
                          craft.water.density, craft.moment_point, pool);
  r.craft = total(r.surfaces);
  r.pressure_area = 0.5 * craft.water.density * r.reference.area;
  return r;
}

AngleForm at_turns(const Matrix& form, std::span<const double> turns) {
  // Amplitudes are cos α times axial (1, 0, turns…) plus sin α times vertical (0, 1, 0…).
  AngleForm f{form(0, 0), form(0, 1), form(1, 1)};
  for (std::size_t i = 0; i < turns.size(); ++i) {
    f.cross += form(i + 2, 1) * turns[i];
    double row = 2 * form(i + 2, 0);
    for (std::size_t j = 0; j < turns.size(); ++j)
      row += form(i + 2, j + 2) * turns[j];
    f.cos2 += row * turns[i];
  }
  return f;
}

double angle_for_lift(const AngleForm& force_x, const AngleForm& force_z, double lift) {
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
  throw Error("no angle of attack within ±28 degrees carries the lift asked for: ask for less lift, more "
              "speed or more area");
}

double operating_wake_angle(const Craft& craft, const LatticeOptions& options, const WakeChoice& choice,
                            double lift_coefficient, ThreadPool& pool) {
  if (choice.along == WakeChoice::Along::body)
    return 0;
  if (choice.angle)
    return *choice.angle;
  double angle = 0;
  for (int i = 0; i < 10; ++i) {
    const Responses r = make_responses(craft, options, angle, {}, pool);
    const double next = angle_for_lift(at_turns(r.craft.force[0], {}), at_turns(r.craft.force[2], {}),
                                       lift_coefficient * r.pressure_area);
    if (std::abs(next - angle) < 1e-6)
      return next;
    angle = next;
  }
  throw Error("the operating angle does not settle while the wake is laid along it: give the wake's angle",
              ErrorKind::run);
}

} // namespace vlm
