#pragma once

#include <cstddef>

namespace vlm {

/// LU factorisation with partial pivoting by Eigen's products and triangular solves, compiled for one kind of
/// processor. Plain pointers, for code compiled for newer processors must not share a template with the rest.
/// Matrices stand column after column. Kinds of processors may round differently.
struct LuKernel {
  const char* name;

  /// Puts both factors in the place of a matrix or a panel of its columns, [rows × columns], rows ≥ columns,
  /// of which a column begins every `stride` values. swaps: [columns]; row i changed places with row
  /// swaps[i], i rising. By halves of the columns (Toledo 1997, from memory).
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
};

/// The same of a square matrix by the BLAS; there is none unless the library was built with VLM_BLAS.
void factorise_by_blas(double* matrix, std::size_t size, int* swaps);

/// The kernel in use, chosen as flow_kernel is.
const LuKernel& lu_kernel();

/// The kernel of that name; null if there is none or this processor cannot run it.
const LuKernel* find_lu_kernel(const char* name);

} // namespace vlm
