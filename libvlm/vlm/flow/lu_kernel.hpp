#pragma once

#include <cstddef>

namespace vlm {

/// Eigen's LU factorisation with partial pivoting, compiled for one kind of processor. Plain pointers, for
/// code compiled for newer processors must not share a template with the rest. Matrices [size × size] stand
/// column after column. Kinds of processors may round differently.
struct LuKernel {
  const char* name;

  /// Puts both factors in the matrix's place. swaps: [size]; row i changed places with row swaps[i], i
  /// rising.
  ///@{
  void (*factorise)(double* matrix, std::size_t size, int* swaps);
  void (*factorise_single)(float* matrix, std::size_t size, int* swaps);
  ///@}

  /// Puts the solution into the place of the right-hand sides, [size × columns].
  ///@{
  void (*solve)(const double* factors, std::size_t size, const int* swaps, double* right,
                std::size_t columns);
  void (*solve_single)(const float* factors, std::size_t size, const int* swaps, float* right,
                       std::size_t columns);
  ///@}
};

/// LuKernel::factorise by the BLAS; there is none unless the library was built with VLM_BLAS.
void factorise_by_blas(double* matrix, std::size_t size, int* swaps);

/// The kernel in use, chosen as flow_kernel is; on processors with AVX-512 the one for AVX2.
const LuKernel& lu_kernel();

/// The kernel of that name; null if there is none or this processor cannot run it.
const LuKernel* find_lu_kernel(const char* name);

} // namespace vlm
