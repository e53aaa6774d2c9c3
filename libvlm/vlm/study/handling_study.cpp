#include <vlm/study/handling_study.hpp>

#include <vlm/base/error.hpp>

namespace vlm {

StudySummary handling_at_speeds(const Ride& ride, std::span<const double> speeds, const HandlingSink& sink,
                                const RunControl& control, ThreadPool& pool) {
  StudySummary summary;
  double guess = 0.05;
  for (const double speed : speeds) {
    if (control.cancelled()) {
      summary.complete = false;
      break;
    }
    HandlingPoint p;
    p.riding.speed = speed;
    try {
      const TrimmedCraft t = trimmed_craft(ride, speed, pool, guess);
      summary.num_factorisations += t.num_factorisations;
      summary.num_solves += t.num_solves;
      guess = t.state.alpha;
      p.riding = {speed, t.state.alpha, t.state.load_station, t.responses.wake_angle, t.state.lean};
      p.handling = handling(ride.craft, ride.lattice, ride.drag, ride.loading, p.riding, pool);
    } catch (const Error& error) {
      p.refusal = error.what();
    }
    sink(p);
    ++summary.num_points;
    if (control.progress)
      control.progress(summary.num_points, speeds.size());
  }
  return summary;
}

} // namespace vlm
