// A system of which one block is factorised already, for the sources of FlowSystem.

#pragma once

#include <memory>

#include <Eigen/Core>

#include <vlm/flow/dense_factors.hpp>

namespace vlm {

/// Blocks of one system: still unknowns first, moved ones behind them.
struct StillBlock {
  std::shared_ptr<const DenseFactors<double>> still;     ///< factors of the still block
  Eigen::MatrixXd still_by_moved, moved_by_still, moved; ///< the other three
  DenseFactors<double> moved_factors{};                  ///< of the last

  /// Factorises the moved block.
  void factorise();

  /// Solves for columns. One block after the other in turn (Gauss and Seidel), until nothing changes by more
  /// than 1e-14 of the greatest unknown; where that is slow, by the Schur complement of the moved block.
  /// Throws Error (run) if that is singular.
  Eigen::MatrixXd solve(const Eigen::MatrixXd& right) const;
};

} // namespace vlm
