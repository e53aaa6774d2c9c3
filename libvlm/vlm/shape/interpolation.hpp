#pragma once

#include <cstddef>
#include <span>
#include <vector>

#include <vlm/shape/surface.hpp>

namespace vlm {

/// A place between two neighbouring knots, with what runs there from one to the other.
struct KnotPlace {
  std::size_t piece = 0;        ///< between the knots of that number and the next
  double length = 0;            ///< of the piece
  double behind = 0, ahead = 0; ///< fractions of it on either side of the place

  /// piece + 1 < knots.size()
  KnotPlace(std::span<const double> knots, std::size_t piece_, double x)
      : piece(piece_), length(knots[piece + 1] - knots[piece]), behind((x - knots[piece]) / length),
        ahead((knots[piece + 1] - x) / length) {}

  /// Values from y0 to y1, straight and with given slopes. Both count from the nearer knot: exact at the
  /// knots and for a constant, and a mirrored piece has mirrored values.
  ///@{
  double straight(double y0, double y1) const {
    return behind < ahead ? y0 + behind * (y1 - y0) : y1 - ahead * (y1 - y0);
  }
  double cubic(double y0, double y1, double slope0, double slope1) const {
    const double u = behind, v = ahead, bend = length * u * v * (v * slope0 - u * slope1);
    return bend + (u < v ? y0 + u * u * (1 + 2 * v) * (y1 - y0) : y1 - v * v * (1 + 2 * u) * (y1 - y0));
  }
  ///@}

  /// Slope of the cubic. secant: (y1 − y0) / length.
  double cubic_slope(double secant, double slope0, double slope1) const {
    const double u = behind, v = ahead;
    return 6 * u * v * secant + v * (v - 2 * u) * slope0 + u * (u - 2 * v) * slope1;
  }
};

/// Where x lies among two or more knots: from the right at a knot, from the left at the last. Beyond the ends
/// their pieces run on.
KnotPlace knot_place(std::span<const double> knots, double x);

/// A function of one variable through given points: straight pieces, or a shape-preserving cubic.
/// The cubic is that of Fritsch & Carlson (SIAM J. Numer. Anal. 17, 1980), which is monotone wherever the
/// points are, with the slopes of Fritsch & Butland (SIAM J. Sci. Stat. Comput. 5, 1984).
class Interpolant {
public:
  /// x rises strictly; x and y have the same number of entries, two or more.
  Interpolant(std::vector<double> x, std::vector<double> y, Curve curve);

  double value(double x) const; ///< ends are held outside the range
  double slope(double x) const; ///< from the right at a knot (the last: from the left); 0 outside the range

  /// The same at a place among its own knots, found once for all interpolants that share them.
  ///@{
  double value(const KnotPlace& at) const {
    const double y0 = y_[at.piece], y1 = y_[at.piece + 1];
    return slope_.empty() ? at.straight(y0, y1) : at.cubic(y0, y1, slope_[at.piece], slope_[at.piece + 1]);
  }
  double slope(const KnotPlace& at) const {
    const double secant = secant_[at.piece];
    return slope_.empty() ? secant : at.cubic_slope(secant, slope_[at.piece], slope_[at.piece + 1]);
  }
  ///@}

private:
  std::vector<double> x_, y_;
  std::vector<double> secant_; // of the pieces
  std::vector<double> slope_;  // at the knots; empty if straight
};

/// Slope at knot k of the shape-preserving cubic through points, as Interpolant has it.
double knot_slope(std::span<const double> x, std::span<const double> y, std::size_t k);

/// Value and slope at `at` of an Interpolant through points, for a single use.
///@{
double interpolated(std::span<const double> x, std::span<const double> y, Curve, double at);
double interpolated_slope(std::span<const double> x, std::span<const double> y, Curve, double at);
///@}

} // namespace vlm
