// A system of which one block is inverted already, for the sources of FlowSystem.

#pragma once

#include <memory>

#include <Eigen/Core>

#include <vlm/flow/dense_factors.hpp>

namespace vlm {

/// Blocks of one system: still unknowns first, moved ones behind them. Rows lie one behind the other where
/// the kernel multiplies with them.
struct StillBlock {
  using Rows = Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, Eigen::RowMajor>;

  std::shared_ptr<const Rows> still_inverse; ///< of the still block: used too often to be solved with
  Rows still_by_moved, moved_by_still;       ///< what couples the two
  Eigen::MatrixXd moved;                     ///< the moved block
  DenseFactors<double> moved_factors{};      ///< of it

  /// Factorises the moved block.
  void factorise();

  /// Solves for columns. One block after the other in turn (Gauss and Seidel), until nothing changes by more
  /// than 1e-14 of the greatest unknown; where that is slow, by the Schur complement of the moved block.
  /// Throws Error (run) if that is singular.
  Eigen::MatrixXd solve(const Eigen::MatrixXd& right) const;
};

/// The inverse of a factorised matrix, some columns on each thread at a time.
StillBlock::Rows inverse(const DenseFactors<double>&, ThreadPool&);

} // namespace vlm
