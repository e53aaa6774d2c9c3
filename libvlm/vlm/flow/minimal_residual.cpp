#include <vlm/flow/minimal_residual.hpp>

#include <cmath>
#include <vector>

#include <Eigen/Jacobi>

namespace vlm {
namespace {

using Eigen::Index;

// One system: an orthonormal basis, and the small triangular system that the residual is least by.
struct Column {
  Index at = 0; // in right
  Eigen::MatrixXd basis;
  std::vector<Eigen::VectorXf> steps; // M⁻¹ of each but the last
  Eigen::MatrixXd upper;
  Eigen::VectorXd reduced;
  std::vector<Eigen::JacobiRotation<double>> rotations;

  double residual() const { return std::abs(reduced[static_cast<Index>(rotations.size())]); }

  // Takes in M⁻¹ of the last basis vector and A of that.
  void add(Eigen::VectorXf step, Eigen::VectorXd w) {
    const Index k = static_cast<Index>(rotations.size());
    if (k + 2 > basis.cols()) {
      basis.conservativeResize(Eigen::NoChange, 2 * basis.cols());
      upper.conservativeResize(2 * upper.rows(), 2 * upper.cols());
      reduced.conservativeResize(2 * reduced.size());
    }
    steps.push_back(std::move(step));
    Eigen::VectorXd h = Eigen::VectorXd::Zero(k + 2);
    for (int pass = 0; pass < 2; ++pass) { // twice is enough (Kahan, in Parlett 1980)
      const Eigen::VectorXd part = basis.leftCols(k + 1).transpose() * w;
      w.noalias() -= basis.leftCols(k + 1) * part;
      h.head(k + 1) += part;
    }
    h[k + 1] = w.norm();
    basis.col(k + 1) = h[k + 1] > 0 ? Eigen::VectorXd(w / h[k + 1]) : w;
    for (Index i = 0; i < k; ++i)
      h.applyOnTheLeft(i, i + 1, rotations[static_cast<std::size_t>(i)].adjoint());
    rotations.emplace_back();
    rotations.back().makeGivens(h[k], h[k + 1]);
    h.applyOnTheLeft(k, k + 1, rotations.back().adjoint());
    reduced[k + 1] = 0;
    reduced.applyOnTheLeft(k, k + 1, rotations.back().adjoint());
    upper.col(k).head(k + 1) = h.head(k + 1);
  }

  Eigen::VectorXd solution() const {
    const Index k = static_cast<Index>(rotations.size());
    const Eigen::VectorXd share =
        upper.topLeftCorner(k, k).triangularView<Eigen::Upper>().solve(reduced.head(k));
    Eigen::VectorXd sum = Eigen::VectorXd::Zero(basis.rows());
    for (Index i = 0; i < k; ++i)
      sum += share[i] * steps[static_cast<std::size_t>(i)].cast<double>();
    return sum;
  }
};

} // namespace

Eigen::MatrixXd minimal_residual(const std::function<Eigen::MatrixXd(const Eigen::MatrixXd&)>& multiply,
                                 const std::function<Eigen::MatrixXf(const Eigen::MatrixXd&)>& precondition,
                                 const Eigen::MatrixXd& right, const Eigen::RowVectorXd& allowed, int most) {
  constexpr Index at_first = 32; // steps that room is made for
  std::vector<Column> columns;
  for (Index c = 0; c < right.cols(); ++c) {
    const double norm = right.col(c).norm();
    if (norm <= allowed[c])
      continue;
    Column column{c,
                  Eigen::MatrixXd(right.rows(), at_first),
                  {},
                  Eigen::MatrixXd::Zero(at_first, at_first),
                  Eigen::VectorXd::Zero(at_first),
                  {}};
    column.basis.col(0) = right.col(c) / norm;
    column.reduced[0] = norm;
    columns.push_back(std::move(column));
  }
  for (int step = 0; step < most; ++step) {
    std::vector<Column*> open;
    for (Column& column : columns)
      if (column.residual() > allowed[column.at])
        open.push_back(&column);
    if (open.empty())
      break;
    Eigen::MatrixXd v(right.rows(), static_cast<Index>(open.size()));
    for (std::size_t c = 0; c < open.size(); ++c)
      v.col(static_cast<Index>(c)) = open[c]->basis.col(static_cast<Index>(open[c]->rotations.size()));
    const Eigen::MatrixXf steps = precondition(v);
    const Eigen::MatrixXd w = multiply(steps.cast<double>());
    for (std::size_t c = 0; c < open.size(); ++c)
      open[c]->add(steps.col(static_cast<Index>(c)), w.col(static_cast<Index>(c)));
  }
  Eigen::MatrixXd result = Eigen::MatrixXd::Zero(right.rows(), right.cols());
  for (const Column& column : columns)
    result.col(column.at) = column.solution();
  return result;
}

} // namespace vlm
