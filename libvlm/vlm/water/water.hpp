#pragma once

namespace vlm {

/// The water that a craft moves in.
struct Water {
  double density = 0;             ///< [kg/m³]
  double kinematic_viscosity = 0; ///< [m²/s]
  double vapour_pressure = 0;     ///< [Pa], absolute

  friend bool operator==(const Water&, const Water&) = default;
};

} // namespace vlm
