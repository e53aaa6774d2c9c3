#include <vlm/force/alpha_rate.hpp>

#include <algorithm>
#include <array>

#include <vlm/force/load_forms.hpp>
#include <vlm/force/panel_circulation.hpp>
#include <vlm/force/polar_point.hpp>

namespace vlm {
namespace {

// Normal velocity at each panel [m/s] that late wakes add per unit rate [rad/s] of angle of attack at V = 1
// m/s: that of the wakes, for the slope of circulation with angle, times the opposite of the delay.
Matrix late_wash(const Responses& responses, std::span<const double> slope, ThreadPool& pool) {
  const Influence& influence = responses.system.influence();
  const Lattice& lattice = influence.lattice();
  const std::vector<std::size_t> row_of = lattice.row_of_panels();
  std::vector<double> shed(lattice.strips.size());
  for (std::size_t j = 0; j < shed.size(); ++j)
    for (std::size_t c = 0; c < slope.size(); ++c)
      shed[j] += slope[c] * responses.strip_circulation(j, c);

  Matrix wash(lattice.num_panels(), 1);
  pool.for_each(wash.rows, [&](std::size_t i) {
    if (lattice.rows[row_of[i]].shell)
      return;
    thread_local std::vector<double> of_strip;
    of_strip.resize(shed.size());
    const Vec3& point = lattice.control[i];
    influence.wake_wash_row({point, lattice.normal[i]}, row_of[i], of_strip);
    for (std::size_t j = 0; j < shed.size(); ++j) {
      const double delay =
          std::max(0.0, dot(point - lattice.strips[j].wake_point, influence.wake_direction()));
      wash(i, 0) -= delay * shed[j] * of_strip[j];
    }
  });
  return wash;
}

} // namespace

std::vector<Derivative> alpha_rate_derivatives(const Responses& responses, const Condition& condition,
                                               ThreadPool& pool) {
  const Lattice& lattice = responses.system.lattice();
  const Reference& size = responses.reference;
  const Matrix late = responses.system.solve(
      late_wash(responses, amplitude_slopes(responses, condition, Variable::alpha), pool), &pool);
  const std::vector<double> steady = panel_circulation(responses, condition, {});
  Matrix circulation(steady.size(), 2);
  std::copy(steady.begin(), steady.end(), circulation.column(0).begin());
  for (std::size_t i = 0; i < steady.size(); ++i)
    circulation(i, 1) = 2 / size.chord * late(i, 0);

  Motion motion;
  motion.alpha = condition.alpha;
  motion.beta = condition.beta;
  motion.rates = {2 * condition.rates.x / size.span, 2 * condition.rates.y / size.chord,
                  2 * condition.rates.z / size.span};
  motion.moment_point = responses.moment_point;
  const std::array causes{cause_of(motion), Cause{}};
  const std::size_t num_surfaces = responses.parts.size() - (lattice.has_shell() ? 1 : 0);
  const double density = 2 * responses.pressure_area / size.area;
  const std::vector<SurfaceForms> parts = load_forms(responses.system.influence(), causes, circulation,
                                                     num_surfaces, density, responses.moment_point, pool);

  const StreamAxes axes = stream_axes(condition);
  const auto slope = [](const Matrix& form) {
    return derivative(form, std::array{1.0, 0.0}, std::array{0.0, 1.0});
  };
  Derivative lift{DerivativeGroup::coupling, "lift due to rate of angle of attack", "per rate", 0, {}};
  Derivative pitch{
      DerivativeGroup::damping, "pitching moment due to rate of angle of attack", "per rate", 0, {}};
  Derivative drag{DerivativeGroup::coupling, "drag due to rate of angle of attack", "per rate", 0, {}};
  for (const SurfaceForms& part : parts) {
    const Vec3 force{slope(part.force[0]), slope(part.force[1]), slope(part.force[2])};
    const Vec3 moment{slope(part.moment[0]), slope(part.moment[1]), slope(part.moment[2])};
    lift.parts.push_back(dot(force, axes.lift) / responses.pressure_area);
    pitch.parts.push_back(to_body_axes(moment).y / (responses.pressure_area * size.chord));
    drag.parts.push_back(dot(force, axes.drag) / responses.pressure_area);
    lift.value += lift.parts.back();
    pitch.value += pitch.parts.back();
    drag.value += drag.parts.back();
  }
  return {lift, pitch, drag};
}

} // namespace vlm
