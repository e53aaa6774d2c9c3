#pragma once

#include <array>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include <vlm/lattice/lattice.hpp>
#include <vlm/lattice/row_shape.hpp>
#include <vlm/shape/fuselage.hpp>

namespace vlm {

/// Where a stretch of a surface is cut off by the fuselage or the still surface, at each chord fraction asked
/// for.
struct CutEnd {
  std::vector<double> arc;  ///< on the surface [m]
  std::vector<double> rise; ///< by which the root is moved in z to lie on the skin [m], where it would run
                            ///< along its top or bottom or sit on it
  std::optional<double> carried; ///< arc length of the middle plane [m], to which bound segments run on
};

/// A stretch of joined surfaces that water flows about: outside the fuselage and below the still surface.
struct Stretch {
  double from = 0, to = 0; ///< arc lengths [m]; at a cut end, the place of the cut farthest out
  std::array<RowEnd, 2> ends{RowEnd::tip, RowEnd::tip};
  std::array<std::optional<CutEnd>, 2> cuts;
  bool pierces = false; ///< its last end is at the still surface, mirrored or not
};

/// The still surface as a plane: mirror of the flow or not, whatever pierces it ends there.
struct StillPlane {
  Vec3 point, normal; ///< normal unit, upward
  RowEnd end = RowEnd::tip;
};

/// The stretches of joined surfaces, in order. node_chord: chord fractions at which cuts are wanted, rising
/// to 1. A surface that crosses the middle plane with its chord inside the skin ends on the skin; with a part
/// of the chord inside, its circulation runs on to the middle plane; with none, it is clear of the body.
/// Close above a flat top or below a flat bottom counts as inside. name, pierces: of the surfaces, for
/// errors. Throws Error for surfaces wholly inside the fuselage, and one that was to pierce the still surface
/// but does not reach it or stands above it.
std::vector<Stretch> wetted_stretches(const RowShape&, const std::string& name, bool pierces,
                                      std::span<const double> node_chord, const Skin*,
                                      const std::optional<StillPlane>&);

} // namespace vlm
