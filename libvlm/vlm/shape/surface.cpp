#include <vlm/shape/surface.hpp>

#include <algorithm>
#include <cmath>

#include <vlm/base/error.hpp>
#include <vlm/shape/millimetres.hpp>
#include <vlm/shape/outline.hpp>
#include <vlm/shape/quadrature.hpp>

namespace vlm {
namespace {

// Least and greatest of one coordinate of a surface's stations.
double extent(const Surface& surface, double Station::*coordinate) {
  const auto [low, high] =
      std::minmax_element(surface.stations.begin(), surface.stations.end(),
                          [&](const Station& a, const Station& b) { return a.*coordinate < b.*coordinate; });
  return (*high).*coordinate - (*low).*coordinate;
}

} // namespace

Surface mirrored(const Surface& half) {
  Surface whole = half;
  // The mirror is the plane y = 0 of the craft, so the position's y moves into the stations.
  whole.position.y = 0;
  for (Station& station : whole.stations)
    station.y += half.position.y;
  for (std::size_t i = 0; i < whole.stations.size(); ++i) {
    const double y = whole.stations[i].y;
    const std::string found = "surface '" + half.name + "', station " + std::to_string(i + 1) +
                              ": found it at y = " + millimetres(y) + " mm of the craft, wanted ";
    if (i == 0 && y != 0)
      throw Error(found + "the first station on the centre plane y = 0, where the halves meet");
    if (i > 0 && !(y > 0))
      throw Error(found + "y > 0 behind the first station: give the starboard half");
  }
  std::vector<Station> port(whole.stations.rbegin(), whole.stations.rend());
  if (!port.empty())
    port.pop_back(); // the centre, which both halves share
  for (Station& station : port)
    station.y = -station.y;
  whole.stations.insert(whole.stations.begin(), port.begin(), port.end());
  return whole;
}

Surface stretched(const Surface& surface, std::optional<double> area, std::optional<double> span) {
  const auto check_target = [&](const std::optional<double>& target, const char* what) {
    if (target && !(*target > 0 && std::isfinite(*target)))
      throw Error("surface '" + surface.name + "': found a target " + what +
                  " that is no number above 0, wanted one");
  };
  check_target(area, "area");
  check_target(span, "span");
  const OutlineFigures now = outline_figures(surface);
  double span_factor = 1, chord_factor = 1;
  if (area && span) {
    span_factor = *span / now.span;
    chord_factor = *area / now.area / span_factor;
  } else if (area) {
    span_factor = chord_factor = std::sqrt(*area / now.area);
  } else if (span) {
    span_factor = chord_factor = *span / now.span;
  }
  Surface result = surface;
  for (Station& station : result.stations) {
    station.y *= span_factor;
    station.z *= span_factor;
    station.leading_edge *= chord_factor;
    station.chord *= chord_factor;
  }
  return result;
}

OutlineFigures outline_figures(const Surface& surface) {
  const Outline outline(surface);
  const double width = extent(surface, &Station::y), rise = extent(surface, &Station::z);
  const bool upright = rise > width;

  OutlineFigures figures;
  figures.span = upright ? rise : width;
  // Straight curves: polynomials between stations, which the rule integrates exactly. Smooth ones: several
  // pieces, enough for rounding.
  const int pieces = surface.curve == Curve::smooth ? 8 : 1;
  const std::vector<double>& arc = outline.station_arcs();
  const auto over_span = [&](const auto& function) {
    double sum = 0;
    for (std::size_t i = 0; i + 1 < arc.size(); ++i)
      for (int k = 0; k < pieces; ++k) {
        const double step = (arc[i + 1] - arc[i]) / pieces;
        sum += integral(
            [&](double s) {
              const SpanPoint at = outline.at(s);
              return function(at, std::abs(upright ? at.direction.z : at.direction.y));
            },
            arc[i] + k * step, arc[i] + (k + 1) * step);
      }
    return sum;
  };
  using P = const SpanPoint&;
  figures.developed_area = over_span([](P at, double) { return at.chord; });
  figures.area = over_span([](P at, double share) { return at.chord * share; });
  figures.mean_chord =
      over_span([](P at, double share) { return at.chord * at.chord * share; }) / figures.area;
  const auto mean = [&](double Vec3::*coordinate) {
    return over_span([&](P at, double share) { return at.leading_edge.*coordinate * at.chord * share; }) /
           figures.area;
  };
  figures.mean_chord_leading_edge = {mean(&Vec3::x), mean(&Vec3::y), mean(&Vec3::z)};
  figures.aspect_ratio = figures.span * figures.span / figures.area;
  return figures;
}

} // namespace vlm
