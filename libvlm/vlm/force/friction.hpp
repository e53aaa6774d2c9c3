#pragma once

#include <string>

namespace vlm {

/// Line of the turbulent friction of a smooth flat plate against Reynolds number.
enum class FrictionLine {
  ittc1957,   ///< 0.075/(log₁₀ Re − 2)², ITTC 1957: the line of ship models, a little above a plate's
  flat_plate, ///< 0.455/(log₁₀ Re)^2.58, Prandtl and Schlichting 1932: plates from Re 5e5 to 1e9 (from
              ///< memory)
};

/// How friction is found.
struct DragChoice {
  FrictionLine line = FrictionLine::ittc1957; ///< where the boundary layer is turbulent
  /// Part of the chord, or of a fuselage's length, along which the boundary layer is laminar [0 … 1]. A foil
  /// that is towed about, scratched and knocked is turbulent from its leading edge: the safe assumption.
  double transition = 0;

  friend bool operator==(const DragChoice&, const DragChoice&) = default;
};

/// "ITTC 1957" or "flat plate", as in a case file.
std::string name_of(FrictionLine);

/// Sentence on how friction is found, with the sources, for output.
std::string described(const DragChoice&);

/// @name Coefficients of friction
/// Of one face, mean over its length, over ½ρV² and the area of that face. Reynolds numbers are on that
/// length, above 0; anything else throws Error.
///@{

/// Laminar: 1.328/√Re (Blasius 1908).
double laminar_friction(double reynolds);

/// The lines of turbulent friction hold from here up. Below, where they would rise past all bounds, no
/// turbulent layer lasts, and they are continued in proportion to laminar friction.
constexpr double least_turbulent_reynolds = 1e4;

/// Turbulent from the leading edge.
double turbulent_friction(FrictionLine, double reynolds);

/// Laminar to the transition, turbulent behind. The turbulent layer begins with the momentum thickness that
/// the laminar one ends with: it is that of a plate whose leading edge lies where it would have grown to
/// that thickness (equal momentum thickness, Schlichting, Boundary-Layer Theory, chapter XXI, from memory).
/// Throws Error for a transition outside 0 to 1.
double mean_friction(const DragChoice&, double reynolds);

///@}

/// @name Form factors
/// Drag of a body of some thickness over the friction of a plate of its skin (Hoerner, Fluid-Dynamic Drag,
/// 1965, chapter 6, from memory): faster flow along the skin and the pressure drag of an unseparated flow.
///@{

/// Section of thickness over chord t: 1 + 2 t + 60 t⁴, its greatest thickness near 30 % of the chord.
double section_form_factor(double thickness);

/// Streamline body of diameter over length d: 1 + 1.5 d^1.5 + 7 d³.
double body_form_factor(double diameter);

///@}

} // namespace vlm
