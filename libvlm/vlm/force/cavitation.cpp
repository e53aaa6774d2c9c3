#include <vlm/force/cavitation.hpp>

#include <algorithm>
#include <cmath>
#include <limits>

#include <vlm/base/gravity.hpp>
#include <vlm/shape/outline.hpp>

namespace vlm {
namespace {

double least_depth_of_wings(const Craft& craft, double depth) {
  const double bank = craft.still_surface.bank;
  double least = std::numeric_limits<double>::infinity();
  for (const Surface& surface : craft.surfaces) {
    if (surface.pierces)
      continue;
    const Outline outline(surface);
    for (const double arc : outline.station_arcs()) {
      const Vec3 p = outline.at(arc).leading_edge;
      least = std::min(least, depth - (std::cos(bank) * p.z - std::sin(bank) * p.y));
    }
  }
  return std::isfinite(least) ? std::max(0.0, least) : 0;
}

} // namespace

double cavitation_number(const Craft& craft, double speed) {
  const Water& water = craft.water;
  const auto& depth = craft.still_surface.depth;
  const double above = depth ? water.density * standard_gravity * least_depth_of_wings(craft, *depth) : 0;
  return (standard_atmosphere + above - water.vapour_pressure) / (0.5 * water.density * speed * speed);
}

} // namespace vlm
