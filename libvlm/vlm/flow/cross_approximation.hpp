#pragma once

#include <cstddef>
#include <functional>

#include <Eigen/Core>

namespace vlm {

/// A matrix [rows × cols] as the sum of two products of low rank. The terms of the second are so small that
/// single precision keeps what the tolerance asks for.
struct LowRank {
  Eigen::MatrixXd left, right;             ///< [rows × rank], [cols × rank]: left·rightᵀ
  Eigen::MatrixXf small_left, small_right; ///< likewise

  std::size_t bytes() const; ///< that its entries take
};

/// Entries of a matrix that is not stored.
struct EntrySource {
  Eigen::Index rows = 0, cols = 0;                           ///< of the matrix
  std::function<void(Eigen::Index, double* entries)> row;    ///< writes the entries of a row [cols]
  std::function<void(Eigen::Index, double* entries)> column; ///< writes the entries of a column [rows]
};

/// A matrix of smooth entries to within a tolerance, an error in the Frobenius norm. Adaptive cross
/// approximation with partial pivoting (Bebendorf, Numer. Math. 86, 2000), then cut to the rank that it needs
/// by a factorisation with column pivoting. Its own estimate of the error stops it too early, so it goes on
/// to a hundredth of the tolerance and until rows picked at random agree with it. Where that takes more
/// than the matrix itself would, all parts of the result are empty, left without rows.
LowRank cross_approximation(const EntrySource&, double tolerance);

} // namespace vlm
