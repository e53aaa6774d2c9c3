// Dense systems of a lattice, for the sources of FlowSystem.

#pragma once

#include <optional>
#include <span>
#include <vector>

#include <Eigen/Core>

#include <vlm/base/thread_pool.hpp>
#include <vlm/flow/dense_factors.hpp>
#include <vlm/flow/influence.hpp>
#include <vlm/flow/ring_basis.hpp>
#include <vlm/flow/still_block.hpp>
#include <vlm/flow/still_state.hpp>
#include <vlm/flow/symmetry.hpp>

namespace vlm {

/// A part's system: its matrix factorised, or cut into blocks where some rows of the lattice stand still.
struct DenseSystem {
  DenseFactors<double> factors{};
  std::optional<StillBlock> block{};

  /// Circulations [panels of the part × causes] that give the normal velocities of `right`, likewise.
  Eigen::MatrixXd solve(const Eigen::MatrixXd& right) const;
};

struct DenseSystems {
  std::vector<DenseSystem> of_parts;
  double estimated_bytes = 0; ///< what they were taken to need before they took any
};

/// Systems of all parts, whose matrices are made of the same rows of influence. still: what stands as it did,
/// which comes first among the panels of each part from here on, and keeps what is new; or null. Throws Error
/// (input) if they do not fit in the free memory, Error (run) if one is singular.
DenseSystems dense_systems(const Influence&, const MirrorImage*, std::span<PartOfLattice> parts,
                           StillPart::State* still, ThreadPool&);

} // namespace vlm
