#pragma once

#include <cstddef>

namespace vlm {

/// Nodes of a row as the kernel takes them: chordwise place after place from the leading edge aft, place k of
/// edge e at k·width + e. Plain pointers, for code compiled for newer processors must not share a template
/// with the rest.
struct LineGrid {
  const double *x, *y, *z; ///< [(panels_per_strip + 1) × width], m
  std::size_t num_edges;   ///< strips + 1
  std::size_t panels_per_strip;
  std::size_t width; ///< line_width(num_edges); nodes beyond the last edge repeat it
  double core2; ///< square of the length that vortices are rounded by [m²]: 1/r³ of Biot & Savart becomes (r²
                ///< + core²)^(−3/2)
  bool straight; ///< all nodes of an edge have the same y and the same z, and no x falls from one to the
                 ///< next, so that the last is the aftmost
};

// Functions here are static: where a debugging build keeps them as functions, each source has its own copy.

/// What is side by side is padded to a multiple of this.
constexpr std::size_t line_lanes = 8;

static constexpr std::size_t line_width(std::size_t num_edges) {
  return (num_edges + line_lanes - 1) / line_lanes * line_lanes;
}

/// Doubles of scratch that a kernel wants for a grid.
static constexpr std::size_t line_scratch(std::size_t width) {
  return 16 * (width + line_lanes);
}

/// Components of velocities [m/s], an array each.
struct LineVelocities {
  double *x, *y, *z;
};

/// Points and a direction at each, an array a component.
struct RingPoints {
  const double *x, *y, *z, *along_x, *along_y, *along_z;
};

/// Doubles of scratch for ring_row.
static constexpr std::size_t ring_scratch(std::size_t num_edges) {
  return 11 * (line_width(num_edges) + line_lanes);
}

/// The sheet of a wake, cut into ribbons as WakeSheet has it. All arrays are read up to line_lanes beyond
/// their last node or ribbon, where they must be finite.
struct SheetGrid {
  const double *node1, *node2;       ///< nodes in the plane across the wake [m]; one more than ribbons
  const double* along;               ///< the same along the wake [m]
  const double *tangent1, *tangent2; ///< of each ribbon from its first node on, in that plane: unit vector
  const double* per_length;          ///< 1 over its length [1/m]
  const double* counts;              ///< 1 of a ribbon, 0 of one that ends at a tip and beyond the last
  std::size_t num_ribbons;
  double least_distance2; ///< nearer to a ribbon's end, both ribbons there take this square [m²]
  double smoothing;       ///< ε of WakeSheet [m]
};

/// Where what goes with ribbons' mean strengths stands, behind what goes with strengths at nodes; and how
/// much room both take, with padding.
///@{
static constexpr std::size_t first_mean(std::size_t num_ribbons) {
  return line_width(num_ribbons + 1);
}
static constexpr std::size_t num_strengths(std::size_t num_ribbons) {
  return first_mean(num_ribbons) + line_width(num_ribbons);
}
///@}

/// One implementation, for one kind of processor.
struct FlowKernel {
  const char* name;

  /// Velocities at a point of half-infinite vortices of unit circulation that leave the last node of each
  /// edge along a direction (unit vector). result: [width].
  void (*rays)(const LineGrid&, const double point[3], const double direction[3], LineVelocities result,
               double* scratch);

  /// Velocities at a point of the panels' horseshoes of unit circulation. leg: [width + line_lanes], in: what
  /// each edge's leg gives behind its last node; used up. leg_share: [width], 1 for edges whose legs count, 0
  /// for others. result: [panels_per_strip × width], panel k of strip j at k·width + j; what stands beyond
  /// the last strip means nothing.
  void (*panels)(const LineGrid&, const double point[3], LineVelocities leg, const double* leg_share,
                 LineVelocities result, double* scratch);

  /// Adds to result [panels_per_strip × strips], ring k of strip j at k·strips + j, what rings of unit
  /// circulation give at a point along a direction. A ring runs around the cell between chordwise places k
  /// and k + 1, along the first as the panel's bound segment does. open: the last of each strip lack the
  /// segment along the last place. May read line_lanes beyond the grid's last node. scratch: ring_scratch.
  void (*ring_row)(const LineGrid&, const double point[3], const double direction[3], bool open,
                   double* result, double* scratch);

  /// The same of one ring at many points, each with its direction: result [count] is added to. corner: of
  /// the ring, in its order from the first node of the first place on; open: without the third side. May
  /// read line_lanes beyond the last point.
  void (*ring_column)(const double corner[4][3], bool open, const RingPoints&, std::size_t count,
                      double* result);

  /// Of each ribbon as seen from a point (across, across and along as the nodes): the place ẑ in lengths from
  /// its first node, along it and off it, and ∫ τ^m/(ẑ − τ) dτ over [0, 1] for m = 0, 1, 2, real and
  /// imaginary parts. moment: 8 arrays [num_ribbons + 1 + line_lanes].
  void (*ribbon_moments)(const SheetGrid&, const double point[3], double* const moment[8]);

  /// Adds to weights [vectors × num_strengths] what unit strengths give at a point, times 2π, along one or
  /// two vectors across the wake, from moments: at nodes from the first on, in the mean of ribbons from
  /// first_mean on; ribbons that do not count are left out. Factors (1 + d·r/|r|)/2 at nodes and at middles
  /// are left in share, 2 arrays [num_ribbons + 1 + line_lanes].
  void (*ribbon_weights)(const SheetGrid&, const double point[3], const double* const moment[8],
                         double* const share[2], std::size_t count, const double (*along)[2],
                         double* weights);

  /// Products of rows [count × length], one behind the other, with a matrix [length × width] of rows
  /// likewise; width: a multiple of line_lanes. result: [count × width].
  void (*products)(const double* rows, std::size_t count, std::size_t length, const double* matrix,
                   std::size_t width, double* result);
};

/// The kernel in use: the best that this processor runs, or the one that the environment variable VLM_SIMD
/// names, portable, avx2 or avx512. Chosen once. Throws Error for a name that is none, or that this processor
/// cannot run.
const FlowKernel& flow_kernel();

/// The kernel of that name; null if there is none or this processor cannot run it.
const FlowKernel* find_flow_kernel(const char* name);

} // namespace vlm
