#pragma once

#include <array>
#include <span>
#include <string>
#include <vector>

#include <vlm/lattice/options.hpp>

namespace vlm {

/// Chord fractions [-] of the vortex points and control points of one strip, rising.
struct ChordSpacing {
  std::vector<double> vortex, control; ///< [panels]
};

/// Semicircle: vortices at (1 − cos((2k−1)π/2n))/2, control points at (1 − cos(kπ/n))/2, k = 1..n (Lan 1974).
/// Uniform: vortex at 1/4 and control point at 3/4 of each of n even panels. n ≥ 1.
ChordSpacing chord_spacing(Spacing, int panels);

/// What a row of strips ends on.
enum class RowEnd {
  tip,           ///< its own tip, where circulation falls to zero like the root of the distance
  skin,          ///< the fuselage's skin, which carries the circulation on
  carried,       ///< the middle plane inside the fuselage, to which it runs on from the skin
  still_surface, ///< the still surface, beyond which its image continues it
};

/// Whether the fuselage carries the circulation on from such an end.
inline bool on_body(RowEnd end) {
  return end == RowEnd::skin || end == RowEnd::carried;
}

/// Arc lengths [m] at which a row of strips is cut.
struct SpanSpacing {
  std::vector<double> edge;   ///< [strips + 1], rising
  std::vector<double> middle; ///< [strips]; control and force points of each strip

  /// Nodes of the row's wake sheet, from end to end: four ribbons between neighbouring edges and two
  /// between each tip and its edge (semicircle), or edges and middles in turn (uniform).
  std::vector<double> node;
  std::vector<double> node_slope; ///< ds/du at the nodes, u counting strips; 0 at tips
};

/// Number of wake ribbons between two edges of the semicircle rule.
inline constexpr int ribbons_per_strip = 4;

/// Cuts a row of the given length [m] into strips, with a strip edge on every corner (arc lengths of kinks
/// and joints, rising, tips left out).
///
/// Semicircle: s = length·(1 − cos θ)/2 with θ(u) smooth and u even: edges at odd multiples of half a step,
/// middles at whole ones, so that each middle lies between its edges as the quadrature for the downwash wants
/// it. Without corners θ = u (Lan 1974). With them θ is u plus a cubic spline that brings the nearest edge
/// onto each corner: the rule stays smooth across it, where separate rules either side would not. A corner in
/// the middle also draws the strips together around it. Uniform: even strips within each stretch between
/// corners, strips shared out by length.
///
/// An end other than a tip has an edge on it. The semicircle rule then is one half of that for the row and
/// its mirror image beyond that end, drawn together there at a carried one; with no tip at all, strips are
/// even within each stretch.
///
/// Throws Error if the count cannot be laid so, naming the nearest that can: fewer strips than stretches, or
/// an odd count where the corners are symmetric and one is in the middle. `name` is for that message.
SpanSpacing span_spacing(Spacing, double length, std::span<const double> corners, int strips,
                         const std::string& name, std::array<RowEnd, 2> ends = {RowEnd::tip, RowEnd::tip});

} // namespace vlm
