// For any processor.

#include <vlm/flow/lu_kernel_body.hpp>

namespace vlm {
extern const LuKernel portable_lu_kernel{"portable",        factorise<double>, factorise<float>,
                                         eliminate<double>, solve<double>,     solve<float>};
} // namespace vlm
