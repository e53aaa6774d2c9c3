#include <vlm/flow/dense_factors.hpp>

#include <new>

#include <vlm/flow/lu_kernel.hpp>

namespace vlm {
namespace {

using Factorise = void(double* matrix, std::size_t size, int* swaps);

void factorise_by(Factorise* way, DenseFactors<double>& f) {
  f.swaps.resize(static_cast<std::size_t>(f.values.map().rows()));
  way(f.values.map().data(), f.swaps.size(), f.swaps.data());
}

template <class Real>
AlignedMatrix<Real> aligned(const typename AlignedMatrix<Real>::Matrix& matrix) {
  AlignedMatrix<Real> copy(matrix.rows(), matrix.cols());
  copy.map() = matrix;
  return copy;
}

const std::string eigen = "Eigen " + std::to_string(EIGEN_WORLD_VERSION) + "." +
                          std::to_string(EIGEN_MAJOR_VERSION) + "." + std::to_string(EIGEN_MINOR_VERSION);

} // namespace

template <class Real>
AlignedMatrix<Real>::AlignedMatrix(Eigen::Index rows, Eigen::Index cols) : rows_(rows), cols_(cols) {
  constexpr std::size_t alignment = 64;
  const std::size_t bytes = sizeof(Real) * static_cast<std::size_t>(rows * cols);
  // A multiple of the alignment, as aligned_alloc wants.
  values_.reset(static_cast<Real*>(std::aligned_alloc(alignment, (bytes / alignment + 1) * alignment)));
  if (!values_)
    throw std::bad_alloc();
}

template class AlignedMatrix<double>;

DenseFactors<double> factorised(const Eigen::MatrixXd& matrix) {
  DenseFactors<double> f{aligned<double>(matrix)};
  factorise_by(lu_kernel().factorise, f);
  return f;
}

DenseFactors<float> factorised(const Eigen::MatrixXf& matrix) {
  DenseFactors<float> f{aligned<float>(matrix)};
  f.swaps.resize(static_cast<std::size_t>(matrix.rows()));
  lu_kernel().factorise_single(f.values.map().data(), f.swaps.size(), f.swaps.data());
  return f;
}

#ifdef VLM_BLAS
// The BLAS has threads of its own: here it runs alone.
void factorise(std::span<DenseFactors<double>* const> all, ThreadPool&) {
  for (DenseFactors<double>* f : all)
    factorise_by(factorise_by_blas, *f);
}

std::string linear_algebra() {
  return eigen + " with BLAS, " VLM_BLAS;
}
#else
void factorise(std::span<DenseFactors<double>* const> all, ThreadPool& pool) {
  pool.for_each(all.size(), [&](std::size_t i) { factorise_by(lu_kernel().factorise, *all[i]); });
}

std::string linear_algebra() {
  return eigen;
}
#endif

bool singular(const DenseFactors<double>& f) {
  const auto pivots = f.values.map().diagonal().cwiseAbs();
  return pivots.size() > 0 && (!(pivots.minCoeff() > 1e-14 * pivots.maxCoeff()) || !pivots.allFinite());
}

Eigen::MatrixXd solve(const DenseFactors<double>& f, const Eigen::MatrixXd& right) {
  AlignedMatrix<double> x = aligned<double>(right);
  lu_kernel().solve(f.values.map().data(), f.swaps.size(), f.swaps.data(), x.map().data(),
                    static_cast<std::size_t>(right.cols()));
  return x.map();
}

Eigen::MatrixXf solve(const DenseFactors<float>& f, const Eigen::MatrixXf& right) {
  AlignedMatrix<float> x = aligned<float>(right);
  lu_kernel().solve_single(f.values.map().data(), f.swaps.size(), f.swaps.data(), x.map().data(),
                           static_cast<std::size_t>(right.cols()));
  return x.map();
}

} // namespace vlm
