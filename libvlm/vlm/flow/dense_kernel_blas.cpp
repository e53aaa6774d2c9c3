// For an installed BLAS. Eigen has another name here, as in the other kernels.

#include <Eigen/LU>

#include <vlm/flow/dense_kernel.hpp>

namespace vlm {
namespace {

using Square = Eigen::Ref<Eigen::MatrixXd>;

// Shows the exchanges of rows, which Eigen keeps to itself.
struct PivotedFactors : Eigen::PartialPivLU<Square> {
  explicit PivotedFactors(Square matrix) : Eigen::PartialPivLU<Square>(matrix) {}
  const auto& swaps() const { return m_rowsTranspositions.indices(); }
};

} // namespace

void factorise_by_blas(double* matrix, std::size_t size, int* swaps) {
  const auto n = static_cast<Eigen::Index>(size);
  Eigen::Map<Eigen::MatrixXd> place(matrix, n, n);
  const PivotedFactors factors(place);
  for (Eigen::Index i = 0; i < n; ++i)
    swaps[i] = factors.swaps()[i];
}

} // namespace vlm
