#include <vlm/force/waves.hpp>

#include <algorithm>
#include <cmath>
#include <limits>
#include <string>
#include <vector>

#include <vlm/base/error.hpp>
#include <vlm/base/gravity.hpp>

namespace vlm {

FroudeNumbers froude_numbers(double speed, double depth, double chord, double span) {
  const auto number = [speed](double length) { return speed / std::sqrt(standard_gravity * length); };
  return {number(depth), number(chord), number(span)};
}

namespace {

// x·exp(−x)·Ei(x), x > 0. Far out Ei itself overflows; its asymptotic series 1 + 1!/x + 2!/x² + … is off
// there by some √(2πx)·exp(−x) at its least term, below rounding from x = 40 on.
double scaled_exponential_integral(double x) {
  constexpr double far = 50;
  if (x < far)
    return x * std::exp(-x) * std::expint(x);
  double sum = 1, term = 1;
  for (int n = 1; term > std::numeric_limits<double>::epsilon(); ++n)
    sum += term *= n / x;
  return sum;
}

} // namespace

double share_of_image(double depth_froude) {
  return 1 - 2 * scaled_exponential_integral(2 / (depth_froude * depth_froude));
}

double wave_drag(const Lattice& lattice, std::span<const double> strip_circulation, double speed,
                 double density) {
  if (!lattice.mirror || lattice.mirror->sign > 0)
    return 0;
  if (strip_circulation.size() != lattice.strips.size() || !(speed > 0))
    throw Error("drag of waves: found " + std::to_string(strip_circulation.size()) + " circulations at " +
                std::to_string(speed) + " m/s, wanted one for each of " +
                std::to_string(lattice.strips.size()) + " strips and a speed above 0");
  // Half the amplitude of each strip's wave times V, and where across the stream it is raised.
  struct Wave {
    std::size_t surface;
    double strength, from, to;
  };
  const Vec3& up = lattice.mirror->normal;
  const double wave_number = standard_gravity / (speed * speed);
  std::vector<Wave> waves;
  for (std::size_t j = 0; j < lattice.strips.size(); ++j) {
    const Strip& strip = lattice.strips[j];
    const double depth = std::max(0.0, -dot(strip.leading_edge - lattice.mirror->point, up));
    const double level = norm(strip.direction - dot(strip.direction, up) * up) * strip.width;
    const double y = strip.leading_edge.y;
    waves.push_back({strip.surface, std::abs(strip_circulation[j]) * std::exp(-wave_number * depth),
                     y - 0.5 * level, y + 0.5 * level});
  }
  double sum = 0;
  for (const Wave& a : waves)
    for (const Wave& b : waves)
      if (&a == &b || a.surface != b.surface)
        sum += a.strength * b.strength * std::max(0.0, std::min(a.to, b.to) - std::max(a.from, b.from));
  return density * wave_number * sum;
}

} // namespace vlm
