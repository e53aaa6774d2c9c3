#include <vlm/force/lift_limit.hpp>

#include <algorithm>
#include <cmath>
#include <limits>

#include <vlm/force/span_loading.hpp>
#include <vlm/shape/outline.hpp>

namespace vlm {
namespace {

double lift_limit(const Surface& surface, const std::vector<double>& station_arcs, double arc) {
  const auto after = std::upper_bound(station_arcs.begin() + 1, station_arcs.end() - 1, arc);
  const auto k = static_cast<std::size_t>(after - station_arcs.begin());
  const std::optional<double> a = surface.stations[k - 1].section.max_lift_coefficient,
                              b = surface.stations[k].section.max_lift_coefficient;
  const double t = (arc - station_arcs[k - 1]) / (station_arcs[k] - station_arcs[k - 1]);
  if (a && b)
    return std::lerp(*a, *b, t);
  return (t < 0.5 ? a : b).value_or(std::numeric_limits<double>::infinity());
}

} // namespace

std::vector<double> lift_limits(const Craft& craft, const Lattice& lattice) {
  std::vector<std::vector<double>> arcs;
  for (const Surface& surface : craft.surfaces)
    arcs.push_back(Outline(surface).station_arcs());
  std::vector<double> result;
  for (const Strip& strip : lattice.strips)
    result.push_back(lift_limit(craft.surfaces[strip.surface], arcs[strip.surface], strip.arc));
  return result;
}

std::optional<HardestStrip> nearest_to_limit(std::span<const double> limits, const Lattice& lattice,
                                             std::span<const double> strip_circulation) {
  const std::vector<double> local = span_loading(lattice, strip_circulation, 1, 1).lift_coefficient;
  std::optional<HardestStrip> hardest;
  for (std::size_t j = 0; j < local.size(); ++j) {
    if (!std::isfinite(limits[j]))
      continue;
    const double share = std::abs(local[j]) / limits[j];
    if (!hardest || share > harder * hardest->share)
      hardest = {j, local[j], share};
  }
  return hardest;
}

} // namespace vlm
