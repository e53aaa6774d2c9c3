#include <vlm/flow/still_block.hpp>

#include <algorithm>

#include <vlm/base/error.hpp>
#include <vlm/flow/flow_kernel.hpp>

namespace vlm {
namespace {

using Eigen::Index;
using Rows = StillBlock::Rows;

constexpr int most_sweeps = 12;
constexpr double settled_change = 1e-14;

// Columns beside each other, with as many more of zeros as the kernel wants.
Rows padded(const Eigen::Ref<const Eigen::MatrixXd>& columns) {
  Rows rows =
      Rows::Zero(columns.rows(), static_cast<Index>(line_width(static_cast<std::size_t>(columns.cols()))));
  rows.leftCols(columns.cols()) = columns;
  return rows;
}

Rows product(const Rows& a, const Rows& x) {
  Rows result(a.rows(), x.cols());
  flow_kernel().products(a.data(), static_cast<std::size_t>(a.rows()), static_cast<std::size_t>(a.cols()),
                         x.data(), static_cast<std::size_t>(x.cols()), result.data());
  return result;
}

} // namespace

StillBlock::Rows inverse(const DenseFactors<double>& factors, ThreadPool& pool) {
  constexpr Index most = 64; // columns at once
  const auto size = static_cast<Index>(factors.swaps.size());
  Rows result(size, size);
  pool.for_each(static_cast<std::size_t>((size + most - 1) / most), [&](std::size_t i) {
    const Index first = static_cast<Index>(i) * most, count = std::min(most, size - first);
    Eigen::MatrixXd unit = Eigen::MatrixXd::Zero(size, count);
    unit.middleRows(first, count).setIdentity();
    result.middleCols(first, count) = solve(factors, unit);
  });
  return result;
}

void StillBlock::factorise() {
  moved_factors = factorised(moved);
}

Eigen::MatrixXd StillBlock::solve(const Eigen::MatrixXd& right) const {
  const Index n = still_by_moved.rows(), m = moved.rows(), columns = right.cols();
  if (n == 0)
    return vlm::solve(moved_factors, right);
  const Rows alone = product(*still_inverse, padded(right.topRows(n)));
  if (m == 0)
    return alone.leftCols(columns);
  Eigen::MatrixXd result(n + m, columns), y = Eigen::MatrixXd::Zero(m, columns);
  Rows x = alone;
  for (int i = 0; i < most_sweeps; ++i) {
    const Eigen::MatrixXd next =
        vlm::solve(moved_factors, right.bottomRows(m) - product(moved_by_still, x).leftCols(columns));
    const double change = (next - y).cwiseAbs().maxCoeff();
    y = next;
    x = alone - product(*still_inverse, product(still_by_moved, padded(y)));
    if (change <= settled_change * std::max(x.cwiseAbs().maxCoeff(), y.cwiseAbs().maxCoeff())) {
      result << x.leftCols(columns), y;
      return result;
    }
  }
  const Rows spread = product(*still_inverse, padded(still_by_moved));
  const DenseFactors<double> complement =
      factorised(Eigen::MatrixXd(moved - product(moved_by_still, spread).leftCols(m)));
  if (singular(complement))
    throw Error("the system of the lattice is singular: two surfaces lie in each other", ErrorKind::run);
  y = vlm::solve(complement, right.bottomRows(m) - product(moved_by_still, alone).leftCols(columns));
  x = alone - product(spread.leftCols(m), padded(y));
  result << x.leftCols(columns), y;
  return result;
}

} // namespace vlm
