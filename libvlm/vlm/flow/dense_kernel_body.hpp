// Dense linear algebra by Eigen, for the sources that are compiled for one kind of processor. In each Eigen
// has another name (see CMakeLists.txt): of an inline function that several share the linker would keep one
// copy, perhaps one that the processor at hand cannot run.

#include <Eigen/Core>
#include <Eigen/QR>

#include <vlm/flow/dense_kernel.hpp>

namespace vlm {
namespace {

template <class Real>
using Square = Eigen::Matrix<Real, Eigen::Dynamic, Eigen::Dynamic>;
template <class Real>
using Block = Eigen::Ref<Square<Real>, 0, Eigen::OuterStride<>>;
template <class Real>
using ConstBlock = Eigen::Ref<const Square<Real>, 0, Eigen::OuterStride<>>;

// Row i changes places with row swaps[i], for i from first to last.
template <class Real>
void swap_rows(Block<Real> a, const int* swaps, Eigen::Index first, Eigen::Index last) {
  for (Eigen::Index j = 0; j < a.cols(); ++j)
    for (Eigen::Index i = first; i < last; ++i) {
      const Real other = a(swaps[i], j);
      a(swaps[i], j) = a(i, j);
      a(i, j) = other;
    }
}

template <class Real>
void eliminate(const ConstBlock<Real>& panel, const int* swaps, Block<Real> beside) {
  const Eigen::Index width = panel.cols(), below = panel.rows() - width;
  swap_rows<Real>(beside, swaps, 0, width);
  panel.topRows(width).template triangularView<Eigen::UnitLower>().solveInPlace(beside.topRows(width));
  beside.bottomRows(below).noalias() -= panel.bottomRows(below) * beside.topRows(width);
}

// Column after column, for a few.
template <class Real>
void factorise_narrow(Block<Real> a, int* swaps) {
  for (Eigen::Index k = 0; k < a.cols(); ++k) {
    auto column = a.col(k).tail(a.rows() - k);
    // The first of the greatest. By vectors, as Eigen's search for its place is not.
    const Real greatest = column.cwiseAbs().maxCoeff();
    Eigen::Index pivot = 0;
    while (pivot + 1 < column.size() && column.cwiseAbs()(pivot) != greatest)
      ++pivot;
    swaps[k] = static_cast<int>(k + pivot);
    if (greatest == 0)
      continue;
    if (pivot > 0)
      a.row(k).swap(a.row(k + pivot));
    const Eigen::Index below = a.rows() - k - 1, right = a.cols() - k - 1;
    column.tail(below) /= a(k, k);
    a.bottomRightCorner(below, right).noalias() -= column.tail(below) * a.row(k).tail(right);
  }
}

template <class Real>
void factorise(Block<Real> a, int* swaps) {
  constexpr Eigen::Index narrow = 8;
  const Eigen::Index rows = a.rows(), columns = a.cols();
  if (columns <= narrow)
    return factorise_narrow<Real>(a, swaps);
  const Eigen::Index left = (columns / 2 + narrow - 1) / narrow * narrow, right = columns - left;
  factorise<Real>(a.leftCols(left), swaps);
  eliminate<Real>(a.leftCols(left), swaps, a.rightCols(right));
  factorise<Real>(a.bottomRightCorner(rows - left, right), swaps + left);
  for (Eigen::Index i = left; i < columns; ++i)
    swaps[i] += static_cast<int>(left);
  swap_rows<Real>(a.leftCols(left), swaps, left, columns);
}

// Of a matrix of which a column begins every `stride` values.
template <class Matrix, class Real>
Eigen::Map<Matrix, 0, Eigen::OuterStride<>> columns_of(Real* first, std::size_t rows, std::size_t columns,
                                                       std::size_t stride) {
  return {first, static_cast<Eigen::Index>(rows), static_cast<Eigen::Index>(columns),
          Eigen::OuterStride<>(static_cast<Eigen::Index>(stride))};
}

template <class Real>
void factorise(Real* matrix, std::size_t rows, std::size_t columns, std::size_t stride, int* swaps) {
  factorise<Real>(columns_of<Square<Real>>(matrix, rows, columns, stride), swaps);
}

template <class Real>
void eliminate(const Real* panel, std::size_t rows, std::size_t width, std::size_t stride, const int* swaps,
               Real* beside, std::size_t columns) {
  eliminate<Real>(columns_of<const Square<Real>>(panel, rows, width, stride), swaps,
                  columns_of<Square<Real>>(beside, rows, columns, stride));
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

template <class Real>
void add_product(const Real* matrix, std::size_t rows, std::size_t columns, std::size_t stride, const Real* x,
                 std::size_t x_stride, std::size_t count, Real* y, std::size_t y_stride) {
  const auto a = columns_of<const Square<Real>>(matrix, rows, columns, stride),
             right = columns_of<const Square<Real>>(x, columns, count, x_stride);
  auto to = columns_of<Square<Real>>(y, rows, count, y_stride);
  // Eigen sums up products below its own EIGEN_GEMM_TO_COEFFBASED_THRESHOLD, 20, by vectors as far as y is
  // aligned, and rounds the rest otherwise: bits must not depend on where memory happened to be free.
  if (rows + columns + count >= 20)
    to.noalias() += a * right;
  else
    for (Eigen::Index c = 0; c < to.cols(); ++c)
      to.col(c).noalias() += a * right.col(c);
}

template <class Real>
void transposed_product(const Real* matrix, std::size_t rows, std::size_t columns, const Real* x,
                        std::size_t x_stride, std::size_t count, Real* y) {
  columns_of<Square<Real>>(y, columns, count, columns).noalias() =
      columns_of<const Square<Real>>(matrix, rows, columns, rows).transpose() *
      columns_of<const Square<Real>>(x, rows, count, x_stride);
}

// With the triangular factors L of left and R of right, L·Rᵀ·P = Q·U by pivots; of its first terms
// left·rightᵀ is left·(Rᵀ·P·U⁻¹) times (right·R⁻¹·P·Uᵀ)ᵀ.
KeptTerms cut(double* left_values, std::size_t rows, double* right_values, std::size_t columns,
              std::size_t num_terms, double tolerance, double small) {
  auto left = columns_of<Square<double>>(left_values, rows, num_terms, rows),
       right = columns_of<Square<double>>(right_values, columns, num_terms, columns);
  const Eigen::Index rank = left.cols();
  const Eigen::HouseholderQR<Square<double>> l(left), r(right);
  const Square<double> of_right = r.matrixQR().topRows(rank).triangularView<Eigen::Upper>();
  Square<double> core = l.matrixQR().topRows(rank).triangularView<Eigen::Upper>();
  core *= of_right.transpose();
  const Eigen::ColPivHouseholderQR<Square<double>> inner(core); // core·P = Q·U
  const Square<double> upper = inner.matrixQR().triangularView<Eigen::Upper>();
  // Terms from the last on whose squares together are no more than that of `most` can go.
  const auto before = [&](Eigen::Index terms, double most) {
    for (double tail2 = 0; terms > 0; --terms)
      if ((tail2 += upper.row(terms - 1).squaredNorm()) > most * most)
        break;
    return terms;
  };
  const Eigen::Index kept = before(rank, tolerance), large = before(kept, small);
  Square<double> to_left = (of_right.transpose() * inner.colsPermutation()).leftCols(kept);
  upper.topLeftCorner(kept, kept).triangularView<Eigen::Upper>().solveInPlace<Eigen::OnTheRight>(to_left);
  Square<double> to_right = inner.colsPermutation() * upper.topRows(kept).transpose();
  of_right.triangularView<Eigen::Upper>().solveInPlace(to_right);
  left.leftCols(kept) = left * to_left;
  right.leftCols(kept) = right * to_right;
  return {static_cast<std::size_t>(kept), static_cast<std::size_t>(large)};
}

// All of them, compiled for the processor of that name.
constexpr DenseKernel kernel_named(const char* name) {
  return {name,
          factorise<double>,
          factorise<float>,
          eliminate<double>,
          solve<double>,
          solve<float>,
          add_product<double>,
          add_product<float>,
          transposed_product<double>,
          transposed_product<float>,
          cut};
}

} // namespace
} // namespace vlm
