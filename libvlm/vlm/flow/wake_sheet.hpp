#pragma once

#include <array>
#include <span>
#include <vector>

#include <vlm/base/vec3.hpp>
#include <vlm/flow/influence.hpp>
#include <vlm/lattice/lattice.hpp>

namespace vlm {

/// The wake of one row as a sheet of trailing vorticity: straight from the trailing edge, along one direction
/// to infinity. It is what a row's wake is for every other row and for any point in the water; bare legs
/// would be singular there.
///
/// The row's legs carry the samples, one a strip edge, of the density g = −dΓ/du of trailing vorticity, u
/// counting strips. A cubic spline through them, even about both tips, is that density everywhere: its
/// integral over u is the sum of the legs, so lift and far downwash are those of the lattice. The sheet is
/// cut into ribbons, plane and parallel to the wake, over each of which strength runs as a parabola through
/// both ends with the exact total. Strength times the factor (1 + d·r/|r|)/2 of a half-infinite vortex, taken
/// at three points of the ribbon, is integrated exactly across it (complex logarithm). Neighbouring ribbons
/// share their end strength, so nothing is singular where they meet; one that ends at a tip has strength c/√t
/// plus d at the distance t from it. An end on the skin has no sample of its own: the spline runs on to it
/// with zero curvature, and what circulation is left there is root_strength, for the leg that follows the
/// skin. At the still surface circulation runs into the opposite of its image, so the spline is even about
/// that end, where the leg is half a sample. With uniform spacing strengths are the slopes of circulation
/// between strips, two ribbons a strip.
///
/// Through a sheet the velocity along it jumps by the strength, and the velocity normal to it turns a corner.
/// The points of another row's lattice would meet that one by one while an angle is swept, so it is rounded:
/// the angle that a ribbon fills is multiplied by erf(|ζ|/ε), with ζ the distance from the ribbon's plane and
/// ε 0.08 of the row's mean strip width, but no more than the ribbon's length: farther from it than that, its
/// parabola says nothing of the strength. The normal velocity on the sheet does not change by that, nothing
/// does beyond 2ε, and ε goes with the strip width.
class WakeSheet {
public:
  /// direction: unit vector along the wake, aft. Throws Error if the trailing edge runs along it.
  WakeSheet(const Row&, Spacing, const Vec3& direction);

  /// Adds to strips [strips] what unit circulation [m²/s] of each strip gives along a vector at a place that
  /// a flow and its image see: the sum over all views of velocity [m/s] times along.
  void add_wash(std::span<const View> views, std::span<double> strips) const;

  /// The same in the plane far downstream, where the wake is infinite both ways.
  void add_far_wash(std::span<const View> views, std::span<double> strips) const;

  /// How many numbers describe the sheet's vorticity, with padding: strength at each node, then mean strength
  /// of each ribbon [m/s].
  std::size_t num_strengths() const;

  /// Strengths [num_strengths × width] for circulations [strips × width] of the strips, both row after row.
  std::vector<double> strengths(std::span<const double> circulation, std::size_t width) const;

  /// Adds to weights [vectors × num_strengths], row after row, what unit strengths give at a point along each
  /// of one or two vectors.
  void add_weights(const Vec3& point, std::span<const Vec3> along, std::span<double> weights) const;

  /// Unit vectors across the wake, normal to each other: all velocities lie in their plane.
  const std::array<Vec3, 2>& axes() const { return axis_; }

  /// Strength [m²/s], downstream positive, of the leg on the skin at the first or last end for unit
  /// circulation of each strip; all 0 at other ends.
  std::span<const double> root_strength(std::size_t end) const { return root_strength_[end]; }

private:
  enum class Place { at_point, far_downstream };
  void add_weights(const Vec3& point, Place, std::span<const Vec3> along, std::span<double> weights) const;
  void add_wash(std::span<const View> views, Place, std::span<double> strips) const;

  // Weights of each of the spline's coefficients, from the first node or ribbon that has one to the last.
  struct Band {
    std::vector<std::size_t> first, end; // of each coefficient: a node or ribbon; where its weights end
    std::vector<double> weight;          // padded with zeros: values are read up to line_lanes beyond
    template <class Weights>
    Band(const Weights& all, const std::vector<double>& scale); // [nodes or ribbons × coefficients]
    Band() = default;
    double sum(std::size_t coefficient, const double* values) const; // of weighted values [nodes or ribbons]
    // Adds the coefficient's share to values [nodes or ribbons × width] if it has some value [width].
    void add(std::size_t coefficient, const double* value, std::size_t width, double* values) const;
  };

  Vec3 direction_;
  std::array<Vec3, 2> axis_;
  double smallest_distance2_ = 0; // nearer to a ribbon's end, both ribbons there take this one [m²]
  double smoothing_ = 0;          // ε [m]
  std::size_t num_ribbons_ = 0;
  std::vector<double> node1_, node2_, node_along_;       // as SheetGrid has them
  std::vector<double> tangent1_, tangent2_, per_length_; // likewise
  std::vector<double> counts_;                           // likewise
  std::array<bool, 2> tip_{};
  std::array<std::vector<double>, 2> root_strength_;
  Band at_node_, mean_;      // strength at each node, and mean strength of each ribbon [m/s], per coefficient
  std::vector<double> unit_; // [coefficients × line_width(strips)], for unit circulation of each strip
};

} // namespace vlm
