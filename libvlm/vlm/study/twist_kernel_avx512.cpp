// For processors with AVX-512.

#include <vlm/study/twist_kernel_body.hpp>

namespace vlm {
extern const TwistKernel avx512_twist_kernel{"avx512", loads, seek, evaluate, find_peaks};
} // namespace vlm
