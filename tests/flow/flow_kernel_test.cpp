// Every kernel that this processor runs: against Biot & Savart in more digits, and against each other.

#include <array>
#include <cmath>
#include <complex>
#include <random>

#include <gtest/gtest.h>

#include <vlm/flow/flow_kernel.hpp>

namespace {

using vlm::FlowKernel;
using vlm::LineGrid;

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
Answer solve(const FlowKernel& kernel, const Grid& g, const std::array<double, 3>& point) {
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

std::vector<const FlowKernel*> kernels() {
  std::vector<const FlowKernel*> found;
  for (const char* name : {"portable", "avx2", "avx512"})
    if (const FlowKernel* kernel = vlm::find_flow_kernel(name))
      found.push_back(kernel);
  return found;
}

TEST(FlowKernels, GiveBiotAndSavartToTheLastDigits) {
  for (const Kind& kind : kinds)
    for (const FlowKernel* kernel : kernels()) {
      const Grid g = wing(kind);
      double worst = 0;
      for (const auto& point : places(g))
        worst = std::max(worst, difference(g, exact(g, point), solve(*kernel, g, point)));
      EXPECT_LT(worst, 1e-13) << kernel->name;
    }
}

TEST(FlowKernels, AgreeWithThePortableOne) {
  const FlowKernel& portable = *vlm::find_flow_kernel("portable");
  for (const Kind& kind : kinds)
    for (const FlowKernel* kernel : kernels()) {
      const Grid g = wing(kind);
      for (const auto& point : places(g))
        EXPECT_LT(difference(g, solve(portable, g, point), solve(*kernel, g, point)), 1e-13) << kernel->name;
    }
}

// A vortex gives nothing on itself, and nothing but rounding on its line.
TEST(FlowKernels, AreZeroOnTheirOwnLines) {
  for (const FlowKernel* kernel : kernels())
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
      // On a leg only the other two sides count. By hand: a segment seen at the distance h between angles
      // whose cosines are c1 and c2 gives (c1 + c2)/(4πh), downwards both times.
      const double diagonal = std::sqrt(0.5 * 0.5 + 2 * 2), pi = std::acos(-1.0);
      EXPECT_NEAR(solve(*kernel, g, {0.5, 1, 0}).z[0],
                  -(1 + 0.5 / diagonal) / (4 * pi * 2) - 2 / diagonal / (4 * pi * 0.5), 1e-15)
          << kernel->name << straight;
    }
}

// Far abeam of a chord of almost nothing the legs are still there, and there are no other digits to hide in.
TEST(FlowKernels, SeeLegsOfAShortChordFromAfar) {
  for (const FlowKernel* kernel : kernels())
    for (const double chord : {1e-8, 1e-5, 0.1}) {
      Grid g{2, 2};
      g.straight = true;
      for (std::size_t k = 0; k <= 2; ++k)
        for (std::size_t e = 0; e < g.width; ++e) {
          g.x.push_back(0.5 * chord * static_cast<double>(k));
          g.y.push_back(e == 0 ? -1 : 1);
          g.z.push_back(0);
        }
      for (const double abeam : {1e-3, 0.5, 5.0}) {
        const std::array<double, 3> point{0.6 * chord, 1 + abeam, 0};
        std::vector<double> scratch(vlm::line_scratch(g.width)), share(g.width, 1);
        std::array<std::vector<double>, 3> leg, v;
        for (std::size_t i = 0; i < 3; ++i)
          leg[i].resize(g.width + vlm::line_lanes), v[i].resize(2 * g.width);
        kernel->panels(g.lines(), point.data(), {leg[0].data(), leg[1].data(), leg[2].data()}, share.data(),
                       {v[0].data(), v[1].data(), v[2].data()}, scratch.data());
        // Without what lies behind the last node: the bound segment and both pieces of legs, by hand.
        const auto to = [&](std::size_t k, std::size_t e) {
          const std::size_t i = g.node(k, e);
          return Long{static_cast<long double>(point[0]) - g.x[i],
                      static_cast<long double>(point[1]) - g.y[i], 0};
        };
        for (std::size_t k = 0; k < 2; ++k) {
          const long double exact = segment(to(k, 0), to(k, 1), 0)[2] + segment(to(k, 1), to(2, 1), 0)[2] +
                                    segment(to(2, 0), to(k, 0), 0)[2];
          EXPECT_NEAR(v[2][g.node(k, 0)], static_cast<double>(exact), 1e-15 / abeam) << kernel->name << chord;
        }
      }
    }
}

// A sheet of nine ribbons, as many as do not fill the lanes, and what stands around it.
struct Ribbons {
  std::vector<double> node1{}, node2{}, along{}, tangent1{}, tangent2{}, per_length{}, counts{};
  std::size_t count, left_out = 4;

