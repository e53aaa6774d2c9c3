#include <vlm/lattice/row_shape.hpp>

#include <algorithm>
#include <cmath>
#include <utility>

namespace vlm {

MeanSurface::MeanSurface(const Surface& surface, Outline outline, bool displaced)
    : outline_(std::move(outline)), position_(surface.position), incidence_(surface.incidence),
      displaced_(displaced) {}

Vec3 MeanSurface::point(const SpanPoint& at, double x) const {
  if (!displaced_)
    return at.leading_edge + Vec3{x * at.chord, 0, 0};
  // The section turns nose-up by its twist about its leading edge, towards the local normal; then the whole
  // surface by its incidence about its position.
  const Vec3 up = cross(Vec3{1, 0, 0}, at.direction);
  const double height = outline_.mean_line_height(at, x);
  const double c = std::cos(at.twist), d = std::sin(at.twist);
  const Vec3 p =
      at.leading_edge + at.chord * ((x * c + height * d) * Vec3{1, 0, 0} + (height * c - x * d) * up);
  return position_ + turned(p - position_);
}

std::vector<Interpolant> MeanSurface::mean_line_slopes(std::span<const double> x) const {
  std::vector<Interpolant> slopes;
  for (const double fraction : x)
    slopes.push_back(outline_.mean_line_slope(fraction));
  return slopes;
}

std::vector<Vec3> MeanSurface::normals(const SpanPoint& at, std::span<const double> x,
                                       std::span<const Interpolant> slopes, double arc,
                                       double strip_width) const {
  const Vec3 up = cross(Vec3{1, 0, 0}, at.direction);
  std::vector<Vec3> result(x.size(), up);
  if (!displaced_)
    return result;
  // Along the span by central difference: the mean surface is smooth inside a strip.
  const double c = std::cos(at.twist), d = std::sin(at.twist), ds = 1e-3 * strip_width;
  const SpanPoint before = outline_.at(arc - ds), behind = outline_.at(arc + ds);
  for (std::size_t k = 0; k < x.size(); ++k) {
    const double rise = slopes[k].value(at.parameter);
    const Vec3 aft = turned((c + rise * d) * Vec3{1, 0, 0} + (rise * c - d) * up);
    result[k] = normalized(cross(aft, point(behind, x[k]) - point(before, x[k])));
  }
  return result;
}

double MeanSurface::slope(const SpanPoint& at, const Interpolant& mean_line_slope) const {
  if (displaced_)
    return 0;
  // Incidence turns the surface about y, twist its section about the span: where the span rises they differ.
  return incidence_ * at.direction.y + at.twist - mean_line_slope.value(at.parameter);
}

Vec3 MeanSurface::turned(const Vec3& r) const {
  const double c = std::cos(incidence_), d = std::sin(incidence_);
  return {c * r.x + d * r.z, r.y, c * r.z - d * r.x};
}

RowShape::RowShape(const Craft& craft, const std::vector<Outline>& outlines,
                   const std::vector<std::size_t>& surfaces, bool displaced)
    : index_(surfaces) {
  surfaces_.reserve(surfaces.size());
  for (const std::size_t i : surfaces) {
    surfaces_.emplace_back(craft.surfaces[i], outlines[i], displaced);
    start_.push_back(length_);
    if (i != surfaces.front())
      corners_.push_back(length_);
    for (const double kink : surfaces_.back().outline().kinks())
      corners_.push_back(length_ + kink);
    length_ += surfaces_.back().outline().length();
  }
}

RowShape::Place RowShape::at(double s) const {
  std::size_t i = surfaces_.size() - 1;
  while (i > 0 && s < start_[i])
    --i;
  const double arc = s - start_[i];
  return {&surfaces_[i], surfaces_[i].outline().at(arc), arc, index_[i]};
}

Vec3 RowShape::point(double s, double x) const {
  return at(s).point(x);
}

} // namespace vlm
