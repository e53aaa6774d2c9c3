#pragma once

#include <array>
#include <cstddef>

namespace vlm {

/// Places of the Gauss-Legendre rule of ten points in [a, b].
inline std::array<double, 10> quadrature_places(double a, double b) {
  constexpr double from_middle[] = {0.14887433898163121088, 0.43339539412924719079, 0.67940956829902440623,
                                    0.86506336668898451073, 0.97390652851717172007};
  const double middle = (a + b) / 2, half = (b - a) / 2;
  std::array<double, 10> places{};
  for (std::size_t i = 0; i < 5; ++i) {
    places[i] = middle - half * from_middle[i];
    places[i + 5] = middle + half * from_middle[i];
  }
  return places;
}

/// Integral of a function over [a, b] from its values at those places: exact to rounding for polynomials up
/// to degree 19. The mirrored function has the same integral to the last bit. Values are numbers, or several
/// that add up and scale together.
template <typename Value>
Value quadrature_sum(const std::array<Value, 10>& values, double a, double b) {
  constexpr double weight[] = {0.29552422471475287017, 0.26926671930999635509, 0.21908636251598204399,
                               0.14945134915058059314, 0.06667134430868813759};
  Value sum{};
  for (std::size_t i = 0; i < 5; ++i)
    sum = sum + weight[i] * (values[i] + values[i + 5]);
  return (b - a) / 2 * sum;
}

/// The same of a function of one variable.
template <typename Function>
auto integral(const Function& function, double a, double b) {
  const std::array<double, 10> places = quadrature_places(a, b);
  std::array<decltype(function(a)), 10> values{};
  for (std::size_t i = 0; i < 10; ++i)
    values[i] = function(places[i]);
  return quadrature_sum(values, a, b);
}

} // namespace vlm
