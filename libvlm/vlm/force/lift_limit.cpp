#include <vlm/force/lift_limit.hpp>

#include <algorithm>
#include <cmath>
#include <limits>

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

} // namespace vlm
