#include <vlm/shape/outline.hpp>

#include <algorithm>
#include <array>
#include <cmath>
#include <span>
#include <utility>

#include <vlm/base/error.hpp>
#include <vlm/shape/millimetres.hpp>
#include <vlm/shape/quadrature.hpp>

namespace vlm {
namespace {

// Pieces of a smooth curve between two stations: with ten Gauss points each, lengths are exact to rounding.
constexpr int fine_pieces = 8;

std::string station_name(const Surface& surface, std::size_t i) {
  return "surface '" + surface.name + "', station " + std::to_string(i + 1);
}

void check_station(const Surface& surface, std::size_t i) {
  const Station& s = surface.stations[i];
  const std::pair<const char*, double> figures[] = {
      {"y", s.y}, {"z", s.z}, {"leading edge", s.leading_edge}, {"chord", s.chord}, {"twist", s.twist}};
  for (const auto& [name, value] : figures)
    if (!std::isfinite(value))
      throw Error(station_name(surface, i) + ": found a " + name + " that is not finite, wanted a number");
  if (s.chord <= 0)
    throw Error(station_name(surface, i) + ": found a chord of " + millimetres(s.chord) +
                " mm, wanted one above 0");
}

// Polyline length of the stations from the first, after a check of them all.
std::vector<double> polyline_length(const Surface& surface) {
  const std::vector<Station>& stations = surface.stations;
  if (stations.size() < 2)
    throw Error("surface '" + surface.name + "': found " + std::to_string(stations.size()) +
                " stations, wanted at least two");
  for (std::size_t i = 0; i < stations.size(); ++i)
    check_station(surface, i);
  std::vector<double> length{0};
  for (std::size_t i = 1; i < stations.size(); ++i) {
    const double step = std::hypot(stations[i].y - stations[i - 1].y, stations[i].z - stations[i - 1].z);
    length.push_back(length.back() + step);
    if (!(length[i] > length[i - 1]))
      throw Error(station_name(surface, i) + ": found it where station " + std::to_string(i) +
                  " is, at y = " + millimetres(stations[i].y) + " mm, z = " + millimetres(stations[i].z) +
                  " mm, wanted a place of its own");
  }
  if (!std::isfinite(length.back()))
    throw Error("surface '" + surface.name + "': found a span that is not finite, wanted lengths in metres");
  // A smooth curve would stop and turn on the spot here, having no direction. That it does not is also what
  // keeps neighbouring pieces clear of each other, so steps that are no more than rounding do not count.
  const auto runs_on = [](double step, double next) {
    constexpr double least = 1e-9; // [m]
    return std::min(step, next) > least || std::max(step, next) < -least;
  };
  if (surface.curve == Curve::smooth)
    for (std::size_t i = 1; i + 1 < stations.size(); ++i) {
      const Station &a = stations[i - 1], &b = stations[i], &c = stations[i + 1];
      if (!runs_on(b.y - a.y, c.y - b.y) && !runs_on(b.z - a.z, c.z - b.z))
        throw Error(station_name(surface, i) +
                    ": found the front view turning by a right angle or more here, wanted a gentler bend of "
                    "a smooth curve: give more stations round it, or make the curve straight");
    }
  return length;
}

std::vector<double> of_stations(const Surface& surface, double Station::*figure) {
  std::vector<double> values;
  for (const Station& station : surface.stations)
    values.push_back(station.*figure);
  return values;
}

} // namespace

Outline::Outline(const Surface& surface)
    : position_(surface.position), curve_(surface.curve), t_(polyline_length(surface)), arc_(t_),
      y_(t_, of_stations(surface, &Station::y), curve_), z_(t_, of_stations(surface, &Station::z), curve_),
      leading_edge_(t_, of_stations(surface, &Station::leading_edge), curve_),
      chord_(t_, of_stations(surface, &Station::chord), curve_),
      twist_(t_, of_stations(surface, &Station::twist), curve_) {
  for (const Station& station : surface.stations)
    sections_.push_back(station.section);
  if (curve_ == Curve::smooth) {
    fine_t_ = fine_s_ = {0};
    for (std::size_t i = 0; i + 1 < t_.size(); ++i) {
      for (int k = 1; k <= fine_pieces; ++k) {
        const double from = fine_t_.back();
        const double to = k == fine_pieces ? t_[i + 1] : t_[i] + (t_[i + 1] - t_[i]) * k / fine_pieces;
        fine_s_.push_back(fine_s_.back() + arc_length(i, from, to));
        fine_t_.push_back(to);
      }
      arc_[i + 1] = fine_s_.back();
    }
    for (const double t : fine_t_)
      fine_speed_.push_back(speed(t));
  }
  length_ = arc_.back();
}

double Outline::speed(double t) const {
  return std::sqrt(speed_squared(knot_place(t_, t)));
}

double Outline::arc_length(std::size_t piece, double from, double to) const {
  // Two loops, for without roots the first runs in vectors.
  std::array<double, 10> values = quadrature_places(from, to);
  for (double& value : values)
    value = speed_squared({t_, piece, value});
  for (double& value : values)
    value = std::sqrt(value);
  return quadrature_sum(values, from, to);
}

double Outline::parameter(double s) const {
  s = std::clamp(s, 0.0, length_);
  if (curve_ == Curve::straight)
    return s;
  const auto above = std::upper_bound(fine_s_.begin() + 1, fine_s_.end() - 1, s);
  const auto k = static_cast<std::size_t>(above - fine_s_.begin()) - 1;
  const std::size_t piece = k / fine_pieces;
  const double from = fine_t_[k], to = fine_t_[k + 1];
  double low = from, high = to;
  // The cubic through both ends, then Newton's method, kept inside the shrinking bracket: the speed may come
  // near 0 at a station.
  const double ds = fine_s_[k + 1] - fine_s_[k], u = (s - fine_s_[k]) / ds, v = 1 - u;
  double t = from + u * u * (1 + 2 * v) * (to - from);
  if (fine_speed_[k] > 0 && fine_speed_[k + 1] > 0)
    t += ds * u * v * (v / fine_speed_[k] - u / fine_speed_[k + 1]);
  t = std::clamp(t, low, high);
  const double rounding = 4e-16 * length_;
  for (int round = 0; round < 50; ++round) {
    const double excess = fine_s_[k] + arc_length(piece, from, t) - s;
    if (std::abs(excess) <= rounding)
      break;
    (excess > 0 ? high : low) = t;
    double next = t - excess / std::sqrt(speed_squared({t_, piece, t}));
    const bool inside = next >= low && next <= high;
    if (!inside)
      next = (low + high) / 2;
    const double step = std::abs(next - t);
    t = next;
    // What a step leaves is its square times half of |speed'/speed|, which is at most 2 over the distance to
    // the nearer station, where the speed may vanish; the ends of a fine piece are no farther.
    if (step == 0 || (inside && step * step <= rounding * std::min(t - from, to - t)))
      break;
  }
  return t;
}

SpanPoint Outline::at(double s) const {
  return at_parameter(parameter(s));
}

SpanPoint Outline::at_parameter(double t) const {
  const KnotPlace place = knot_place(t_, t);
  SpanPoint point;
  point.parameter = t;
  point.leading_edge = position_ + Vec3{leading_edge_.value(place), y_.value(place), z_.value(place)};
  point.direction = normalized({0, y_.slope(place), z_.slope(place)});
  point.chord = chord_.value(place);
  point.twist = twist_.value(place);
  return point;
}

template <class Figure>
double Outline::between_stations_at(double t, const Figure& figure) const {
  // Two stations decide on either side, of straight curves one.
  const std::size_t each_side = curve_ == Curve::smooth ? 2 : 1;
  const std::size_t behind = knot_place(t_, t).piece + 1; // the first station behind
  const std::size_t first = behind - std::min(behind, each_side),
                    count = std::min(behind + each_side, t_.size()) - first;
  std::array<double, 4> values{};
  for (std::size_t i = 0; i < count; ++i)
    values[i] = figure(sections_[first + i]);
  return interpolated(std::span(t_).subspan(first, count), std::span(values).first(count), curve_, t);
}

double Outline::between_stations(double s, const std::function<double(const Section&)>& figure) const {
  return between_stations_at(parameter(s), figure);
}

Interpolant Outline::mean_line_slope(double x) const {
  std::vector<double> slopes;
  for (const Section& section : sections_)
    slopes.push_back(vlm::mean_line_slope(section.mean_line, x));
  return {t_, std::move(slopes), curve_};
}

double Outline::mean_line_height(const SpanPoint& at, double x) const {
  return between_stations_at(
      at.parameter, [&](const Section& section) { return vlm::mean_line_height(section.mean_line, x); });
}

double Outline::thickness(double s) const {
  return between_stations(s, [](const Section& section) { return section.thickness; });
}

double Outline::trailing_edge_gap(double s) const {
  return between_stations(s, [](const Section& section) { return section.trailing_edge_gap; });
}

std::vector<double> Outline::kinks() const {
  std::vector<double> result;
  if (curve_ == Curve::smooth)
    return result;
  for (std::size_t i = 1; i + 1 < t_.size(); ++i) {
    const double before = (t_[i - 1] + t_[i]) / 2, after = (t_[i] + t_[i + 1]) / 2;
    const auto turns = [&](const Interpolant& figure, double scale) {
      return scale * std::abs(figure.slope(after) - figure.slope(before)) > 1e-7;
    };
    if (turns(y_, 1) || turns(z_, 1) || turns(leading_edge_, 1) || turns(chord_, 1) || turns(twist_, length_))
      result.push_back(arc_[i]);
  }
  return result;
}

} // namespace vlm
