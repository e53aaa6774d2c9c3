#include <vlm/flow/line_kernel.hpp>

#include <cstdlib>
#include <string>
#include <string_view>

#include <vlm/base/error.hpp>

namespace vlm {

extern const LineKernel portable_line_kernel, avx2_line_kernel, avx512_line_kernel;

const LineKernel* find_line_kernel(const char* name) {
  const std::string_view wanted = name;
  if (wanted == portable_line_kernel.name)
    return &portable_line_kernel;
#ifdef __x86_64__
  if (wanted == avx2_line_kernel.name && __builtin_cpu_supports("avx2") && __builtin_cpu_supports("fma"))
    return &avx2_line_kernel;
  if (wanted == avx512_line_kernel.name && __builtin_cpu_supports("avx512f"))
    return &avx512_line_kernel;
#endif
  return nullptr;
}

namespace {

const LineKernel& chosen() {
  if (const char* forced = std::getenv("VLM_SIMD")) {
    if (const LineKernel* kernel = find_line_kernel(forced))
      return *kernel;
    std::string runs;
    for (const char* name : {"portable", "avx2", "avx512"})
      if (find_line_kernel(name))
        runs += (runs.empty() ? "" : " or ") + std::string(name);
    throw Error("VLM_SIMD: found '" + std::string(forced) + "', wanted " + runs +
                ", which this processor runs, or the variable unset");
  }
  for (const char* name : {"avx512", "avx2"})
    if (const LineKernel* kernel = find_line_kernel(name))
      return *kernel;
  return portable_line_kernel;
}

} // namespace

const LineKernel& line_kernel() {
  static const LineKernel& kernel = chosen();
  return kernel;
}

} // namespace vlm
