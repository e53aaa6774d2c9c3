#include <vlm/flow/cross_approximation.hpp>

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <vector>

#include <Eigen/QR>

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

// left·rightᵀ with the fewest columns that the tolerance allows. With the triangular factors L of left and R of
// right, L·Rᵀ·P = Q·U by pivots; of its first terms left·rightᵀ is left·(Rᵀ·P·U⁻¹) times (right·R⁻¹·P·Uᵀ)ᵀ.
LowRank cut(const Eigen::MatrixXd& left, const Eigen::MatrixXd& right, double tolerance) {
  const Index rank = left.cols();
  const Eigen::HouseholderQR<Eigen::MatrixXd> l(left), r(right);
  const Eigen::MatrixXd of_right = r.matrixQR().topRows(rank).triangularView<Eigen::Upper>();
  Eigen::MatrixXd core = l.matrixQR().topRows(rank).triangularView<Eigen::Upper>();
  core *= of_right.transpose();
  const Eigen::ColPivHouseholderQR<Eigen::MatrixXd> inner(core); // core·P = Q·U
  const Eigen::MatrixXd upper = inner.matrixQR().triangularView<Eigen::Upper>();
  // From the last on: terms that may be left out, then those for which single precision will do.
  Index kept = rank;
  for (double tail2 = 0; kept > 0; --kept)
    if ((tail2 += upper.row(kept - 1).squaredNorm()) > tolerance * tolerance)
      break;
  Index large = kept;
  const double most = rounding_share * tolerance / single_rounding;
  for (double tail2 = 0; large > 0; --large)
    if ((tail2 += upper.row(large - 1).squaredNorm()) > most * most)
      break;
  Eigen::MatrixXd to_left = (of_right.transpose() * inner.colsPermutation()).leftCols(kept);
  upper.topLeftCorner(kept, kept).triangularView<Eigen::Upper>().solveInPlace<Eigen::OnTheRight>(to_left);
  Eigen::MatrixXd to_right = inner.colsPermutation() * upper.topRows(kept).transpose();
  of_right.triangularView<Eigen::Upper>().solveInPlace(to_right);
  const Index small = kept - large;
  return {left * to_left.leftCols(large), right * to_right.leftCols(large),
          (left * to_left.rightCols(small)).cast<float>(), (right * to_right.rightCols(small)).cast<float>()};
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
    row.noalias() -= right.leftCols(rank) * left.row(i).head(rank).transpose();
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
      col.noalias() -= left.leftCols(rank) * right.row(pivot).head(rank).transpose();
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
