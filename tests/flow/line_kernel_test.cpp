// Every kernel that this processor runs: against Biot & Savart in more digits, and against each other.

#include <array>
#include <cmath>
#include <random>

#include <gtest/gtest.h>

#include <vlm/flow/line_kernel.hpp>

namespace {

using vlm::LineGrid;
using vlm::LineKernel;

struct Grid {
  std::size_t edges, per_strip, width = vlm::line_width(edges);
  std::vector<double> x{}, y{}, z{};
  double core2 = 0;
  bool straight = false;

  LineGrid lines() const { return {x.data(), y.data(), z.data(), edges, per_strip, width, core2, straight}; }
  std::size_t node(std::size_t k, std::size_t e) const { return k * width + e; }
};

// What the kernel makes a difference between: rounded vortices, and edges along x, which may be taken as any
// others, too.
struct Kind {
  double core2;
  bool straight, said;
};
constexpr Kind kinds[] = {{0, true, true},     {1e-4, true, true}, {0, true, false},
                          {1e-4, true, false}, {0, false, false},  {1e-4, false, false}};

// A curved, swept wing; as many edges as do not fill the lanes.
Grid wing(const Kind& kind = kinds[0]) {
  Grid g{21, 5};
  g.core2 = kind.core2;
  g.straight = kind.said;
  for (std::size_t k = 0; k <= g.per_strip; ++k)
    for (std::size_t e = 0; e < g.width; ++e) {
      const double along = -1 + 0.1 * static_cast<double>(std::min(e, g.edges - 1));
      g.x.push_back(0.2 * along * along + 0.05 * static_cast<double>(k));
      g.y.push_back(along);
      g.z.push_back(-0.1 * along * along + (kind.straight ? 0 : 0.01 * static_cast<double>(k * e % 3)));
    }
  return g;
}

struct Answer {
  std::vector<double> x, y, z;
};

// Horseshoes of the whole grid at a point, wakes along +x.
Answer solve(const LineKernel& kernel, const Grid& g, const std::array<double, 3>& point) {
  std::vector<double> scratch(vlm::line_scratch(g.width)), share(g.width, 1);
  Answer leg, result;
  for (std::vector<double>* v : {&leg.x, &leg.y, &leg.z})
    v->resize(g.width + vlm::line_lanes);
  for (std::vector<double>* v : {&result.x, &result.y, &result.z})
    v->resize(g.per_strip * g.width);
  const double aft[] = {1, 0, 0};
  const vlm::LineVelocities legs{leg.x.data(), leg.y.data(), leg.z.data()};
  kernel.rays(g.lines(), point.data(), aft, legs, scratch.data());
  share[3] = 0; // an edge whose pieces up to the trailing edge are left out
  kernel.panels(g.lines(), point.data(), legs, share.data(),
                {result.x.data(), result.y.data(), result.z.data()}, scratch.data());
  return result;
}

using Long = std::array<long double, 3>;

Long segment(const Long& a, const Long& b, long double core2) {
  const auto length = [&](const Long& v) {
    return std::sqrt(v[0] * v[0] + v[1] * v[1] + v[2] * v[2] + core2);
  };
  const long double ra = length(a), rb = length(b), d = a[0] * b[0] + a[1] * b[1] + a[2] * b[2] + core2;
  const long double factor = (ra + rb) / (4 * std::acos(-1.0L) * ra * rb * (ra * rb + d));
  return {factor * (a[1] * b[2] - a[2] * b[1]), factor * (a[2] * b[0] - a[0] * b[2]),
          factor * (a[0] * b[1] - a[1] * b[0])};
}

// The same in long double, a wake being a segment of a thousand million lengths.
Answer exact(const Grid& g, const std::array<double, 3>& point) {
  const auto to = [&](std::size_t k, std::size_t e, long double aft = 0) {
    const std::size_t i = g.node(k, e);
    return Long{point[0] - (g.x[i] + aft), static_cast<long double>(point[1]) - g.y[i],
                static_cast<long double>(point[2]) - g.z[i]};
  };
  const auto leg = [&](std::size_t k, std::size_t e) {
    Long sum = segment(to(g.per_strip, e), to(g.per_strip, e, 1e9L), g.core2);
    for (std::size_t i = k; i < g.per_strip && e != 3; ++i) {
      const Long v = segment(to(i, e), to(i + 1, e), g.core2);
      sum = {sum[0] + v[0], sum[1] + v[1], sum[2] + v[2]};
    }
    return sum;
  };
  Answer result;
  for (std::vector<double>* v : {&result.x, &result.y, &result.z})
    v->resize(g.per_strip * g.width);
  for (std::size_t k = 0; k < g.per_strip; ++k)
    for (std::size_t e = 0; e + 1 < g.edges; ++e) {
      const Long bound = segment(to(k, e), to(k, e + 1), g.core2), left = leg(k, e), right = leg(k, e + 1);
      result.x[g.node(k, e)] = static_cast<double>(bound[0] + right[0] - left[0]);
      result.y[g.node(k, e)] = static_cast<double>(bound[1] + right[1] - left[1]);
      result.z[g.node(k, e)] = static_cast<double>(bound[2] + right[2] - left[2]);
    }
  return result;
}

// Greatest difference between two answers over the greatest entry of the first.
double difference(const Grid& g, const Answer& a, const Answer& b) {
  double greatest = 0, worst = 0;
  for (const auto& [u, v] : {std::pair(&a.x, &b.x), std::pair(&a.y, &b.y), std::pair(&a.z, &b.z)})
    for (std::size_t k = 0; k < g.per_strip; ++k)
      for (std::size_t e = 0; e + 1 < g.edges; ++e) {
        EXPECT_TRUE(std::isfinite((*v)[g.node(k, e)]));
        greatest = std::max(greatest, std::abs((*u)[g.node(k, e)]));
        worst = std::max(worst, std::abs((*u)[g.node(k, e)] - (*v)[g.node(k, e)]));
      }
  return worst / greatest;
}

// Around the wing, on it between nodes, close to bound vortices and legs, far behind and ahead.
std::vector<std::array<double, 3>> places(const Grid& g) {
  std::vector<std::array<double, 3>> points{{30, 0.05, -0.01}, {-20, 3, 1}, {0.4, 0, 5}};
  std::mt19937 random(7);
  std::uniform_real_distribution<double> any(0, 1);
  for (int i = 0; i < 200; ++i)
    points.push_back({any(random), 2 * any(random) - 1, 0.2 * any(random) - 0.1});
  for (std::size_t e = 0; e + 1 < g.edges; ++e) {
    const std::size_t a = g.node(2, e), b = g.node(2, e + 1);
    for (const double near : {1e-2, 1e-3})
      points.push_back({0.3 * g.x[a] + 0.7 * g.x[b] + near, 0.3 * g.y[a] + 0.7 * g.y[b],
                        0.3 * g.z[a] + 0.7 * g.z[b] + 0.5 * near});
  }
  return points;
}

std::vector<const LineKernel*> kernels() {
  std::vector<const LineKernel*> found;
  for (const char* name : {"portable", "avx2", "avx512"})
    if (const LineKernel* kernel = vlm::find_line_kernel(name))
      found.push_back(kernel);
  return found;
}

TEST(LineKernels, GiveBiotAndSavartToTheLastDigits) {
  for (const Kind& kind : kinds)
    for (const LineKernel* kernel : kernels()) {
      const Grid g = wing(kind);
      double worst = 0;
      for (const auto& point : places(g))
        worst = std::max(worst, difference(g, exact(g, point), solve(*kernel, g, point)));
      EXPECT_LT(worst, 1e-13) << kernel->name;
    }
}

TEST(LineKernels, AgreeWithThePortableOne) {
  const LineKernel& portable = *vlm::find_line_kernel("portable");
  for (const Kind& kind : kinds)
    for (const LineKernel* kernel : kernels()) {
      const Grid g = wing(kind);
      for (const auto& point : places(g))
        EXPECT_LT(difference(g, solve(portable, g, point), solve(*kernel, g, point)), 1e-13) << kernel->name;
    }
}

// A vortex gives nothing on itself, and nothing but rounding on its line.
TEST(LineKernels, AreZeroOnTheirOwnLines) {
  for (const LineKernel* kernel : kernels())
    for (const bool straight : {true, false}) {
      Grid g{2, 1};
      g.straight = straight;
      for (std::size_t k = 0; k < 2; ++k)
        for (std::size_t e = 0; e < g.width; ++e) {
          g.x.push_back(static_cast<double>(k));
          g.y.push_back(e == 0 ? -1 : 1);
          g.z.push_back(0);
        }
      // On the bound vortex both legs give the same, and on a node nothing blows up.
      const Answer on = solve(*kernel, g, {0, 0, 0});
      EXPECT_EQ(on.x[0], 0) << kernel->name;
      EXPECT_TRUE(std::isfinite(on.z[0])) << kernel->name;
      EXPECT_TRUE(std::isfinite(solve(*kernel, g, {0, 1, 0}).z[0])) << kernel->name;
      EXPECT_TRUE(std::isfinite(solve(*kernel, g, {1, -1, 0}).z[0])) << kernel->name;
      EXPECT_TRUE(std::isfinite(solve(*kernel, g, {5, 1, 0}).z[0])) << kernel->name;
    }
}

TEST(LineKernels, AreFoundByName) {
  EXPECT_STREQ(vlm::find_line_kernel("portable")->name, "portable");
  EXPECT_EQ(vlm::find_line_kernel("abacus"), nullptr);
}

} // namespace
