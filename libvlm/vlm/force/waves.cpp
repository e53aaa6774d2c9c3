#include <vlm/force/waves.hpp>

#include <algorithm>
#include <cmath>
#include <cstddef>

#include <vlm/base/gravity.hpp>
#include <vlm/shape/quadrature.hpp>

namespace vlm {

FroudeNumbers froude_numbers(double speed, double depth, double chord, double span) {
  const auto number = [speed](double length) { return speed / std::sqrt(standard_gravity * length); };
  return {number(depth), number(chord), number(span)};
}

namespace {

// Elliptic circulation as waves across the stream see it, over that of no length: 2 J₁(u)/u, u = λb/2.
double spectrum(double u) {
  return u < 1e-4 ? 1 : 2 * std::cyl_bessel_j(1, u) / u;
}

// Integral from 0 to where exp(−2 (s/scale)²) of its terms has run out, or u the greatest that counts: behind
// 10⁴ lies less than 1e-4 of the whole. semispan: b/2 over the depth, u over (s/scale)², which sets how often
// the spectrum turns its sign on the way.
template <class Terms>
double decaying_integral(double scale, double semispan, const Terms& terms) {
  const double end = std::min(4.3, std::sqrt(1e4 / semispan)); // exp(−2·4.3²) = 9e-17
  const double reach = end * scale;
  const auto pieces = static_cast<std::size_t>(std::ceil(16 + end * end * semispan / 2));
  double sum = 0;
  for (std::size_t i = 0; i < pieces; ++i) {
    const auto place = [&](std::size_t k) {
      return reach * static_cast<double>(k) / static_cast<double>(pieces);
    };
    sum += integral(terms, place(i), place(i + 1));
  }
  return sum;
}

} // namespace

double drag_by_image(double depth_over_span) {
  const double a = 0.5 / depth_over_span;
  // ½ a² ∫ λ exp(−2λ) (2 J₁(aλ)/aλ)² dλ in depths, λ = t².
  return 0.5 * a * a * decaying_integral(1, a, [a](double t) {
           const double wave = t * t, g = spectrum(a * wave);
           return 2 * t * wave * std::exp(-2 * wave) * g * g;
         });
}

double drag_by_waves(double depth_froude, double depth_over_span) {
  const double a = 0.5 / depth_over_span, k = 1 / (depth_froude * depth_froude);
  // 2 k² a² ∫ (1 + s²)^(3/2) exp(−2k(1 + s²)) (2 J₁(aλ)/aλ)² ds, λ = k s √(1 + s²), s the tangent of the
  // waves' direction; k² is shared out so that nothing overflows.
  return 2 * a * a * std::exp(-2 * k) * decaying_integral(1 / std::sqrt(k), a, [a, k](double s) {
           const double along = 1 + s * s, g = spectrum(a * k * s * std::sqrt(along));
           return k * k * along * std::sqrt(along) * std::exp(-2 * k * s * s) * g * g;
         });
}

double share_of_image(double depth_froude, double depth_over_span) {
  return drag_by_waves(depth_froude, depth_over_span) / drag_by_image(depth_over_span) - 1;
}

double share_of_image(const FroudeNumbers& froude) {
  const double depth_over_span = froude.span / froude.depth * (froude.span / froude.depth);
  return share_of_image(froude.depth, depth_over_span);
}

} // namespace vlm
