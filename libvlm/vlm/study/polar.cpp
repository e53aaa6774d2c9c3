#include <vlm/study/polar.hpp>

#include <algorithm>

namespace vlm {

std::vector<Condition> at_angles(std::span<const double> alphas) {
  std::vector<Condition> conditions;
  for (const double alpha : alphas)
    conditions.push_back({alpha, 0, {}});
  return conditions;
}

StudySummary polar(const Craft& craft, const LatticeOptions& options, std::span<const Condition> conditions,
                   std::optional<double> wake_angle, const PolarSink& sink, const RunControl& control,
                   ThreadPool& pool) {
  StudySummary summary;
  std::optional<Responses> responses;
  const bool in_plane = std::all_of(conditions.begin(), conditions.end(),
                                    [](const Condition& condition) { return condition.in_plane(); });
  const Motions motions = in_plane ? Motions::in_plane : Motions::all;
  const auto lay = [&](double angle) {
    responses = make_responses(craft, options, angle, {}, pool, motions);
    ++summary.num_factorisations;
    summary.num_solves += responses->system.num_solves();
  };
  if (wake_angle)
    lay(*wake_angle);
  for (const Condition& condition : conditions) {
    if (control.cancelled()) {
      summary.complete = false;
      break;
    }
    if (!wake_angle)
      lay(condition.alpha);
    const PolarPoint point = polar_point(*responses, condition);
    sink({&point, 1});
    ++summary.num_points;
    if (control.progress)
      control.progress(summary.num_points, conditions.size());
  }
  return summary;
}

} // namespace vlm
