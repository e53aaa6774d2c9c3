#include <algorithm>
#include <cmath>
#include <numbers>

#include <vlm/base/error.hpp>
#include <vlm/shape/bisection.hpp>
#include <vlm/shape/interpolation.hpp>
#include <vlm/shape/millimetres.hpp>
#include <vlm/shape/section.hpp>

namespace vlm {
namespace {

constexpr double largest_gap = 0.03;  // of a trailing edge, over the chord
constexpr double longest_step = 0.35; // between neighbours, over the chord: more is a gap in the contour
constexpr const char* order_wanted = "wanted the points in order round the contour: from the trailing edge "
                                     "over one face to the leading edge, and "
                                     "over the other back to the trailing edge";

struct Point {
  double x = 0, z = 0;
  std::size_t number = 0; // in the list given, counted from 1
};

double distance(const Point& a, const Point& b) {
  return std::hypot(a.x - b.x, a.z - b.z);
}

std::string name_of(const Point& p) {
  return "point " + std::to_string(p.number);
}

std::vector<Point> checked_points(const std::vector<double>& x, const std::vector<double>& z) {
  if (x.size() != z.size())
    throw Error("found " + std::to_string(x.size()) + " x and " + std::to_string(z.size()) +
                " z, wanted as many of both");
  if (x.size() < 10)
    throw Error("found " + std::to_string(x.size()) + " points of a contour, wanted at least 10");
  std::vector<Point> points;
  for (std::size_t i = 0; i < x.size(); ++i) {
    const Point point{x[i], z[i], i + 1};
    if (!std::isfinite(point.x) || !std::isfinite(point.z))
      throw Error(name_of(point) + " is not finite, wanted two numbers");
    points.push_back(point);
  }
  return points;
}

Point middle(const Point& a, const Point& b) {
  return {(a.x + b.x) / 2, (a.z + b.z) / 2};
}

// The place of a contour farthest from a point: on the parabola, over the chord length of the points, through
// the farthest point and its neighbours. `before`: how many points come before it.
struct Nose {
  Point place;
  std::size_t before = 0;
};

Nose nose(const std::vector<Point>& points, const Point& from) {
  const auto farther = [&](const Point& a, const Point& b) { return distance(a, from) < distance(b, from); };
  const auto best = std::max_element(points.begin() + 1, points.end() - 1, farther);
  const Point &a = best[-1], &b = best[0], &c = best[1];
  const double before = distance(a, b), after = distance(b, c);
  // Newton's form of the parabola: b at 0, a at -before, c at after.
  const auto coefficients = [&](double pa, double pb, double pc) {
    const double slope_before = (pb - pa) / before, slope_after = (pc - pb) / after;
    const double bend = (slope_after - slope_before) / (before + after);
    return std::pair(slope_before + bend * before, bend);
  };
  const auto [x1, x2] = coefficients(a.x, b.x, c.x);
  const auto [z1, z2] = coefficients(a.z, b.z, c.z);
  const auto at = [&, x1 = x1, x2 = x2, z1 = z1, z2 = z2](double u) {
    return Point{b.x + u * (x1 + u * x2), b.z + u * (z1 + u * z2), 0};
  };
  const auto grows = [&, x1 = x1, x2 = x2, z1 = z1, z2 = z2](double u) { // the distance
    const Point p = at(u);
    return (p.x - from.x) * (x1 + 2 * u * x2) + (p.z - from.z) * (z1 + 2 * u * z2) > 0;
  };
  const double u = last_holding(grows, -before, after);
  const auto index = static_cast<std::size_t>(best - points.begin());
  return {at(u), u > 0 ? index + 1 : index};
}

// Half a contour from the nose aft, height over the root of x: near a round nose the height grows like
// that root, so the curve through the points is smooth in it. x counts in the length of the face: where the
// trailing edge is cut off aslant, one face ends ahead of x = 1 and the other as far behind it, and the mean
// of their heights at equal fractions runs into the middle of the cut.
class Face {
public:
  Face(const std::vector<double>& root_x, const std::vector<double>& z)
      : curve_(root_x, z, Curve::smooth), root_length_(root_x.back()) {}
  double height(double x) const { return curve_.value(std::sqrt(x) * root_length_); }

private:
  Interpolant curve_;
  double root_length_;
};

Face face(const std::vector<Point>& from_nose) {
  std::vector<double> root_x{0}, z{0};
  for (const Point& p : from_nose) {
    const double root = std::sqrt(std::max(0.0, p.x));
    // A point that falls on the nose, which stands in its place.
    if (z.size() == 1 && root < 1e-6)
      continue;
    if (!(root > root_x.back()))
      throw Error(name_of(p) + ": the contour doubles back at x/c = " + figure(p.x) +
                  ", wanted each face to run aft from the leading edge");
    root_x.push_back(root);
    z.push_back(p.z);
  }
  if (z.size() < 3)
    throw Error("found a face with fewer than 2 points behind the leading edge; " +
                std::string(order_wanted));
  return {root_x, z};
}

void check_steps(const std::vector<Point>& points) {
  double size = 0;
  for (const Point& p : points)
    size = std::max(size, distance(p, points.front()));
  if (size == 0)
    throw Error("found all points in one place, wanted a contour");
  for (std::size_t i = 0; i + 1 < points.size(); ++i) {
    const double step = distance(points[i], points[i + 1]) / size;
    if (step > 0.8)
      throw Error(name_of(points[i + 1]) +
                  " starts anew at the other end of the chord: found the two faces listed one "
                  "after the other, both from the same edge; " +
                  order_wanted);
    if (step > longest_step)
      throw Error("found a gap of " + figure(100 * step) + " % of the chord between " + name_of(points[i]) +
                  " and " + name_of(points[i + 1]) + ", wanted neighbours closer than " +
                  figure(100 * longest_step) + " %");
  }
}

} // namespace

ContourSection contour_section(std::string name, const std::vector<double>& x, const std::vector<double>& z) {
  std::vector<Point> points = checked_points(x, z);
  check_steps(points);
  // Points given twice, as the nose often is, say nothing new.
  const auto repeated = [](const Point& a, const Point& b) { return a.x == b.x && a.z == b.z; };
  points.erase(std::unique(points.begin(), points.end(), repeated), points.end());
  const Point trailing_edge = middle(points.front(), points.back());
  const Nose leading_edge = nose(points, trailing_edge);

  ContourSection result;
  result.chord = distance(leading_edge.place, trailing_edge);
  const double along_x = (trailing_edge.x - leading_edge.place.x) / result.chord;
  const double along_z = (trailing_edge.z - leading_edge.place.z) / result.chord;
  result.angle = std::atan2(along_z, along_x);
  const double gap = distance(points.front(), points.back()) / result.chord;
  if (gap > largest_gap)
    throw Error("found a trailing-edge gap of " + figure(100 * gap) +
                " % of the chord between the first and the "
                "last point, wanted at most " +
                figure(100 * largest_gap) + " %");

  for (Point& p : points) {
    const double dx = (p.x - leading_edge.place.x) / result.chord,
                 dz = (p.z - leading_edge.place.z) / result.chord;
    p = {along_x * dx + along_z * dz, along_x * dz - along_z * dx, p.number};
  }
  const auto nose_at = points.begin() + static_cast<std::ptrdiff_t>(leading_edge.before);
  std::vector<Point> first(points.begin(), nose_at), second(nose_at, points.end());
  std::reverse(first.begin(), first.end());
  Face upper = face(first), lower = face(second);

  constexpr int fine = 400; // places where the faces are compared
  const auto place = [](int k, int count) { return (1 - std::cos(std::numbers::pi * k / count)) / 2; };
  double area = 0;
  for (int k = 1; k <= fine; ++k)
    area +=
        (upper.height(place(k, fine)) - lower.height(place(k, fine))) * (place(k, fine) - place(k - 1, fine));
  if (area < 0)
    std::swap(upper, lower);
  Section& section = result.section;
  for (int k = 1; k <= fine; ++k) {
    const double at = place(k, fine), thickness = upper.height(at) - lower.height(at);
    if (thickness < -1e-6)
      throw Error("the faces of the contour cross near x/c = " + figure(at) +
                  ", wanted one face above the other from edge to edge");
    section.thickness = std::max(section.thickness, thickness);
  }
  const double near_nose = upper.height(0.05) - lower.height(0.05);
  const double near_tail = upper.height(0.95) - lower.height(0.95);
  if (gap < 0.001 && near_tail > 1.2 * near_nose)
    throw Error("found the blunt end at the first and last point: the contour starts at its leading edge; " +
                std::string(order_wanted));

  if (along_x <= 0)
    throw Error("found the leading edge behind the trailing edge, wanted x to run aft");

  constexpr int samples = 60; // of the mean line
  SampledMeanLine line;
  for (int k = 0; k <= samples; ++k) {
    const double at = place(k, samples);
    line.x.push_back(at);
    line.z.push_back(k == 0 || k == samples ? 0 : (upper.height(at) + lower.height(at)) / 2);
  }
  section.name = std::move(name);
  section.mean_line = std::move(line);
  section.trailing_edge_gap = gap < 1e-6 ? 0 : gap; // rounding of a turned contour is no gap
  return result;
}

} // namespace vlm
