#pragma once

#include <functional>
#include <optional>
#include <span>
#include <vector>

#include <vlm/base/run_control.hpp>
#include <vlm/base/thread_pool.hpp>
#include <vlm/force/polar_point.hpp>

namespace vlm {

/// A condition for each angle of attack [rad], without sideslip or rates.
std::vector<Condition> at_angles(std::span<const double> alphas);

/// Takes finished points, in order.
using PolarSink = std::function<void(std::span<const PolarPoint>)>;

/// What the solver did in a study.
struct StudySummary {
  std::size_t num_points = 0;                         ///< handed to the sink
  bool complete = true;                               ///< false if cancelled
  std::size_t num_factorisations = 0, num_solves = 0; ///< that it took
};

/// Goes through conditions. wake_angle [rad]: one wake and one factorisation for all; none: the wake is
/// laid along the stream anew at each angle of attack, at a factorisation each; without sideslip in either
/// case. Throws what make_responses and polar_point throw.
StudySummary polar(const Craft&, const LatticeOptions&, std::span<const Condition>,
                   std::optional<double> wake_angle, const PolarSink&, const RunControl&, ThreadPool&);

} // namespace vlm
