// Blocks that the matrix of a hierarchical system is made of.

#pragma once

#include <cstddef>

#include <Eigen/Core>

#include <vlm/flow/cross_approximation.hpp>
#include <vlm/flow/ring_basis.hpp>

namespace vlm {

/// Part of the matrix, for control points and rings or wakes that follow each other.
struct MatrixBlock {
  enum class Kind { rings, wakes, whole_rows } kind;
  const RingCluster* target;
  const RingCluster* rings;
  const WakeCluster* wakes;
  bool far; // whether low rank is tried
  Eigen::Index first_row, rows, first_column, columns;
  Eigen::MatrixXd whole = {}; // this or low_rank
  LowRank low_rank = {};
  bool made = false;

  bool is_whole() const { return whole.size() > 0; }
  double entries() const { return static_cast<double>(rows) * static_cast<double>(columns); }
  double bytes() const {
    return static_cast<double>(low_rank.bytes() + sizeof(double) * static_cast<std::size_t>(whole.size()));
  }
};

} // namespace vlm
