#include <vlm/study/twist_kernel.hpp>

#include <string_view>

#include <vlm/flow/line_kernel.hpp>

namespace vlm {

extern const TwistKernel portable_twist_kernel, avx2_twist_kernel, avx512_twist_kernel;

const TwistKernel* find_twist_kernel(const char* name) {
  if (find_line_kernel(name) == nullptr)
    return nullptr;
#ifdef __x86_64__
  for (const TwistKernel* kernel : {&avx2_twist_kernel, &avx512_twist_kernel})
    if (std::string_view(name) == kernel->name)
      return kernel;
#endif
  return &portable_twist_kernel;
}

const TwistKernel& twist_kernel() {
  static const TwistKernel& kernel = *find_twist_kernel(line_kernel().name);
  return kernel;
}

} // namespace vlm
