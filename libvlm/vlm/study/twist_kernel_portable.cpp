// For any processor.

#include <vlm/study/twist_kernel_body.hpp>

namespace vlm {
extern const TwistKernel portable_twist_kernel{"portable", loads, seek, evaluate, find_peaks};
} // namespace vlm
