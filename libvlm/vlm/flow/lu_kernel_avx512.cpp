// For processors with AVX-512.

#include <vlm/flow/lu_kernel_body.hpp>

namespace vlm {
extern const LuKernel avx512_lu_kernel{"avx512",          factorise<double>, factorise<float>,
                                       eliminate<double>, solve<double>,     solve<float>};
} // namespace vlm
