#pragma once

#include <functional>
#include <optional>
#include <span>
#include <string>

#include <vlm/force/drag_breakdown.hpp>
#include <vlm/study/polar.hpp>

namespace vlm {

/// The drag of a craft that carries its weight at one speed.
struct SpeedPoint {
  double speed = 0;                  ///< [m/s]
  std::optional<double> alpha;       ///< [rad] of attack that carries it; unset if none within ±0.5 rad does
  std::optional<DragBreakdown> drag; ///< likewise
  std::string refusal;               ///< why there is none: an Error of this speed's set-up, or no such angle
  /// Of the section's greatest lift coefficient, where nearest to it.
  std::optional<double> share_of_limit = {};
  /// Where needs_bracket: the total without the image, at the angle that then carries the weight [N].
  std::optional<double> drag_without_image;
  std::optional<double> two_dimensional_waves; ///< where needs_bracket: two_dimensional_wave_drag [N]
};

/// Goes through speeds [m/s] at which the craft lifts `weight` [N]; the wake is laid as chosen, by itself
/// along the stream at each speed's own angle. Calls sink with each point as it is done.
/// A craft that cannot ride at one speed, a tip out of the water at its angle, say, does not end the others.
/// Throws Error for what check(craft) refuses.
StudySummary drag_at_speeds(const Craft&, const LatticeOptions&, const WakeChoice&, const DragChoice&,
                            double weight, std::span<const double> speeds,
                            const std::function<void(const SpeedPoint&)>& sink, const RunControl&,
                            ThreadPool&);

} // namespace vlm
