#pragma once

#include <cstddef>
#include <functional>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include <vlm/base/run_control.hpp>
#include <vlm/base/thread_pool.hpp>
#include <vlm/force/responses.hpp>
#include <vlm/study/polar.hpp>

namespace vlm {

/// A grid of settings of one surface, each carrying the same lift.
struct TwistStudy {
  std::size_t surface = 0;        ///< index in the craft
  TwistShape shape;               ///< what a twist of 1 adds along the span
  std::vector<double> incidences; ///< [rad], of the surface on the fuselage, in place of the craft's
  std::vector<double> twists;     ///< [rad], amplitude of the shape, added to the craft's own twist
  double lift_coefficient = 0;    ///< that every setting carries
  bool local_lift = true;         ///< also find the peak local lift coefficient of each point
};

/// One setting, trimmed to the lift by its angle of attack. Coefficients as in PolarPoint. Where no angle
/// carries the lift, every figure is unset.
struct TwistPoint {
  double incidence = 0, twist = 0;  ///< [rad]
  std::optional<double> alpha;      ///< angle of attack [rad] that carries the lift
  std::optional<double> lift_slope; ///< dCL/dα at α [1/rad]
  /// Pitching moment coefficient at the α of no lift; unset if none is found within ±28°.
  std::optional<double> zero_lift_moment;
  std::optional<double> pitching_moment_coefficient; ///< at α
  /// (neutral point − centre of lift)/mean chord, positive stable. Unset where there is no lift.
  std::optional<double> static_margin;
  std::optional<double> centre_of_lift;           ///< x [m]
  std::optional<double> neutral_point;            ///< x [m]
  std::optional<double> surface_lift_coefficient; ///< of the studied surface, over the craft's reference area
  std::optional<double> induced_drag_coefficient; ///< far field
  std::optional<double> near_drag_excess;         ///< near-field minus far-field induced drag coefficient
  /// Greatest |2Γ/(V c)| of all strips, with its sign; unset if not asked for.
  std::optional<double> peak_local_lift;
  std::size_t peak_strip = 0; ///< its strip, index in the lattice
};

/// Takes finished points: twist runs fastest, incidence slowest.
using TwistSink = std::function<void(std::span<const TwistPoint>)>;

/// Responses that a study needs: turns are incidence and the shape of its surface. Throws Error for a
/// surface that the craft has not, and what make_responses throws.
Responses twist_responses(const Craft&, const LatticeOptions&, const TwistStudy&, double wake_angle,
                          ThreadPool&);

/// Evaluates the grid by superposition of responses made by twist_responses for this craft: no solve a point.
/// Chunks go to the sink in order. Throws Error for responses that are not this study's.
StudySummary run_twist_study(const Craft&, const Responses&, const TwistStudy&, const TwistSink&,
                             const RunControl&, ThreadPool&);

/// Settings that may be ridden. What is unset is no limit.
struct TwistLimits {
  std::optional<double> centre_from;  ///< foremost centre of lift, x [m]
  std::optional<double> centre_to;    ///< aftmost centre of lift, x [m]
  std::optional<double> least_margin; ///< least static margin [-]
};

/// Whether a point keeps the limits. An undefined figure breaks its limit.
bool keeps(const TwistLimits&, const TwistPoint&);

/// Points of least induced drag so far, kept while a study runs.
struct LeastDrag {
  std::optional<TwistPoint> free;          ///< of all points
  std::optional<TwistPoint> within_limits; ///< of those that keep the limits
  /// Takes more points in.
  void take(std::span<const TwistPoint>, const TwistLimits&);
};

} // namespace vlm
