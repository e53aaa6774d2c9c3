// For processors with AVX-512.

#include <vlm/flow/dense_kernel_body.hpp>

namespace vlm {
extern constexpr DenseKernel avx512_dense_kernel = kernel_named("avx512");
} // namespace vlm
