#pragma once

namespace vlm {

/// Speeds over those of gravity waves of some length: V/√(g·length) [-].
struct FroudeNumbers {
  double depth = 0, chord = 0, span = 0; ///< by that length
};

/// At a speed [m/s], with depth of the craft's origin, chord and span of the reference [m], all above 0.
FroudeNumbers froude_numbers(double speed, double depth, double chord, double span);

/// From this depth Froude number upward the image of the still surface is used by itself.
inline constexpr double least_image_froude = 3;

/// @name The still surface above a wing of elliptic lift
/// Linear theory of a level lifting line below a free surface (Wu, J. Math. Phys. 33, 1954, and Breslin,
/// J. Ship Research 1, 1957, from memory; derivation in docs/method.md). Depths are below the surface, all
/// arguments above 0.
///@{

/// Induced drag that the image of opposite sign adds, over that in deep water [-]: Prandtl's σ of a biplane
/// whose gap is twice the depth.
double drag_by_image(double depth_over_span);

/// Drag of waves, over the induced drag in deep water [-].
double drag_by_waves(double depth_froude, double depth_over_span);

/// What the surface does to the wing's mean downwash over what its image does: in place of that drag of the
/// image the surface takes as much away and adds that of waves. −1 at small Froude numbers, where it is like
/// a wall, 1 at great ones; between it can be above 2.
///@{
double share_of_image(double depth_froude, double depth_over_span);
double share_of_image(const FroudeNumbers&);
///@}

///@}

} // namespace vlm
