#include <vlm/flow/lu_kernel.hpp>

#include <string_view>

#include <vlm/flow/flow_kernel.hpp>

namespace vlm {

extern const LuKernel portable_lu_kernel, avx2_lu_kernel, avx512_lu_kernel;

const LuKernel* find_lu_kernel(const char* name) {
  if (find_flow_kernel(name) == nullptr)
    return nullptr;
  for (const LuKernel* kernel : {
           &portable_lu_kernel,
#ifdef __x86_64__
           &avx2_lu_kernel,
           &avx512_lu_kernel,
#endif
       })
    if (std::string_view(name) == kernel->name)
      return kernel;
  return nullptr;
}

const LuKernel& lu_kernel() {
  static const LuKernel& kernel = *find_lu_kernel(flow_kernel().name);
  return kernel;
}

} // namespace vlm
