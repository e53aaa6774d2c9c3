#pragma once

#include <optional>
#include <span>

#include <vlm/lattice/lattice.hpp>

namespace vlm {

/// Speeds over those of gravity waves of some length: V/√(g·length) [-].
struct FroudeNumbers {
  double depth = 0, chord = 0, span = 0; ///< by that length
};

/// At a speed [m/s], with depth of the craft's origin, chord and span of the reference [m], all above 0.
FroudeNumbers froude_numbers(double speed, double depth, double chord, double span);

/// From this depth Froude number upward the image of the still surface is used by itself. In two-dimensional
/// theory the surface's true effect is 1.25 of the image's at 3, 0.7 at 2, −0.2 at 1.5 and −1.7 at 1.
inline constexpr double least_image_froude = 3;

/// What the still surface does to the lift of a vortex below it over what its image does, in two-dimensional
/// theory: 1 − 2x·exp(−x)·Ei(x), x = 2/Fr² of the depth (Lamb, Hydrodynamics, article 249, and Kochin, from
/// memory). 1.25 at 3, 0.7 at 2, −0.2 at 1.5, −1.7 at 1; towards 1 at great speed. depth_froude > 0.
double share_of_image(double depth_froude);

/// Drag of the waves that a craft raises [N], an upper estimate from the two-dimensional wave drag of a
/// vortex at depth h, ρ g Γ²/V²·exp(−2gh/V²) per metre of span (Lamb, article 249, from memory; derivation
/// beside the test): waves of different surfaces that pass the same place are taken to be in phase, and on a
/// wing of finite span neighbouring strips raise less. Span is counted along the still surface, depth to the
/// lattice's mirror. strip_circulation: [strips], m²/s, at the speed [m/s]; density [kg/m³]. 0 without a free
/// still surface. Near one, throws Error for circulations that are not one a strip and a
/// speed not above 0.
double wave_drag(const Lattice&, std::span<const double> strip_circulation, double speed, double density);

} // namespace vlm
