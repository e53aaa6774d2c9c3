#include <vlm/study/handling_study.hpp>

#include <vlm/study/at_speeds.hpp>

namespace vlm {

StudySummary handling_at_speeds(const Ride& ride, std::span<const double> speeds, const HandlingSink& sink,
                                const RunControl& control, ThreadPool& pool) {
  StudySummary summary;
  double guess = 0.05;
  const auto fill = [&](double speed, HandlingPoint& p) {
    p.riding.speed = speed;
    const TrimmedCraft t = trimmed_craft(ride, speed, pool, guess);
    summary.num_factorisations += t.num_factorisations;
    summary.num_solves += t.num_solves;
    guess = t.state.alpha;
    p.riding = {speed, t.state.alpha, t.state.load_station, t.responses.wake_angle, t.state.lean};
    if (const auto hardest = nearest_to_limit(ride.craft, t))
      p.share_of_limit = hardest->share;
    p.handling = handling(ride.craft, ride.lattice, ride.drag, ride.loading, p.riding, pool);
  };
  at_speeds<HandlingPoint>(speeds, summary, control, fill, sink);
  return summary;
}

} // namespace vlm
