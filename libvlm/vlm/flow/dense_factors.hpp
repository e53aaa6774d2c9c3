// LU factorisation of dense matrices, for the sources that solve with them.

#pragma once

#include <cstdlib>
#include <memory>
#include <span>
#include <string>
#include <vector>

#include <Eigen/Core>

#include <vlm/base/thread_pool.hpp>

namespace vlm {

/// A matrix, not set to anything at first. It starts on a multiple of 64 bytes: what loops by vectors leave
/// over at their ends is rounded otherwise, which must not depend on where memory happened to be free.
template <class Real>
class AlignedMatrix {
public:
  using Matrix = Eigen::Matrix<Real, Eigen::Dynamic, Eigen::Dynamic>;

  AlignedMatrix() = default;
  AlignedMatrix(Eigen::Index rows, Eigen::Index cols);

  Eigen::Map<Matrix> map() { return {values_.get(), rows_, cols_}; }
  Eigen::Map<const Matrix> map() const { return {values_.get(), rows_, cols_}; }

private:
  struct Free {
    void operator()(Real* values) const { std::free(values); }
  };
  std::unique_ptr<Real, Free> values_;
  Eigen::Index rows_ = 0, cols_ = 0;
};

/// A square matrix, then its LU factors with partial pivoting in the same place.
template <class Real>
struct DenseFactors {
  AlignedMatrix<Real> values{};
  std::vector<int> swaps{}; ///< row i changed places with row swaps[i], i rising
};

/// Factorises a matrix on this thread, by Eigen's products and triangular solves.
///@{
DenseFactors<double> factorised(const Eigen::MatrixXd&);
DenseFactors<float> factorised(const Eigen::MatrixXf&);
///@}

/// Factorises matrices in place likewise, panel by panel on all threads of the pool or, built with VLM_BLAS,
/// one after another by the BLAS on as many threads as that takes, while the pool waits.
void factorise(std::span<DenseFactors<double>* const>, ThreadPool&);

/// Whether some pivot is below 1e-14 of the greatest: there is no answer worth having.
bool singular(const DenseFactors<double>&);

/// The solution of right-hand sides [size × columns].
///@{
Eigen::MatrixXd solve(const DenseFactors<double>&, const Eigen::MatrixXd& right);
Eigen::MatrixXf solve(const DenseFactors<float>&, const Eigen::MatrixXf& right);
///@}

/// What factorises, for results: "Eigen 3.4.0" or, built with VLM_BLAS, "Eigen 3.4.0 with BLAS,
/// libopenblas".
std::string linear_algebra();

} // namespace vlm
