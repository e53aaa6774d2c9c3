#pragma once

namespace vlm {

/// Integral of a function over [a, b] by the Gauss-Legendre rule of ten points: exact to rounding for
/// polynomials up to degree 19. The mirrored function has the same integral to the last bit. The function
/// returns a number, or several that add up and scale together.
template <typename Function>
auto integral(const Function& function, double a, double b) {
  constexpr struct {
    double place, weight;
  } rule[] = {{0.14887433898163121088, 0.29552422471475287017},
              {0.43339539412924719079, 0.26926671930999635509},
              {0.67940956829902440623, 0.21908636251598204399},
              {0.86506336668898451073, 0.14945134915058059314},
              {0.97390652851717172007, 0.06667134430868813759}};
  const double middle = (a + b) / 2, half = (b - a) / 2;
  decltype(function(a)) sum{};
  for (const auto& [place, weight] : rule)
    sum = sum + weight * (function(middle - half * place) + function(middle + half * place));
  return half * sum;
}

} // namespace vlm
