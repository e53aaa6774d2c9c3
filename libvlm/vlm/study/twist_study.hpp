#pragma once

#include <cstddef>
#include <functional>
#include <memory>
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

/// Points of a grid, twist running fastest, incidence slowest. None is held in memory: each is worked out
/// when it is wanted, to the same bits every time, so that a grid may be of any size.
class TwistPoints {
public:
  TwistPoints() = default; ///< none
  /// Those of the whole grid of a study, by responses made by twist_responses for this craft. Keeps its own
  /// copies. Throws Error for responses that are not this study's.
  TwistPoints(const Craft&, const Responses&, const TwistStudy&);

  std::size_t size() const { return size_; } ///< their number
  bool empty() const { return size_ == 0; }  ///< whether there is none
  void keep_first(std::size_t count);        ///< drops those behind, as of a study that was cancelled
  TwistPoint operator[](std::size_t) const;  ///< one; that below size() is not checked
  /// Those from an index on, as many as the span has; not checked either.
  void get(std::size_t first, std::span<TwistPoint>) const;

  /// Share of its section's greatest lift coefficient on the strip nearest to it, or past it, of one of them;
  /// each call goes through all strips. Unset where nothing carries the lift or no section has a limit.
  std::optional<double> share_of_limit(const TwistPoint&) const;

  /// All in order, by chunks: visit(index of the first, chunk).
  void visit(const std::function<void(std::size_t, std::span<const TwistPoint>)>&) const;

private:
  struct State;
  std::shared_ptr<const State> state_;
  std::size_t size_ = 0;
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
  std::optional<TwistPoint> free;                      ///< of all points
  std::optional<TwistPoint> within_limits;             ///< of those that keep the limits
  std::size_t num_taken = 0;                           ///< points so far
  std::size_t free_index = 0, within_limits_index = 0; ///< among these, where there is such a point
  /// Takes more points in.
  void take(std::span<const TwistPoint>, const TwistLimits&);
};

} // namespace vlm
