#pragma once

#include <memory>

#include <Eigen/Core>

#include <vlm/base/thread_pool.hpp>
#include <vlm/flow/influence.hpp>
#include <vlm/flow/ring_basis.hpp>
#include <vlm/flow/symmetry.hpp>

namespace vlm {

/// A part's system for lattices of which a dense matrix takes too long. In terms of rings (RingBasis), blocks
/// of the matrix for clusters far from each other are kept as products of low rank, others whole;
/// circulations are found by minimal_residual, all causes side by side, preconditioned by groups of
/// neighbouring rings that overlap (restricted additive Schwarz: Cai & Sarkis, SIAM J. Sci. Comput. 21,
/// 1999). Circulations differ from those of the dense system by less than 1e-8 of the largest.
class HierarchicalSystem {
public:
  /// As RingBasis. Throws Error (input) if it does not fit in the free memory, Error (run) if it is singular.
  HierarchicalSystem(const Influence&, const MirrorImage* mirror, const PartOfLattice&, ThreadPool&);
  ~HierarchicalSystem();
  HierarchicalSystem(HierarchicalSystem&&) noexcept;

  /// Circulations [panels of the part × causes] that give the normal velocities of `right`, likewise. The
  /// residual is checked on all rows, and against whole rows of the dense matrix on one of each group. pool
  /// may be null. Throws Error (run) if it stays too large.
  Eigen::MatrixXd solve(const Eigen::MatrixXd& right, ThreadPool* pool) const;

  /// What it was taken to need, from one block in sixteen, before the others were made.
  double estimated_bytes() const;

private:
  struct State;
  std::unique_ptr<State> state_;
};

} // namespace vlm
