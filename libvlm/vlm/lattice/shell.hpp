#pragma once

#include <vector>

#include <vlm/lattice/lattice.hpp>
#include <vlm/shape/fuselage.hpp>

namespace vlm {

/// Share of the half height up to which a root, and the meridian through it, may lie: nearer to top or bottom
/// it would run along the skin and leave no room for the next meridian.
inline constexpr double highest_root = 0.97;

/// Root of a surface on the skin: its points from the leading edge aft, the last at the trailing edge [m].
struct RootEdge {
  std::vector<Vec3> points;
};

/// Adds the shell of a fuselage to a lattice, and the sources on its axis. Rings of bound segments lie on the
/// skin by the semicircle rule from nose to tail, meridians in between them follow it; one meridian passes
/// through every root. Throws Error for roots that lie over each other on one side.
void add_shell(Lattice&, const Skin&, const BodyCounts&, const std::vector<RootEdge>&);

/// The points of the shell's meridian through a root behind its trailing edge, to the tail.
std::vector<Vec3> path_to_tail(const Lattice&, const Skin&, const Row& shell, const RootEdge&);

} // namespace vlm
