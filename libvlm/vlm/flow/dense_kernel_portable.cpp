// For any processor.

#include <vlm/flow/dense_kernel_body.hpp>

namespace vlm {
extern constexpr DenseKernel portable_dense_kernel = kernel_named("portable");
} // namespace vlm
