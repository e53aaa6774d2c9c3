#include <vlm/flow/flow_kernel.hpp>

#include <cstdlib>
#include <string>
#include <string_view>

#include <vlm/base/error.hpp>

namespace vlm {

extern const FlowKernel portable_flow_kernel, avx2_flow_kernel, avx512_flow_kernel;

const FlowKernel* find_flow_kernel(const char* name) {
  const std::string_view wanted = name;
  if (wanted == portable_flow_kernel.name)
    return &portable_flow_kernel;
#ifdef __x86_64__
  if (wanted == avx2_flow_kernel.name && __builtin_cpu_supports("avx2") && __builtin_cpu_supports("fma"))
    return &avx2_flow_kernel;
  if (wanted == avx512_flow_kernel.name && __builtin_cpu_supports("avx512f") && __builtin_cpu_supports("fma"))
    return &avx512_flow_kernel;
#endif
  return nullptr;
}

namespace {

const FlowKernel& chosen() {
  if (const char* forced = std::getenv("VLM_SIMD")) {
    if (const FlowKernel* kernel = find_flow_kernel(forced))
      return *kernel;
    std::string runs;
    for (const char* name : {"portable", "avx2", "avx512"})
      if (find_flow_kernel(name))
        runs += (runs.empty() ? "" : " or ") + std::string(name);
    throw Error("VLM_SIMD: found '" + std::string(forced) + "', wanted " + runs +
                ", which this processor runs, or the variable unset");
  }
  for (const char* name : {"avx512", "avx2"})
    if (const FlowKernel* kernel = find_flow_kernel(name))
      return *kernel;
  return portable_flow_kernel;
}

} // namespace

const FlowKernel& flow_kernel() {
  static const FlowKernel& kernel = chosen();
  return kernel;
}

} // namespace vlm
