// The horseshoe kernel, for each kind of processor that this machine is, beside the floor under it: one
// square root and two divisions a panel, compiled with the same flags.

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

#include <vlm/flow/flow_kernel.hpp>

#include "figure.hpp"

namespace bench {
namespace {

constexpr std::size_t edges = 41, per_strip = 8, num_panels = (edges - 1) * per_strip;
constexpr std::size_t width = vlm::line_width(edges);
constexpr int passes = 500; // so that a sample lasts about a millisecond

using Floor = void (*)(const double*, const double*, double*, std::size_t);

#define FLOOR(name, ...)                                                                                     \
  __VA_ARGS__ void floor_##name(const double* a, const double* b, double* c, std::size_t count) {            \
    for (std::size_t i = 0; i < count; ++i)                                                                  \
      c[i] = a[i] / std::sqrt(b[i]) + b[i] / a[i];                                                           \
  }
FLOOR(portable, )
#ifdef __x86_64__
FLOOR(avx2, __attribute__((target("avx2,fma"))))
FLOOR(avx512, __attribute__((target("avx512f,prefer-vector-width=512"))))
#else
constexpr Floor floor_avx2 = nullptr, floor_avx512 = nullptr;
#endif

// A curved, swept wing, and a point near its middle.
Measured kernel(const char* name, Floor floor) {
  const vlm::FlowKernel* k = vlm::find_flow_kernel(name);
  if (k == nullptr)
    return {0, 0, std::string("this processor does not run ") + name};
  std::vector<double> x, y, z;
  for (std::size_t i = 0; i <= per_strip; ++i)
    for (std::size_t e = 0; e < width; ++e) {
      const double along = -1 + 0.05 * static_cast<double>(std::min(e, edges - 1));
      x.push_back(0.2 * along * along + 0.02 * static_cast<double>(i));
      y.push_back(along);
      z.push_back(-0.1 * along * along);
    }
  std::vector<double> leg(3 * (width + vlm::line_lanes)), share(width, 1), v(3 * per_strip * width),
      scratch(vlm::line_scratch(width));
  const double aft[] = {1, 0, 0}, point[] = {0.05, 0.013, 0.02};
  const vlm::LineGrid grid{x.data(), y.data(), z.data(), edges, per_strip, width, 0, true};
  const vlm::LineVelocities legs{leg.data(), leg.data() + width + vlm::line_lanes,
                                 leg.data() + 2 * (width + vlm::line_lanes)},
      result{v.data(), v.data() + per_strip * width, v.data() + 2 * per_strip * width};
  const std::vector<double> a(num_panels, 2.0), b(num_panels, 3.0);
  std::vector<double> c(num_panels);
  return race(
      200, 1e9 / (static_cast<double>(num_panels) * passes),
      [&] {
        return seconds([&] {
          for (int i = 0; i < passes; ++i) {
            k->rays(grid, point, aft, legs, scratch.data());
            k->panels(grid, point, legs, share.data(), result, scratch.data());
            keep(v);
          }
        });
      },
      [&] {
        return seconds([&] {
          for (int i = 0; i < passes; ++i) {
            floor(a.data(), b.data(), c.data(), num_panels);
            keep(c);
          }
        });
      });
}

} // namespace

std::vector<Figure> kernel_figures() {
  return {
      {"kernel_portable", "a panel / root and two divisions", "ns", 1.3,
       [] { return kernel("portable", floor_portable); }},
      {"kernel_avx2", "the same with AVX2", "ns", 1.1, [] { return kernel("avx2", floor_avx2); }},
      {"kernel_avx512", "the same with AVX-512", "ns", 1.1, [] { return kernel("avx512", floor_avx512); }}};
}

} // namespace bench
