// For processors with AVX-512.

#include <vlm/flow/dense_kernel_body.hpp>

namespace vlm {
extern const DenseKernel avx512_dense_kernel{"avx512",
                                             factorise<double>,
                                             factorise<float>,
                                             eliminate<double>,
                                             solve<double>,
                                             solve<float>,
                                             add_product<double>,
                                             add_product<float>,
                                             transposed_product<double>,
                                             transposed_product<float>,
                                             cut};
} // namespace vlm
