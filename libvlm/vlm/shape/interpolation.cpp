#include <vlm/shape/interpolation.hpp>

#include <algorithm>
#include <cmath>
#include <utility>

namespace vlm {
namespace {

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

KnotPlace knot_place(std::span<const double> knots, double x) {
  const auto above = std::upper_bound(knots.begin() + 1, knots.end() - 1, x);
  return {knots, static_cast<std::size_t>(above - knots.begin()) - 1, x};
}

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
  const KnotPlace place = knot_place(x, std::clamp(at, x.front(), x.back()));
  const std::size_t k = place.piece;
  return curve == Curve::straight ? place.straight(y[k], y[k + 1])
                                  : place.cubic(y[k], y[k + 1], knot_slope(x, y, k), knot_slope(x, y, k + 1));
}

double interpolated_slope(std::span<const double> x, std::span<const double> y, Curve curve, double at) {
  if (at < x.front() || at > x.back())
    return 0;
  const KnotPlace place = knot_place(x, at);
  const std::size_t k = place.piece;
  const double secant = (y[k + 1] - y[k]) / place.length;
  return curve == Curve::straight ? secant
                                  : place.cubic_slope(secant, knot_slope(x, y, k), knot_slope(x, y, k + 1));
}

Interpolant::Interpolant(std::vector<double> x, std::vector<double> y, Curve curve)
    : x_(std::move(x)), y_(std::move(y)) {
  for (std::size_t k = 0; k + 1 < x_.size(); ++k)
    secant_.push_back((y_[k + 1] - y_[k]) / (x_[k + 1] - x_[k]));
  if (curve == Curve::smooth)
    for (std::size_t k = 0; k < x_.size(); ++k)
      slope_.push_back(knot_slope(x_, y_, k));
}

double Interpolant::value(double x) const {
  return value(knot_place(x_, std::clamp(x, x_.front(), x_.back())));
}

double Interpolant::slope(double x) const {
  return x < x_.front() || x > x_.back() ? 0 : slope(knot_place(x_, x));
}

} // namespace vlm
