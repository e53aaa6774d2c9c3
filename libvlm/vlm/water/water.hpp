#pragma once

namespace vlm {

/// The water that a craft moves in.
struct Water {
  double density = 998.2041; ///< [kg/m³]; fresh water at 20 °C (Kell, J. Chem. Eng. Data 20, 1975)

  friend bool operator==(const Water&, const Water&) = default;
};

} // namespace vlm
