#pragma once

#include <cstddef>
#include <vector>

#include <vlm/base/matrix.hpp>
#include <vlm/lattice/lattice.hpp>

namespace vlm {

/// The panels of a row as more lines one behind the other, which come close to the vortex sheet that they
/// stand for.
struct FineRow {
  std::vector<double> x, y, z; ///< nodes, edge after edge [m]
  std::size_t lines = 0;       ///< a strip
  Matrix share;                ///< [lines × panels a strip] of circulation
  double core = 0;             ///< that the lines are rounded by [m]
};

/// Eight lines a panel. Circulations of a strip times n are samples of γ c sin θ/2 at θ = (2k − 1)π/2n, an
/// even polynomial in cos θ (Lan 1974): it is taken at more such places. Edges run straight between nodes,
/// and ahead of the first. Lines of surfaces are rounded by the widest gap between them. Those of a shell are
/// not: rounded by the gaps around the body, lifts of crafts drawn at random came out up to 6 % off. For rows
/// of the semicircle rule, a shell's always among them.
FineRow fine_row(const Lattice&, const Row&);

} // namespace vlm
