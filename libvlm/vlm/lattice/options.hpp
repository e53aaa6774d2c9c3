#pragma once

#include <optional>
#include <vector>

namespace vlm {

/// Rule by which chord and span are cut.
enum class Spacing {
  semicircle, ///< points even in angle on a semicircle, both ways (Lan, J. Aircraft 11(9), 1974)
  uniform,    ///< even panels, vortex at 1/4 and control point at 3/4 of each, strips to the very tip; for
              ///< textbook examples worked in it
};

/// How the linear system of a lattice is kept and solved. Results agree to 1e-8.
enum class SystemKind {
  dense,        ///< a matrix, factorised
  hierarchical, ///< blocks of low rank where panels are far from each other, solved iteratively
};

/// How finely one surface is cut.
struct PanelCounts {
  int strips = 20; ///< over the whole surface, tip to tip; ≥ 1. Joined surfaces share the sum of theirs
  int panels_per_strip = 8; ///< along the chord; ≥ 2, with uniform spacing ≥ 1

  friend bool operator==(const PanelCounts&, const PanelCounts&) = default;
};

/// How finely the fuselage's shell is cut.
struct BodyCounts {
  int rings = 24;  ///< along it; ≥ 4
  int around = 12; ///< panels around the whole of it; a multiple of 4, ≥ 4

  friend bool operator==(const BodyCounts&, const BodyCounts&) = default;
};

/// How a craft is cut into a lattice.
struct LatticeOptions {
  /// One for each surface of the craft, in its order; empty: the default for all.
  std::vector<PanelCounts> counts;
  BodyCounts body;                       ///< of the fuselage, if there is one
  Spacing spacing = Spacing::semicircle; ///< of all surfaces

  /// false: panels lie in the flat chord surface; twist, incidence and camber turn the normals only, so they
  /// are linear causes. true: panels lie on the true mean surface, for checking that linearisation.
  bool displaced = false;

  std::optional<SystemKind> system; ///< unset: by the number of panels, see system_kind

  friend bool operator==(const LatticeOptions&, const LatticeOptions&) = default;
};

} // namespace vlm
