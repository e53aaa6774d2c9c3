#pragma once

#include <optional>
#include <span>

#include <vlm/lattice/lattice.hpp>
#include <vlm/water/still_surface.hpp>

namespace vlm {

/// Speeds over those of gravity waves of some length: V/√(g·length) [-].
struct FroudeNumbers {
  double depth = 0, chord = 0, span = 0;
};

/// speed [m/s]; depth of the craft's origin, chord and span of the reference [m], all above 0.
FroudeNumbers froude_numbers(double speed, double depth, double chord, double span);

/// From this depth Froude number upward the image of the still surface is used by itself. In two-dimensional
/// theory the surface's true effect is 1.25 of the image's at 3, 0.7 at 2, −0.2 at 1.5 and −1.7 at 1.
inline constexpr double least_image_froude = 3;

/// Drag of the waves that a craft raises [N], an upper estimate strip by strip from the two-dimensional wave
/// drag of a vortex at depth h, ρ g Γ²/V²·exp(−2gh/V²) per metre of span (Lamb, Hydrodynamics, article 249,
/// from memory; derivation beside the test): on a wing of finite span neighbouring strips raise less. Span is
/// counted across the vertical. strip_circulation: [strips], m²/s, at the speed [m/s]; density [kg/m³].
double wave_drag(const Lattice&, const StillSurface&, std::span<const double> strip_circulation, double speed,
                 double density);

} // namespace vlm
