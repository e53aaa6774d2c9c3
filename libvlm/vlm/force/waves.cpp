#include <vlm/force/waves.hpp>

#include <algorithm>
#include <cmath>

#include <vlm/base/gravity.hpp>

namespace vlm {

FroudeNumbers froude_numbers(double speed, double depth, double chord, double span) {
  const auto number = [speed](double length) { return speed / std::sqrt(standard_gravity * length); };
  return {number(depth), number(chord), number(span)};
}

double wave_drag(const Lattice& lattice, const StillSurface& still, std::span<const double> strip_circulation,
                 double speed, double density) {
  if (!still.depth)
    return 0;
  // Banked, the vertical leans to port; the slope of the stream moves strips up and down by little.
  const Vec3 up{0, -std::sin(still.bank), std::cos(still.bank)};
  double drag = 0;
  for (std::size_t j = 0; j < lattice.strips.size(); ++j) {
    const Strip& strip = lattice.strips[j];
    const double depth = std::max(0.0, *still.depth - dot(strip.leading_edge, up));
    const double level = norm(strip.direction - dot(strip.direction, up) * up) * strip.width;
    const double gamma = strip_circulation[j] / speed;
    drag += density * standard_gravity * gamma * gamma *
            std::exp(-2 * standard_gravity * depth / (speed * speed)) * level;
  }
  return drag;
}

} // namespace vlm
