#pragma once

#include <cstddef>
#include <span>
#include <vector>

#include <vlm/shape/craft.hpp>
#include <vlm/shape/outline.hpp>

namespace vlm {

/// A surface as its lattice sees it: the chord surface or, displaced, the mean surface.
class MeanSurface {
public:
  MeanSurface(const Surface&, Outline, bool displaced);

  const Outline& outline() const { return outline_; }

  /// At a place of its outline and chord fraction x.
  Vec3 point(const SpanPoint&, double x) const;
  /// Of the mean line at chord fractions x, for the functions below.
  std::vector<Interpolant> mean_line_slopes(std::span<const double> x) const;
  /// Unit normals at chord fractions x of a place, the middle of a strip of that width [m] at that arc
  /// length.
  std::vector<Vec3> normals(const SpanPoint&, std::span<const double> x, std::span<const Interpolant> slopes,
                            double arc, double strip_width) const;
  /// Nose-up angle of the mean line to the chord surface [rad] where it has that slope; 0 if displaced.
  double slope(const SpanPoint&, const Interpolant& mean_line_slope) const;

private:
  Vec3 turned(const Vec3& r) const;

  Outline outline_;
  Vec3 position_;
  double incidence_;
  bool displaced_;
};

/// Joined surfaces end to end, as one.
class RowShape {
public:
  /// outlines: of all surfaces of the craft; surfaces: indices in it, first tip to last.
  RowShape(const Craft&, const std::vector<Outline>& outlines, const std::vector<std::size_t>& surfaces,
           bool displaced);

  /// Which surface an arc length of the whole falls on, and where on it: for all of the chord there.
  struct Place {
    const MeanSurface* shape;
    SpanPoint at;
    double arc;          ///< of that surface
    std::size_t surface; ///< in the craft

    Vec3 point(double x) const { return shape->point(at, x); }
  };

  double length() const { return length_; }                       ///< [m]
  const std::vector<double>& corners() const { return corners_; } ///< arc lengths of kinks and joints
  Place at(double s) const;
  Vec3 point(double s, double x) const;

private:
  std::vector<MeanSurface> surfaces_;
  std::vector<std::size_t> index_;
  std::vector<double> start_, corners_;
  double length_ = 0;
};

} // namespace vlm
