#include <vlm/flow/vector_portable.hpp>

#include <vlm/flow/line_kernel_body.hpp>
#include <vlm/flow/product_kernel_body.hpp>
#include <vlm/flow/ring_kernel_body.hpp>
#include <vlm/flow/sheet_kernel_body.hpp>

namespace vlm {
extern const FlowKernel portable_flow_kernel{"portable",  rays,           panels,         ring_row,
                                             ring_column, ribbon_moments, ribbon_weights, products};
} // namespace vlm
