#include <vlm/shape/interpolation.hpp>

#include <algorithm>
#include <cmath>
#include <utility>

namespace vlm {
namespace {

// Index of the interval that x lies in, from the right at a knot.
std::size_t interval(std::span<const double> knots, double x) {
  const auto inner_end = knots.end() - 1;
  return static_cast<std::size_t>(std::upper_bound(knots.begin() + 1, inner_end, x) - knots.begin()) - 1;
}

// One piece between two knots: u and v are the fractions of its length behind and ahead of the place.
struct Piece {
  double length, u, v, y0, y1;

  Piece(std::span<const double> x, std::span<const double> y, std::size_t k, double at)
      : length(x[k + 1] - x[k]), u((at - x[k]) / length), v((x[k + 1] - at) / length), y0(y[k]),
        y1(y[k + 1]) {}

  // Both values count from the nearer knot: exact at the knots and for a constant, and a mirrored
  // piece has mirrored values.
  double straight() const { return u < v ? y0 + u * (y1 - y0) : y1 - v * (y1 - y0); }

  double cubic(double slope0, double slope1) const {
    const double bend = length * u * v * (v * slope0 - u * slope1);
    return bend + (u < v ? y0 + u * u * (1 + 2 * v) * (y1 - y0) : y1 - v * v * (1 + 2 * u) * (y1 - y0));
  }

  double straight_slope() const { return (y1 - y0) / length; }

  double cubic_slope(double slope0, double slope1) const {
    return 6 * u * v * straight_slope() + v * (v - 2 * u) * slope0 + u * (u - 2 * v) * slope1;
  }
};

// Slope at the end of a curve from its last two pieces: that of the parabola through three points,
// limited so that the curve keeps the sense of the points.
double end_slope(double h0, double secant0, double h1, double secant1) {
  const double slope = ((2 * h0 + h1) * secant0 - h0 * secant1) / (h0 + h1);
  if (slope * secant0 <= 0)
    return 0;
  if (secant0 * secant1 <= 0 && std::abs(slope) > 3 * std::abs(secant0))
    return 3 * secant0;
  return slope;
}

} // namespace

double knot_slope(std::span<const double> x, std::span<const double> y, std::size_t k) {
  const auto length = [&](std::size_t i) { return x[i + 1] - x[i]; };
  const auto secant = [&](std::size_t i) { return (y[i + 1] - y[i]) / length(i); };
  const std::size_t last = x.size() - 1;
  if (last == 1)
    return secant(0);
  if (k == 0)
    return end_slope(length(0), secant(0), length(1), secant(1));
  if (k == last)
    return end_slope(length(last - 1), secant(last - 1), length(last - 2), secant(last - 2));
  // Weighted harmonic mean of the secants on either side.
  const double before = secant(k - 1), after = secant(k);
  if (before * after <= 0)
    return 0;
  const double weight_before = 2 * length(k) + length(k - 1), weight_after = length(k) + 2 * length(k - 1);
  return (weight_before + weight_after) / (weight_before / before + weight_after / after);
}

double interpolated(std::span<const double> x, std::span<const double> y, Curve curve, double at) {
  at = std::clamp(at, x.front(), x.back());
  const std::size_t k = interval(x, at);
  const Piece piece(x, y, k, at);
  return curve == Curve::straight ? piece.straight()
                                  : piece.cubic(knot_slope(x, y, k), knot_slope(x, y, k + 1));
}

double interpolated_slope(std::span<const double> x, std::span<const double> y, Curve curve, double at) {
  if (at < x.front() || at > x.back())
    return 0;
  const std::size_t k = interval(x, at);
  const Piece piece(x, y, k, at);
  return curve == Curve::straight ? piece.straight_slope()
                                  : piece.cubic_slope(knot_slope(x, y, k), knot_slope(x, y, k + 1));
}

Interpolant::Interpolant(std::vector<double> x, std::vector<double> y, Curve curve)
    : x_(std::move(x)), y_(std::move(y)) {
  if (curve == Curve::smooth)
    for (std::size_t k = 0; k < x_.size(); ++k)
      slope_.push_back(knot_slope(x_, y_, k));
}

double Interpolant::value(double x) const {
  x = std::clamp(x, x_.front(), x_.back());
  const std::size_t k = interval(x_, x);
  const Piece piece(x_, y_, k, x);
  return slope_.empty() ? piece.straight() : piece.cubic(slope_[k], slope_[k + 1]);
}

double Interpolant::slope(double x) const {
  if (x < x_.front() || x > x_.back())
    return 0;
  const std::size_t k = interval(x_, x);
  const Piece piece(x_, y_, k, x);
  return slope_.empty() ? piece.straight_slope() : piece.cubic_slope(slope_[k], slope_[k + 1]);
}

} // namespace vlm
