#include <vlm/flow/dense_kernel.hpp>

#include <string_view>

#include <vlm/flow/flow_kernel.hpp>

namespace vlm {

extern const DenseKernel portable_dense_kernel, avx2_dense_kernel, avx512_dense_kernel;

const DenseKernel* find_dense_kernel(const char* name) {
  if (find_flow_kernel(name) == nullptr)
    return nullptr;
  for (const DenseKernel* kernel : {
           &portable_dense_kernel,
#ifdef __x86_64__
           &avx2_dense_kernel,
           &avx512_dense_kernel,
#endif
       })
    if (std::string_view(name) == kernel->name)
      return kernel;
  return nullptr;
}

const DenseKernel& dense_kernel() {
  static const DenseKernel& kernel = *find_dense_kernel(flow_kernel().name);
  return kernel;
}

} // namespace vlm
