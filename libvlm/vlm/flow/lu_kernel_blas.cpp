// For an installed BLAS.

#include <vlm/flow/lu_kernel_body.hpp>

namespace vlm {
extern const LuKernel blas_lu_kernel{"blas", factorise<double>, factorise<float>, solve<double>,
                                     solve<float>};
} // namespace vlm
