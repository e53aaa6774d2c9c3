#pragma once

#include <span>

#include <vlm/base/error.hpp>
#include <vlm/base/run_control.hpp>
#include <vlm/study/polar.hpp>

namespace vlm {

/// The loop of every study over speeds [m/s]: fill(speed, point) makes a point, and sink(point) takes it. An
/// Error does not end the others: its point keeps what was filled in, and the message as `refusal`.
template <class Point, class Fill, class Sink>
void at_speeds(std::span<const double> speeds, StudySummary& summary, const RunControl& control,
               const Fill& fill, const Sink& sink) {
  for (const double speed : speeds) {
    if (control.cancelled()) {
      summary.complete = false;
      return;
    }
    Point point;
    try {
      fill(speed, point);
    } catch (const Error& error) {
      point.refusal = error.what();
    }
    sink(point);
    ++summary.num_points;
    if (control.progress)
      control.progress(summary.num_points, speeds.size());
  }
}

} // namespace vlm
