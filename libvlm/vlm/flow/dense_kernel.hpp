#pragma once

#include <cstddef>

namespace vlm {

/// Terms of a product left·rightᵀ that are kept, and how many of them come before those that together are
/// below `small`.
struct KeptTerms {
  std::size_t all, large;
};

/// Dense linear algebra by Eigen, compiled for one kind of processor. Plain pointers, for code compiled for
/// newer processors must not share a template with the rest. Matrices stand column after column, each
/// beginning `stride` values behind the one before. Kinds of processors may round differently.
struct DenseKernel {
  const char* name;

  /// LU factorisation with partial pivoting: puts both factors in the place of a matrix or a panel of its
  /// columns, [rows × columns], rows ≥ columns. swaps: [columns]; row i changed places with row swaps[i], i
  /// rising. By halves of the columns (Toledo 1997, from memory).
  ///@{
  void (*factorise)(double* matrix, std::size_t rows, std::size_t columns, std::size_t stride, int* swaps);
  void (*factorise_single)(float* matrix, std::size_t rows, std::size_t columns, std::size_t stride,
                           int* swaps);
  ///@}

  /// Takes a factorised panel, [rows × width], out of columns beside it, [rows × columns] of the same stride:
  /// changes their rows, puts those of the upper factor in the first `width`, and subtracts their product
  /// with the panel from the rest.
  void (*eliminate)(const double* panel, std::size_t rows, std::size_t width, std::size_t stride,
                    const int* swaps, double* beside, std::size_t columns);

  /// Puts the solution into the place of the right-hand sides, [size × columns], of a square matrix.
  ///@{
  void (*solve)(const double* factors, std::size_t size, const int* swaps, double* right,
                std::size_t columns);
  void (*solve_single)(const float* factors, std::size_t size, const int* swaps, float* right,
                       std::size_t columns);
  ///@}

  /// Adds matrix·x to y, [rows × columns] times [columns × count].
  ///@{
  void (*add_product)(const double* matrix, std::size_t rows, std::size_t columns, std::size_t stride,
                      const double* x, std::size_t x_stride, std::size_t count, double* y,
                      std::size_t y_stride);
  void (*add_product_single)(const float* matrix, std::size_t rows, std::size_t columns, std::size_t stride,
                             const float* x, std::size_t x_stride, std::size_t count, float* y,
                             std::size_t y_stride);
  ///@}

  /// y = matrixᵀ·x, y [columns × count] without gaps.
  ///@{
  void (*transposed_product)(const double* matrix, std::size_t rows, std::size_t columns, const double* x,
                             std::size_t x_stride, std::size_t count, double* y);
  void (*transposed_product_single)(const float* matrix, std::size_t rows, std::size_t columns,
                                    const float* x, std::size_t x_stride, std::size_t count, float* y);
  ///@}

  /// Brings left·rightᵀ, [rows × rank] times the transposed of [columns × rank], to few terms, both factors
  /// in their places: the last of those kept are the smallest, and what is left out is at most `tolerance` in
  /// the Frobenius norm. The strides are `rows` and `columns`, both at least `rank`; the columns of right
  /// must not depend on each other.
  KeptTerms (*cut)(double* left, std::size_t rows, double* right, std::size_t columns, std::size_t rank,
                   double tolerance, double small);
};

/// LU factorisation of a square matrix by the BLAS, swaps as above; there is none unless the library was
/// built with VLM_BLAS.
void factorise_by_blas(double* matrix, std::size_t size, int* swaps);

/// The kernel in use, chosen as flow_kernel is.
const DenseKernel& dense_kernel();

/// The kernel of that name; null if there is none or this processor cannot run it.
const DenseKernel* find_dense_kernel(const char* name);

} // namespace vlm
