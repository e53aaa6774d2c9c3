#pragma once

#include <span>
#include <vector>

#include <vlm/base/matrix.hpp>
#include <vlm/lattice/lattice.hpp>

namespace vlm {

/// Circulation of each strip: the sum of its panels'. Takes [panels × columns], returns [strips × columns],
/// m²/s.
Matrix strip_sums(const Lattice&, const Matrix& circulation);

/// Load along the span of a craft, one entry a strip of its lattice.
struct SpanLoading {
  std::vector<double> circulation;      ///< Γ [m²/s]
  std::vector<double> lift_per_metre;   ///< ρ V Γ [N/m], across stream and span (Kutta & Joukowski)
  std::vector<double> lift_coefficient; ///< local: 2 Γ/(V c) [-]
};

/// Load of given circulations. strip_circulation: one column [strips], m²/s, at speed V [m/s]; density
/// [kg/m³].
SpanLoading span_loading(const Lattice&, std::span<const double> strip_circulation, double speed,
                         double density);

} // namespace vlm
