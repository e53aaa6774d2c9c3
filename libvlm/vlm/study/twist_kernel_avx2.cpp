// For processors with AVX2.

#include <vlm/study/twist_kernel_body.hpp>

namespace vlm {
extern const TwistKernel avx2_twist_kernel{"avx2", loads, seek, evaluate, find_peaks};
} // namespace vlm
