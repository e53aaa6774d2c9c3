#pragma once

#include <vector>

namespace vlm {

/// Drag of a section as it was measured or computed elsewhere: a full grid.
struct SectionPolar {
  std::vector<double> lift_coefficient; ///< rising, one or more
  std::vector<double> reynolds;         ///< on the chord; rising, above 0, one or more
  std::vector<double> drag_coefficient; ///< [lift coefficients × Reynolds numbers], above 0, over the chord

  friend bool operator==(const SectionPolar&, const SectionPolar&) = default;
};

/// Throws Error if a polar is not as documented above.
void check(const SectionPolar&);

/// Drag coefficient, linear between neighbours in the lift coefficient and in the logarithm of the Reynolds
/// number; beyond the ends of the grid the value at its edge holds.
double drag_coefficient(const SectionPolar&, double lift_coefficient, double reynolds);

/// Whether a point lies on the grid, edges included, so that no end is held there.
bool covers(const SectionPolar&, double lift_coefficient, double reynolds);

} // namespace vlm
