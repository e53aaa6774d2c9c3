#include <vlm/flow/lu_kernel.hpp>

#include <string_view>

#include <vlm/flow/flow_kernel.hpp>

namespace vlm {

extern const LuKernel portable_lu_kernel, avx2_lu_kernel;

const LuKernel* find_lu_kernel(const char* name) {
  if (find_flow_kernel(name) == nullptr)
    return nullptr;
#ifdef __x86_64__
  if (std::string_view(name) == avx2_lu_kernel.name)
    return &avx2_lu_kernel;
#endif
  return std::string_view(name) == portable_lu_kernel.name ? &portable_lu_kernel : nullptr;
}

const LuKernel& lu_kernel() {
  static const LuKernel& kernel = [&]() -> const LuKernel& {
    for (const char* name : {flow_kernel().name, "avx2"})
      if (const LuKernel* found = find_lu_kernel(name))
        return *found;
    return portable_lu_kernel;
  }();
  return kernel;
}

} // namespace vlm
