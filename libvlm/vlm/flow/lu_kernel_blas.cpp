// For an installed BLAS.

#include <vlm/flow/lu_kernel_body.hpp>

namespace vlm {

void factorise_by_blas(double* matrix, std::size_t size, int* swaps) {
  factorise(matrix, size, swaps);
}

} // namespace vlm
