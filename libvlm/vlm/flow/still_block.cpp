#include <vlm/flow/still_block.hpp>

#include <vlm/base/error.hpp>

namespace vlm {
namespace {

constexpr int most_sweeps = 12;
constexpr double settled_change = 1e-14;

} // namespace

void StillBlock::factorise() {
  moved_factors = factorised(moved);
}

Eigen::MatrixXd StillBlock::solve(const Eigen::MatrixXd& right) const {
  const Eigen::Index n = still_by_moved.rows(), m = moved.rows(), columns = right.cols();
  if (m == 0)
    return vlm::solve(*still, right);
  if (n == 0)
    return vlm::solve(moved_factors, right);
  Eigen::MatrixXd result(n + m, columns);
  auto x = result.topRows(n), y = result.bottomRows(m);
  const Eigen::MatrixXd alone = vlm::solve(*still, right.topRows(n));
  x = alone;
  y.setZero();
  for (int i = 0; i < most_sweeps; ++i) {
    const Eigen::MatrixXd next = vlm::solve(moved_factors, right.bottomRows(m) - moved_by_still * x);
    const double change = (next - y).cwiseAbs().maxCoeff();
    y = next;
    x = alone - vlm::solve(*still, still_by_moved * y);
    if (change <= settled_change * std::max(x.cwiseAbs().maxCoeff(), y.cwiseAbs().maxCoeff()))
      return result;
  }
  const Eigen::MatrixXd spread = vlm::solve(*still, still_by_moved);
  const DenseFactors<double> complement = factorised(Eigen::MatrixXd(moved - moved_by_still * spread));
  if (singular(complement))
    throw Error("the system of the lattice is singular: two surfaces lie in each other", ErrorKind::run);
  y = vlm::solve(complement, right.bottomRows(m) - moved_by_still * alone);
  x = alone - spread * y;
  return result;
}

} // namespace vlm
