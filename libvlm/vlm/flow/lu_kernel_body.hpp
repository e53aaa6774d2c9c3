// LU factorisation by Eigen, for the sources that are compiled for one kind of processor, or for the BLAS. In
// each Eigen has another name (see CMakeLists.txt): of an inline function that several share the linker would
// keep one copy, perhaps one that the processor at hand cannot run.

#include <Eigen/LU>

#include <vlm/flow/lu_kernel.hpp>

namespace vlm {
namespace {

template <class Real>
using Square = Eigen::Matrix<Real, Eigen::Dynamic, Eigen::Dynamic>;

// Shows the exchanges of rows, which Eigen keeps to itself.
template <class Real>
struct PivotedFactors : Eigen::PartialPivLU<Eigen::Ref<Square<Real>>> {
  explicit PivotedFactors(Eigen::Ref<Square<Real>> matrix)
      : Eigen::PartialPivLU<Eigen::Ref<Square<Real>>>(matrix) {}
  const auto& swaps() const { return this->m_rowsTranspositions.indices(); }
};

template <class Real>
void factorise(Real* matrix, std::size_t size, int* swaps) {
  const auto n = static_cast<Eigen::Index>(size);
  Eigen::Map<Square<Real>> place(matrix, n, n);
  const PivotedFactors<Real> factors(place);
  for (Eigen::Index i = 0; i < n; ++i)
    swaps[i] = factors.swaps()[i];
}

template <class Real>
void solve(const Real* factors, std::size_t size, const int* swaps, Real* right, std::size_t columns) {
  const auto n = static_cast<Eigen::Index>(size);
  const Eigen::Map<const Square<Real>> f(factors, n, n);
  Eigen::Map<Square<Real>> x(right, n, static_cast<Eigen::Index>(columns));
  for (Eigen::Index i = 0; i < n; ++i)
    x.row(i).swap(x.row(swaps[i]));
  f.template triangularView<Eigen::UnitLower>().solveInPlace(x);
  f.template triangularView<Eigen::Upper>().solveInPlace(x);
}

} // namespace
} // namespace vlm
