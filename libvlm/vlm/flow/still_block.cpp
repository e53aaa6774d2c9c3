#include <vlm/flow/still_block.hpp>

#include <vlm/base/error.hpp>
#include <vlm/flow/dense_factors.hpp>

namespace vlm {
namespace {

constexpr int most_sweeps = 12;
constexpr double settled = 1e-14;

} // namespace

void StillBlock::factorise() {
  moved_factors.compute(moved);
}

Eigen::MatrixXd StillBlock::solve(const Eigen::MatrixXd& right) const {
  const Eigen::Index n = still_by_moved.rows(), m = moved.rows(), columns = right.cols();
  if (m == 0)
    return still->solve(right);
  if (n == 0)
    return moved_factors.solve(right);
  Eigen::MatrixXd result(n + m, columns);
  auto x = result.topRows(n), y = result.bottomRows(m);
  const Eigen::MatrixXd alone = still->solve(right.topRows(n));
  x = alone;
  y.setZero();
  for (int i = 0; i < most_sweeps; ++i) {
    const Eigen::MatrixXd next = moved_factors.solve(right.bottomRows(m) - moved_by_still * x);
    const double change = (next - y).cwiseAbs().maxCoeff();
    y = next;
    x = alone - still->solve(still_by_moved * y);
    if (change <= settled * std::max(x.cwiseAbs().maxCoeff(), y.cwiseAbs().maxCoeff()))
      return result;
  }
  const Eigen::MatrixXd spread = still->solve(still_by_moved);
  const Eigen::PartialPivLU<Eigen::MatrixXd> complement(moved - moved_by_still * spread);
  if (singular(complement.matrixLU().data(), static_cast<std::size_t>(m)))
    throw Error("the system of the lattice is singular: two surfaces lie in each other", ErrorKind::run);
  y = complement.solve(right.bottomRows(m) - moved_by_still * alone);
  x = alone - spread * y;
  return result;
}

} // namespace vlm
