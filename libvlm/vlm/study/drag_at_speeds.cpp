#include <vlm/study/drag_at_speeds.hpp>

#include <vlm/base/error.hpp>
#include <vlm/force/lift_limit.hpp>
#include <vlm/force/wave_drag.hpp>
#include <vlm/study/at_speeds.hpp>
#include <vlm/study/bracket.hpp>

namespace vlm {
namespace {

// A craft at the angle that carries its lift.
struct Carried {
  Responses responses;
  double alpha;
  PolarPoint point;
};

std::optional<Carried> carry(const Craft& craft, const LatticeOptions& options, const WakeChoice& wake,
                             double lift_coefficient, StudySummary& summary, ThreadPool& pool) {
  const auto laid = find_operating_wake(craft, options, wake, lift_coefficient, pool);
  if (!laid)
    return std::nullopt;
  Responses responses = make_responses(craft, options, laid->angle, {}, pool);
  summary.num_factorisations += laid->num_factorisations + 1;
  summary.num_solves += laid->num_solves + responses.system.num_solves();
  const auto alpha =
      angle_for_lift(at_turns(responses.craft.force[0], {}), at_turns(responses.craft.force[2], {}),
                     lift_coefficient * responses.pressure_area);
  if (!alpha)
    return std::nullopt;
  PolarPoint point = polar_point(responses, {*alpha});
  return Carried{std::move(responses), *alpha, std::move(point)};
}

} // namespace

StudySummary drag_at_speeds(const Craft& craft, const LatticeOptions& options, const WakeChoice& wake,
                            const DragChoice& choice, double weight, std::span<const double> speeds,
                            const std::function<void(const SpeedPoint&)>& sink, const RunControl& control,
                            ThreadPool& pool) {
  check(craft);
  StudySummary summary;
  const double area = reference(craft).area;
  const std::optional<FuselageFigures> body = body_figures(craft);
  const auto fill = [&](double speed, SpeedPoint& point) {
    point.speed = speed;
    const double lift_coefficient = weight / (0.5 * craft.water.density * speed * speed * area);
    const auto drag_of = [&](const Craft& of, const Carried& at) {
      return drag_breakdown(of, at.responses.system.lattice(), body, choice, at.point, speed);
    };
    const auto at = carry(craft, options, wake, lift_coefficient, summary, pool);
    if (!at) {
      point.refusal = "no angle of attack within ±28 degrees carries the lift: go faster, carry less or "
                      "take a larger craft";
      return;
    }
    point.alpha = at->alpha;
    point.drag = drag_of(craft, *at);
    const Lattice& lattice = at->responses.system.lattice();
    if (const auto hardest =
            nearest_to_limit(lift_limits(craft, lattice), lattice, at->point.strip_circulation))
      point.share_of_limit = hardest->share;
    const auto unmirrored = without_image(craft, speed);
    if (!unmirrored)
      return;
    std::vector<double> circulation = at->point.strip_circulation;
    for (double& gamma : circulation)
      gamma *= speed;
    point.two_dimensional_waves = two_dimensional_wave_drag(lattice, circulation, speed, craft.water.density);
    if (const auto bare = carry(*unmirrored, options, wake, lift_coefficient, summary, pool))
      point.drag_without_image = drag_of(*unmirrored, *bare).total;
  };
  at_speeds<SpeedPoint>(speeds, summary, control, fill, sink);
  return summary;
}

} // namespace vlm
