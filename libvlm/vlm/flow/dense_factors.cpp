#include <vlm/flow/dense_factors.hpp>

#include <Eigen/Dense>

namespace vlm {
namespace {

using Eigen::Index;
using Eigen::MatrixXd;

Eigen::Map<MatrixXd> matrix_of(const DenseFactors& f) {
  return {f.values, static_cast<Index>(f.size), static_cast<Index>(f.size)};
}

// Shows the exchanges of rows, which Eigen keeps to itself.
struct PivotedFactors : Eigen::PartialPivLU<Eigen::Ref<MatrixXd>> {
  explicit PivotedFactors(Eigen::Ref<MatrixXd> matrix) : PartialPivLU(matrix) {}
  const auto& swaps() const { return m_rowsTranspositions.indices(); }
};

void factorise(DenseFactors& f) {
  Eigen::Map<MatrixXd> matrix = matrix_of(f);
  const PivotedFactors factors(matrix);
  f.swaps.assign(factors.swaps().begin(), factors.swaps().end());
}

const std::string eigen = "Eigen " + std::to_string(EIGEN_WORLD_VERSION) + "." +
                          std::to_string(EIGEN_MAJOR_VERSION) + "." + std::to_string(EIGEN_MINOR_VERSION);

} // namespace

#ifdef EIGEN_USE_BLAS
// Eigen's names are others in this source (see CMakeLists.txt), so that no other calls the BLAS, which has
// threads of its own: here it runs alone.
void factorise(std::span<DenseFactors> all, ThreadPool&) {
  for (DenseFactors& f : all)
    factorise(f);
}

std::string linear_algebra() {
  return eigen + " with BLAS, " VLM_BLAS;
}
#else
void factorise(std::span<DenseFactors> all, ThreadPool& pool) {
  pool.for_each(all.size(), [&](std::size_t i) { factorise(all[i]); });
}

std::string linear_algebra() {
  return eigen;
}
#endif

bool singular(const double* factors, std::size_t size) {
  const auto n = static_cast<Index>(size);
  const auto pivots = Eigen::Map<const MatrixXd>(factors, n, n).diagonal().cwiseAbs();
  return size > 0 && (!(pivots.minCoeff() > 1e-14 * pivots.maxCoeff()) || !pivots.allFinite());
}

void solve(const DenseFactors& f, double* right, std::size_t columns) {
  const Eigen::Map<MatrixXd> factors = matrix_of(f);
  Eigen::Map<MatrixXd> x(right, factors.rows(), static_cast<Index>(columns));
  for (std::size_t i = 0; i < f.size; ++i)
    x.row(static_cast<Index>(i)).swap(x.row(static_cast<Index>(f.swaps[i])));
  factors.triangularView<Eigen::UnitLower>().solveInPlace(x);
  factors.triangularView<Eigen::Upper>().solveInPlace(x);
}

} // namespace vlm
