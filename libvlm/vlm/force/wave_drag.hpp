#pragma once

#include <cstddef>
#include <span>
#include <vector>

#include <vlm/base/vec3.hpp>
#include <vlm/lattice/lattice.hpp>

namespace vlm {

/// What a free still surface does to the drag of one surface of a craft: its own, and half of what it and
/// each other one do to each other.
struct StillSurfaceDrag {
  std::size_t surface = 0; ///< index in the craft
  double waves = 0;        ///< of the waves that its lift raises [N]
  double image = 0;        ///< what the image of opposite sign adds to its induced drag [N]
  Vec3 point; ///< where it acts: middle of the quarter-chord line, by the square of circulation [m]

  /// What comes on top of the induced drag with that image [N]: far behind, the wake lies below the still
  /// surface as below a wall, and waves follow.
  double beyond_image() const { return waves - 2 * image; }
};

/// Linear theory of lifting lines below a free surface, at any speed, depth and bank: one line a strip, at
/// its quarter chord, with the wake behind it. Waves by Havelock's integral over their directions (Proc. Roy.
/// Soc. A 144, 1934; of wings Wu, J. Math. Phys. 33, 1954, and Breslin, J. Ship Research 1, 1957, all from
/// memory), the image by the energy of the wake's lines (Munk, NACA Report 121, 1921); derivation in
/// docs/method.md. Waves of all surfaces meet as they lie. Left out are those of displaced water, and of
/// surfaces that pierce the still surface, which get no entry.
///
/// strip_circulation: [strips], m²/s, at the speed [m/s]; density [kg/m³]. Empty without a free still
/// surface. Near one, throws Error for circulations that are not one a strip or not finite, a speed not above
/// 0, Error (run) for a drag that is not finite.
std::vector<StillSurfaceDrag> still_surface_drag(const Lattice&, std::span<const double> strip_circulation,
                                                 double speed, double density);

/// Drag of waves [N] strip by strip, from the two-dimensional wave drag of a vortex at depth h,
/// ρ g Γ²/V²·exp(−2gh/V²) per metre of span (Lamb, article 249, from memory; derivation beside the test),
/// with waves of different surfaces that pass the same place taken to be in phase: an upper estimate of all
/// waves of level wings below a depth Froude number of 2.5, up to 17 % low at 3, and none at great speed,
/// where it vanishes and they do not. Span is counted along the still surface, depth to the lattice's mirror.
/// Arguments and errors as above; 0 without a free still surface.
double two_dimensional_wave_drag(const Lattice&, std::span<const double> strip_circulation, double speed,
                                 double density);

} // namespace vlm
