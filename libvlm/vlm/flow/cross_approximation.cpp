#include <vlm/flow/cross_approximation.hpp>

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <vector>

#include <vlm/flow/dense_kernel.hpp>
#include <vlm/flow/eigen_index.hpp>

namespace vlm {
namespace {

using Eigen::Index;

constexpr double stop_at = 0.01; // of the tolerance
constexpr int rows_to_check = 3; // at random

// Share of the tolerance that rounding to single precision may take.
constexpr double rounding_share = 0.2;

// What it, and stop_at, leave for terms that are cut off.
constexpr double left_to_cutting = 0.75;
constexpr double single_rounding = 1.2e-7; // both factors

// left·rightᵀ with the fewest columns that the tolerance allows. Both are used up.
LowRank cut(Eigen::MatrixXd left, Eigen::MatrixXd right, double tolerance) {
  const KeptTerms terms =
      dense_kernel().cut(left.data(), as_size(left.rows()), right.data(), as_size(right.rows()),
                         as_size(left.cols()), tolerance, rounding_share * tolerance / single_rounding);
  const auto large = static_cast<Index>(terms.large), small = static_cast<Index>(terms.all) - large;
  return {left.leftCols(large), right.leftCols(large), left.middleCols(large, small).cast<float>(),
          right.middleCols(large, small).cast<float>()};
}

// Takes the first `rank` terms' part out of a row or a column: factor·terms.
void subtract(const Eigen::MatrixXd& factor, Index rank, const Eigen::VectorXd& terms,
              Eigen::VectorXd& from) {
  const Eigen::VectorXd negative = -terms;
  dense_kernel().add_product(factor.data(), as_size(factor.rows()), as_size(rank), as_size(factor.rows()),
                             negative.data(), as_size(rank), 1, from.data(), as_size(factor.rows()));
}

} // namespace

std::size_t LowRank::bytes() const {
  return sizeof(double) * static_cast<std::size_t>(left.size() + right.size()) +
         sizeof(float) * static_cast<std::size_t>(small_left.size() + small_right.size());
}

LowRank cross_approximation(const EntrySource& source, double tolerance) {
  const Index rows = source.rows, cols = source.cols;
  // Most terms will be in single precision.
  const Index most = std::max<Index>(1, std::min({rows, cols, 2 * rows * cols / (rows + cols)}));
  Eigen::MatrixXd left(rows, std::min<Index>(most, 16)), right(cols, std::min<Index>(most, 16));
  Index rank = 0;
  Eigen::VectorXd row(cols), col(rows);
  std::vector<bool> row_used(static_cast<std::size_t>(rows), false);
  std::uint64_t random = 0x9e3779b97f4a7c15u ^ static_cast<std::uint64_t>(rows * 1000003 + cols);
  const auto random_row = [&] {
    random ^= random << 13, random ^= random >> 7, random ^= random << 17;
    return static_cast<Index>(random % static_cast<std::uint64_t>(rows));
  };
  const auto residual_row = [&](Index i) {
    source.row(i, row.data());
    subtract(right, rank, left.row(i).head(rank).transpose(), row);
  };
  const double stop = stop_at * tolerance;
  // A row that by itself lets the whole matrix miss.
  const double row_tolerance = stop / std::sqrt(static_cast<double>(rows));
  Index next = rows / 2;
  bool have_row = false;
  for (;;) {
    if (!have_row)
      residual_row(next);
    have_row = false;
    row_used[static_cast<std::size_t>(next)] = true;
    Index pivot = 0;
    const double largest = row.cwiseAbs().maxCoeff(&pivot);
    bool small = largest * std::sqrt(static_cast<double>(cols)) <= row_tolerance;
    if (!small) {
      if (rank == most)
        return {};
      if (rank == left.cols()) {
        const Index wider = std::min(most, 2 * rank);
        left.conservativeResize(Eigen::NoChange, wider);
        right.conservativeResize(Eigen::NoChange, wider);
      }
      source.column(pivot, col.data());
      subtract(left, rank, right.row(pivot).head(rank).transpose(), col);
      const double scale = 1 / row[pivot];
      left.col(rank) = col;
      right.col(rank) = scale * row;
      ++rank;
      small = left.col(rank - 1).norm() * right.col(rank - 1).norm() <= stop;
      // Next pivot row: where this step was largest among rows not used yet.
      double best = -1;
      for (Index i = 0; i < rows; ++i)
        if (!row_used[static_cast<std::size_t>(i)] && std::abs(col[i]) > best)
          best = std::abs(col[i]), next = i;
      if (best < 0)
        break; // every row is reproduced
    }
    if (!small)
      continue;
    const auto unused = static_cast<int>(std::count(row_used.begin(), row_used.end(), false));
    for (int check = 0; check < std::min(rows_to_check, unused) && !have_row; ++check) {
      Index i = random_row();
      while (row_used[static_cast<std::size_t>(i)])
        i = (i + 1) % rows;
      residual_row(i);
      if (row.norm() > row_tolerance)
        have_row = true, next = i;
    }
    if (!have_row)
      break;
  }
  if (rank == 0)
    return {Eigen::MatrixXd(rows, 0), Eigen::MatrixXd(cols, 0), Eigen::MatrixXf(rows, 0),
            Eigen::MatrixXf(cols, 0)};
  const LowRank result = cut(left.leftCols(rank), right.leftCols(rank), left_to_cutting * tolerance);
  const bool pays = result.bytes() < sizeof(double) * static_cast<std::size_t>(rows * cols);
  return pays ? result : LowRank{};
}

} // namespace vlm
