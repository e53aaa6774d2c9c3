// For processors with AVX2 and fused multiply-adds.

#include <vlm/flow/lu_kernel_body.hpp>

namespace vlm {
extern const LuKernel avx2_lu_kernel{"avx2",        factorise<double>, factorise<float>, eliminate<double>,
                                     solve<double>, solve<float>};
} // namespace vlm