  explicit Ribbons(std::size_t n = 9) : count(n) {
    for (std::size_t i = 0; i <= count + vlm::line_lanes; ++i) {
      const double t = static_cast<double>(std::min(i, count));
      node1.push_back(0.1 * t + 0.01 * std::sin(t));
      node2.push_back(0.02 * t * t);
      along.push_back(0.3 - 0.05 * t);
    }
    for (std::size_t i = 0; i < count + vlm::line_lanes; ++i) {
      const std::size_t j = std::min(i, count - 1);
      const double d1 = node1[j + 1] - node1[j], d2 = node2[j + 1] - node2[j], length = std::hypot(d1, d2);
      tangent1.push_back(d1 / length), tangent2.push_back(d2 / length), per_length.push_back(1 / length);
      counts.push_back(i < count && i != left_out ? 1 : 0);
    }
  }
  vlm::SheetGrid grid() const {
    return {node1.data(),      node2.data(),  along.data(), tangent1.data(), tangent2.data(),
            per_length.data(), counts.data(), count,        least_distance2, smoothing};
  }
  double least_distance2 = 1e-24, smoothing = 1e-9; // where no point comes near
};

// Integrals of what a ribbon's strength does, by Simpson's rule in more digits: τ^m/(ẑ − τ) alone, or each of
// the parabolas by which strength runs, times the factors' parabola. All is smooth at some distance.
using Digits = long double;
template <class F>
std::complex<Digits> integral(const F& f) {
  constexpr int parts = 1000;
  std::complex<Digits> sum = 0;
  for (int i = 0; i <= parts; ++i)
    sum += static_cast<Digits>(i == 0 || i == parts ? 1
                               : i % 2 == 1         ? 4
                                                    : 2) *
           f(static_cast<Digits>(i) / parts);
  return sum / static_cast<Digits>(3 * parts);
}

// Moments of all ribbons at a point.
std::array<std::vector<double>, 8> moments(const FlowKernel& kernel, const Ribbons& r,
                                           const std::array<double, 3>& point) {
  std::array<std::vector<double>, 8> moment;
  std::array<double*, 8> places;
  for (std::size_t i = 0; i < 8; ++i)
    moment[i].resize(r.count + 1 + vlm::line_lanes), places[i] = moment[i].data();
  kernel.ribbon_moments(r.grid(), point.data(), places.data());
  return moment;
}

TEST(FlowKernels, GiveRibbonsOfASheetToTheLastDigits) {
  using Complex = std::complex<Digits>;
  for (const std::size_t count : {8, 9}) {
    const Ribbons r(count);
    for (const FlowKernel* kernel : kernels())
      for (const auto& p : {std::array{6.0, 1.0, -0.5},
                            {-2.0, 0.0, 4.0},
                            {0.4, -5.0, 0.1},
                            {7.0, -7.0, 1.0},
                            {0.5, 102.0, 2.0},
                            {0.5, 200.0, 0.0}}) {
        const std::array<std::vector<double>, 8> moment = moments(*kernel, r, p);
        std::array<std::vector<double>, 2> share;
        for (std::vector<double>& v : share)
          v.resize(count + 1 + vlm::line_lanes);
        const double* const m[] = {moment[0].data(), moment[1].data(), moment[2].data(), moment[3].data(),
                                   moment[4].data(), moment[5].data(), moment[6].data(), moment[7].data()};
        double* const s[] = {share[0].data(), share[1].data()};
        const double axes[][2] = {{1, 0}, {0, 1}};
        const std::size_t length = vlm::num_strengths(count), first_mean = vlm::first_mean(count);
        std::vector<double> weight(2 * length), twice;
        kernel->ribbon_weights(r.grid(), p.data(), m, s, 2, axes, weight.data());
        twice = weight; // is added to
        kernel->ribbon_weights(r.grid(), p.data(), m, s, 2, axes, twice.data());
        std::vector<Complex> at_node(count + 1), mean(count);
        std::vector<double> scale(count);
        for (std::size_t i = 0; i < count; ++i) {
          const Complex first(r.node1[i], r.node2[i]), last(r.node1[i + 1], r.node2[i + 1]), at(p[0], p[1]);
          const Complex place = (at - first) / (last - first);
          ASSERT_GT(std::abs(place), 8);
          scale[i] = 1 / static_cast<double>(std::abs(place));
          EXPECT_NEAR(moment[0][i], static_cast<double>(place.real()),
                      1e-14 * static_cast<double>(std::abs(place)));
          EXPECT_NEAR(moment[1][i], static_cast<double>(place.imag()),
                      1e-14 * static_cast<double>(std::abs(place)));
          for (int power = 0; power < 3; ++power) {
            const Complex exact = integral([&](Digits t) { return std::pow(t, power) / (place - t); });
            const auto k = static_cast<std::size_t>(2 + 2 * power);
            EXPECT_LT(std::abs(Complex(moment[k][i], moment[k + 1][i]) - exact), 1e-14L * std::abs(exact))
                << kernel->name << power;
          }
          const auto factor = [&](Digits t) {
            const Complex from = at - first - t * (last - first);
            const Digits down = p[2] - (r.along[i] + t * (r.along[i + 1] - r.along[i]));
            return (1 + down / std::hypot(std::abs(from), down)) / 2;
          };
          const Digits share0 = factor(0), share_half = factor(0.5L), share1 = factor(1);
          EXPECT_NEAR(share[0][i], static_cast<double>(share0), 1e-14);
          EXPECT_NEAR(share[1][i], static_cast<double>(share_half), 1e-14);
          // Strength at first end, mean and last end: parabolas of these values and of mean 1, 0 and 0.
          const std::array<std::array<Digits, 3>, 3> strength{{{1, -0.25L, 0}, {0, 1.5L, 0}, {0, -0.25L, 1}}};
          std::array<Complex, 3> velocity;
          for (std::size_t k = 0; k < 3; ++k) {
            const Complex w = integral([&](Digits t) {
              const Digits at_first = (1 - t) * (1 - 2 * t), at_middle = 4 * t * (1 - t),
                           at_last = t * (2 * t - 1);
              return (strength[k][0] * share0 * at_first + strength[k][1] * share_half * at_middle +
                      strength[k][2] * share1 * at_last) /
                     (place - t);
            });
            // 2π times the velocity by a vortex along the wake, in axes along the ribbon and off it, is
            // i·conj(w).
            velocity[k] =
                Digits(r.counts[i]) * Complex(0, 1) * std::conj(w) * (last - first) / std::abs(last - first);
          }
          at_node[i] += velocity[0], mean[i] = velocity[1], at_node[i + 1] += velocity[2];
        }
        // Of each ribbon that takes part to 2e-14 of its length over the distance.
        const auto check = [&](std::size_t i, const Complex& exact, double of_size) {
          EXPECT_NEAR(weight[i], static_cast<double>(exact.real()), 2e-14 * of_size) << kernel->name << i;
          EXPECT_NEAR(weight[length + i], static_cast<double>(exact.imag()), 2e-14 * of_size)
              << kernel->name << i;
          EXPECT_EQ(twice[i], 2 * weight[i]);
          EXPECT_EQ(twice[length + i], 2 * weight[length + i]);
        };
        for (std::size_t i = 0; i <= count; ++i)
          check(i, at_node[i], (i > 0 ? scale[i - 1] : 0) + (i < count ? scale[i] : 0));
        for (std::size_t i = 0; i < count; ++i)
          check(first_mean + i, mean[i], scale[i]);
      }
  }
}

TEST(FlowKernels, MultiplyRowsWithAMatrix) {
  std::mt19937 random(2);
  std::uniform_real_distribution<double> any(-1, 1);
  const std::size_t length = 37, width = 11 * vlm::line_lanes;
  std::vector<double> rows(9 * length), matrix(length * width);
  for (std::vector<double>* v : {&rows, &matrix})
    for (double& value : *v)
      value = any(random);
  for (const FlowKernel* kernel : kernels())
    for (std::size_t count = 1; count <= 9; ++count) {
      std::vector<double> result(9 * width, 5);
      kernel->products(rows.data(), count, length, matrix.data(), width, result.data());
      for (std::size_t r = 0; r < 9; ++r)
        for (std::size_t c = 0; c < width; ++c) {
          long double sum = 0;
          for (std::size_t i = 0; i < length; ++i)
            sum += static_cast<long double>(rows[r * length + i]) * matrix[i * width + c];
          EXPECT_NEAR(result[r * width + c], r < count ? static_cast<double>(sum) : 5, 4e-15) << kernel->name;
        }
    }
}

// Close by and where |ẑ| passes 8: ∫ dτ/(ẑ − τ) is the complex logarithm of ẑ/(ẑ − 1), of the
// standard library in more digits, and ∫ τ^(m+1)/(ẑ − τ) dτ = ẑ ∫ τ^m/(ẑ − τ) dτ − 1/(m + 1).
TEST(FlowKernels, IntegrateOverRibbonsAtAnyDistance) {
  Ribbons r;
  std::mt19937 random(3);
  std::uniform_real_distribution<double> any(-1, 1);
  for (const FlowKernel* kernel : kernels())
    for (const double distance : {1e-7, 1e-3, 0.03, 0.3, 0.9, 3.0})
      for (int n = 0; n < 40; ++n) {
        const std::array p{0.45 + distance * any(random), 0.8 + distance * any(random), 0.0};
        const std::array<std::vector<double>, 8> moment = moments(*kernel, r, p);
        for (std::size_t i = 0; i < r.count; ++i) {
          using Complex = std::complex<Digits>;
          const Complex first(r.node1[i], r.node2[i]), last(r.node1[i + 1], r.node2[i + 1]), at(p[0], p[1]);
          const Complex z = (at - first) / (last - first), m0 = std::log(z / (z - Digits(1)));
          const Complex m1 = z * m0 - Digits(1), exact[] = {m0, m1, z * m1 - Digits(0.5)};
          const Digits far = std::abs(z);
          if (far > 30) // there these lose more digits than the kernel
            continue;
          for (std::size_t k = 0; k < 3; ++k) {
            const Digits lost =
                far < 10 ? (1 + std::pow(far, k)) * (1 + std::abs(m0)) : 8 * std::abs(exact[k]);
            EXPECT_LT(std::abs(Complex(moment[2 + 2 * k][i], moment[3 + 2 * k][i]) - exact[k]), 1e-15L * lost)
                << kernel->name << k << far;
          }
        }
      }
}

// As WakeSheet says of ribbons and their planes: the angle that one fills goes with erf of the distance from
// its plane over ε (Abramowitz & Stegun, table 7.1: erf 0.1 = 0.1124629160).
TEST(FlowKernels, RoundTheCornerOfTheVelocityAtARibbon) {
  Ribbons sharp, round;
  round.smoothing = 0.02;
  for (const FlowKernel* kernel : kernels())
    for (const std::size_t i : {std::size_t(0), std::size_t(5), std::size_t(8)}) {
      const double middle1 = 0.5 * (sharp.node1[i] + sharp.node1[i + 1]),
                   middle2 = 0.5 * (sharp.node2[i] + sharp.node2[i + 1]);
      const auto angle = [&](const Ribbons& r, double off) {
        return moments(*kernel, r, {middle1 - off * r.tangent2[i], middle2 + off * r.tangent1[i], 0.0})[3][i];
      };
      EXPECT_NEAR(angle(round, 0.002) / angle(sharp, 0.002), 0.1124629160, 1e-9) << kernel->name;
      EXPECT_NEAR(angle(round, -0.002) / angle(sharp, -0.002), 0.1124629160, 1e-9) << kernel->name;
      EXPECT_EQ(angle(round, 0.121), angle(sharp, 0.121)) << kernel->name;
      // Where ε is long beside the ribbon, the ribbon's length stands for it.
      Ribbons long_smoothing, own_length;
      long_smoothing.smoothing = 3, own_length.smoothing = 1 / own_length.per_length[i];
      EXPECT_NEAR(angle(long_smoothing, 0.03), angle(own_length, 0.03), 1e-15) << kernel->name;
      EXPECT_NEAR(angle(round, 0), 0, 1e-13) << kernel->name;
    }
}

TEST(FlowKernels, AreFoundByName) {
  EXPECT_STREQ(vlm::find_flow_kernel("portable")->name, "portable");
  EXPECT_EQ(vlm::find_flow_kernel("abacus"), nullptr);
}

} // namespace
