// The horseshoe kernel, for each kind of processor that this machine is, beside the floor under it: one
// square root and two divisions a panel.

#include <cmath>
#include <vector>

#include <benchmark/benchmark.h>

#include <vlm/flow/line_kernel.hpp>

namespace {

constexpr std::size_t edges = 41, per_strip = 8;
constexpr std::size_t width = vlm::line_width(edges);

void kernel(benchmark::State& state, const char* name) {
  const vlm::LineKernel* k = vlm::find_line_kernel(name);
  if (k == nullptr) {
    state.SkipWithError("this processor does not run it");
    return;
  }
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
  const vlm::LineGrid grid{x.data(), y.data(), z.data(), edges, per_strip, width, 0};
  const vlm::LineVelocities legs{leg.data(), leg.data() + width + vlm::line_lanes,
                                 leg.data() + 2 * (width + vlm::line_lanes)},
      result{v.data(), v.data() + per_strip * width, v.data() + 2 * per_strip * width};
  for (auto _ : state) {
    k->rays(grid, point, aft, legs, scratch.data());
    k->panels(grid, point, legs, share.data(), result, scratch.data());
    benchmark::ClobberMemory();
  }
  state.counters["ns a panel"] =
      benchmark::Counter(static_cast<double>((edges - 1) * per_strip) * 1e-9,
                         benchmark::Counter::kIsIterationInvariantRate | benchmark::Counter::kInvert);
}
BENCHMARK_CAPTURE(kernel, portable, "portable");
BENCHMARK_CAPTURE(kernel, avx2, "avx2");
BENCHMARK_CAPTURE(kernel, avx512, "avx512");

// The floors, compiled for the same processors.
#define FLOOR(name, wanted, ...)                                                                             \
  __VA_ARGS__ void floor_##name##_loop(const double* a, const double* b, double* c, std::size_t count) {     \
    for (std::size_t i = 0; i < count; ++i)                                                                  \
      c[i] = a[i] / std::sqrt(b[i]) + b[i] / a[i];                                                           \
  }                                                                                                          \
  void floor_##name(benchmark::State& state) {                                                               \
    constexpr std::size_t count = (edges - 1) * per_strip;                                                   \
    if (vlm::find_line_kernel(wanted) == nullptr) {                                                          \
      state.SkipWithError("this processor does not run it");                                                 \
      return;                                                                                                \
    }                                                                                                        \
    std::vector<double> a(count, 2.0), b(count, 3.0), c(count);                                              \
    for (auto _ : state) {                                                                                   \
      floor_##name##_loop(a.data(), b.data(), c.data(), count);                                              \
      benchmark::ClobberMemory();                                                                            \
    }                                                                                                        \
    state.counters["ns a panel"] =                                                                           \
        benchmark::Counter(static_cast<double>(count) * 1e-9,                                                \
                           benchmark::Counter::kIsIterationInvariantRate | benchmark::Counter::kInvert);     \
  }                                                                                                          \
  BENCHMARK(floor_##name)
FLOOR(portable, "portable", );
FLOOR(avx2, "avx2", __attribute__((target("avx2,fma"))));
FLOOR(avx512, "avx512", __attribute__((target("avx512f,prefer-vector-width=512"))));

} // namespace
