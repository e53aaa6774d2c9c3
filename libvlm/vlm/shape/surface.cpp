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

namespace {

// Integrals over the span that make up OutlineFigures, taken together: a place of the outline costs more than
// what is made of it.
struct Sums {
  double developed_area = 0, area = 0, chord2 = 0;
  Vec3 leading_edge;

  friend Sums operator+(const Sums& a, const Sums& b) {
    return {a.developed_area + b.developed_area, a.area + b.area, a.chord2 + b.chord2,
            a.leading_edge + b.leading_edge};
  }
  friend Sums operator*(double factor, const Sums& a) {
    return {factor * a.developed_area, factor * a.area, factor * a.chord2, factor * a.leading_edge};
  }
};

} // namespace

OutlineFigures outline_figures(const Surface& surface) {
  const Outline outline(surface);
  const double width = extent(surface, &Station::y), rise = extent(surface, &Station::z);
  const bool upright = rise > width;

  OutlineFigures figures;
  figures.span = upright ? rise : width;
  // Between stations all but the developed area are integrals of polynomials in the parameter, which the rule
  // takes exactly. For that of a smooth curve, several pieces, enough for rounding.
  const int pieces = surface.curve == Curve::smooth ? 8 : 1;
  const std::vector<double>& station = outline.station_parameters();
  Sums sums;
  for (std::size_t i = 0; i + 1 < station.size(); ++i)
    for (int k = 0; k < pieces; ++k) {
      const double step = (station[i + 1] - station[i]) / pieces;
      sums = sums +
             integral(
                 [&](double t) {
                   const SpanPoint at = outline.at_parameter(t);
                   const double share = std::abs(upright ? at.direction.z : at.direction.y);
                   const double chord = at.chord * share;
                   return outline.speed(t) * Sums{at.chord, chord, at.chord * chord, chord * at.leading_edge};
                 },
                 station[i] + k * step, station[i] + (k + 1) * step);
    }
  figures.developed_area = sums.developed_area;
  figures.area = sums.area;
  figures.mean_chord = sums.chord2 / sums.area;
  figures.mean_chord_leading_edge = (1 / sums.area) * sums.leading_edge;
  figures.aspect_ratio = figures.span * figures.span / figures.area;
  return figures;
}

} // namespace vlm
