#include <vlm/study/reach_study.hpp>

#include <vlm/base/error.hpp>
#include <vlm/force/polar_point.hpp>

namespace vlm {
namespace {

Craft placed(const Craft& craft, double depth, double bank) {
  Craft result = craft;
  result.still_surface.depth = depth;
  result.still_surface.bank = bank;
  return result;
}

void check_grid(const Craft& craft, const ReachStudy& study) {
  if (study.depths.empty() || study.banks.empty())
    throw Error("reach to the surface: found no depth or no bank, wanted at least one of each");
  for (const double depth : study.depths)
    check(placed(craft, depth, 0));
  for (const double bank : study.banks)
    check(placed(craft, study.depths.front(), bank));
}

} // namespace

StudySummary run_reach_study(const Craft& craft, const LatticeOptions& options, const ReachStudy& study,
                             const ReachSink& sink, const RunControl& control, ThreadPool& pool) {
  check_grid(craft, study);
  StudySummary summary;
  const double alpha = study.condition.alpha;
  const Motions motions = study.condition.in_plane() ? Motions::in_plane : Motions::all;
  const auto solve = [&](ReachPoint& point) {
    const Craft there = placed(craft, point.reach.depth, point.reach.bank);
    try {
      const Responses responses = make_responses(there, options, alpha, {}, pool, motions);
      ++summary.num_factorisations;
      summary.num_solves += responses.system.num_solves();
      point.strips = strips_in_reach(responses.system.lattice(), point.reach,
                                     polar_point(responses, study.condition).strip_circulation);
    } catch (const Error& error) {
      point.refusal = error.what();
    }
  };
  const std::size_t total = study.depths.size() * study.banks.size();
  for (const double depth : study.depths) {
    if (control.cancelled()) {
      summary.complete = false;
      return summary;
    }
    ReachPoint level{reach(placed(craft, depth, 0), alpha), {}, {}, {}};
    solve(level);
    for (const double bank : study.banks) {
      if (control.cancelled()) {
        summary.complete = false;
        return summary;
      }
      const Craft there = placed(craft, depth, bank);
      ReachPoint point = level;
      if (bank != 0) {
        point = {reach(there, alpha), {}, {}, {}};
        solve(point);
      }
      if (point.strips.size() == level.strips.size())
        for (std::size_t j = 0; j < point.strips.size(); ++j)
          point.strips[j].level_circulation = level.strips[j].circulation;
      point.warnings = ventilation_warnings(there, point.reach, study.condition, point.strips);
      sink(point);
      ++summary.num_points;
      if (control.progress)
        control.progress(summary.num_points, total);
    }
  }
  return summary;
}

} // namespace vlm
