// For processors with AVX2 and fused multiply-adds.

#include <vlm/flow/dense_kernel_body.hpp>

namespace vlm {
extern constexpr DenseKernel avx2_dense_kernel = kernel_named("avx2");
} // namespace vlm
