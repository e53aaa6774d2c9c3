#pragma once

#include <optional>
#include <span>
#include <vector>

#include <vlm/lattice/lattice.hpp>
#include <vlm/shape/craft.hpp>

namespace vlm {

/// Greatest local lift coefficient of each strip [strips], from the sections of the stations on either side
/// of its middle: linear in the arc length between two that give one, whatever the surface's curve, so that
/// it never leaves what the two give. If one alone gives it, the station nearer to the strip decides. +∞
/// where none is given. Common practice, no source: a section stalls as if it stood alone.
std::vector<double> lift_limits(const Craft&, const Lattice&);

/// Where on the lattice a strip works hardest.
struct HardestStrip {
  std::size_t strip = 0;       ///< index in the lattice
  double lift_coefficient = 0; ///< local
  double share = 0;            ///< of its limit, 1 at it; 0 where limits do not enter
};

/// The strip nearest to its limit, or past it; of equals the first. limits: lift_limits [strips];
/// strip_circulation [strips], m²/s, at V = 1 m/s. Unset if no strip has a limit.
std::optional<HardestStrip> nearest_to_limit(std::span<const double> limits, const Lattice&,
                                             std::span<const double> strip_circulation);

/// Whether a share of a lift limit is beyond it: there a section would stall, and what is computed for the
/// craft does not hold. What has no limit is not beyond it.
inline bool beyond_lift_limit(const std::optional<double>& share) {
  return share && *share > 1;
}

/// Of two halves alike the first counts, whatever the rounding: a strip works harder than another if it does
/// by more than this factor.
inline constexpr double harder = 1 + 1e-9;

} // namespace vlm
