#pragma once

#include <span>
#include <vector>

#include <vlm/shape/surface.hpp>

namespace vlm {

/// A function of one variable through given points: straight pieces, or a shape-preserving cubic.
/// The cubic is that of Fritsch & Carlson (SIAM J. Numer. Anal. 17, 1980), which is monotone wherever the
/// points are, with the slopes of Fritsch & Butland (SIAM J. Sci. Stat. Comput. 5, 1984).
class Interpolant {
public:
  /// x rises strictly; x and y have the same number of entries, two or more.
  Interpolant(std::vector<double> x, std::vector<double> y, Curve curve);

  double value(double x) const; ///< ends are held outside the range
  double slope(double x) const; ///< from the right at a knot (the last: from the left); 0 outside the range

private:
  std::vector<double> x_, y_;
  std::vector<double> slope_; // at the knots; empty if straight
};

/// Slope at knot k of the shape-preserving cubic through points, as Interpolant has it.
double knot_slope(std::span<const double> x, std::span<const double> y, std::size_t k);

/// Value and slope at `at` of an Interpolant through points, for a single use.
///@{
double interpolated(std::span<const double> x, std::span<const double> y, Curve, double at);
double interpolated_slope(std::span<const double> x, std::span<const double> y, Curve, double at);
///@}

} // namespace vlm
