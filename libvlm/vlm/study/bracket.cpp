#include <vlm/study/bracket.hpp>

#include <vlm/force/waves.hpp>

namespace vlm {
namespace {

RunControl quietly(const RunControl& control) {
  return {{}, control.cancel};
}

} // namespace

bool needs_bracket(const Craft& craft, std::optional<double> speed) {
  const StillSurface& still = craft.still_surface;
  return still.boundary == Boundary::free && still.depth && speed &&
         froude_numbers(*speed, *still.depth, 1, 1).depth < least_image_froude;
}

std::optional<Craft> without_image(const Craft& craft, std::optional<double> speed) {
  if (!needs_bracket(craft, speed))
    return std::nullopt;
  Craft bare = craft;
  bare.still_surface.boundary = Boundary::none;
  return bare;
}

std::vector<PolarPoint> polar_without_image(const Craft& craft, const LatticeOptions& options,
                                            std::span<const Condition> conditions,
                                            std::optional<double> wake_angle, std::optional<double> speed,
                                            const RunControl& control, ThreadPool& pool) {
  const auto bare = without_image(craft, speed);
  if (!bare)
    return {};
  std::vector<PolarPoint> points;
  const StudySummary summary = polar(
      *bare, options, conditions, wake_angle,
      [&](std::span<const PolarPoint> more) { points.insert(points.end(), more.begin(), more.end()); },
      quietly(control), pool);
  return summary.complete ? points : std::vector<PolarPoint>();
}

TwistPoints twist_study_without_image(const Craft& craft, const LatticeOptions& options,
                                      const TwistStudy& study, double wake_angle, std::optional<double> speed,
                                      const RunControl& control, ThreadPool& pool) {
  const auto bare = without_image(craft, speed);
  if (!bare || control.cancelled())
    return {};
  return {*bare, twist_responses(*bare, options, study, wake_angle, pool), study};
}

std::vector<Derivative> derivatives_without_image(const Craft& craft, const LatticeOptions& options,
                                                  const Condition& condition, double wake_angle,
                                                  std::optional<double> speed, ThreadPool& pool) {
  const auto bare = without_image(craft, speed);
  if (!bare)
    return {};
  return derivatives(make_responses(*bare, options, wake_angle, {}, pool, Motions::all), condition);
}

} // namespace vlm
