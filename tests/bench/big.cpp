// Big lattices, of which the system is hierarchical, at full size with one cause.

#include <array>
#include <cmath>

#include "cost_of_system.hpp"
#include "dgetrf.hpp"
#include "figure.hpp"

namespace bench {
namespace {

// Each at most once a run: the largest takes a minute.
const Cost& cost_of(std::size_t step) {
  static std::array<Cost, 3> costs;
  constexpr std::array<std::array<int, 2>, 3> counts{{{250, 32}, {500, 64}, {1000, 128}}};
  if (costs[step].time == 0)
    costs[step] = cost_of_system(counts[step][0], counts[step][1], {}, 2);
  return costs[step];
}

// Of a power of the unknowns, by least squares in the logarithms: even steps, so the outer two decide.
double exponent(double least, double greatest) {
  return std::log(greatest / least) / std::log(16);
}

} // namespace

std::vector<Figure> big_figures() {
  const double dense_32000 = 8.0 * 32000 * 32000;
  return {
      {"unsymmetric_8000", "system and a solve / full dgetrf", "ms", 0.15,
       [] {
         return race(
             3, 1e3, [] { return cost_of_system(250, 32, {}, 2).time; }, [] { return dgetrf_seconds(8000); });
       }},
      {"big_32000_time", "the same / 64 times dgetrf of 8,000", "s", 0.02,
       [] {
         return Measured{cost_of(1).time, 64 * dgetrf_seconds(8000), {}};
       }},
      {"big_32000_memory", "greatest memory / dense matrix", "MB", 0.05,
       [=] {
         return Measured{1e-6 * cost_of(1).memory, 1e-6 * dense_32000, {}};
       }},
      {"growth_time", "exponent, 8,000 to 128,000 / 1", "-", 1.6,
       [] {
         return Measured{exponent(cost_of(0).time, cost_of(2).time), 1, {}};
       }},
      {"growth_memory", "the same of memory", "-", 1.35,
       [] {
         return Measured{exponent(cost_of(0).memory, cost_of(2).memory), 1, {}};
       }},
      {"threads_system", "8,000 unknowns on 2 threads / on 1", "ms", 0.59,
       [] {
         return race(
             3, 1e3, [] { return cost_of_system(250, 32, {}, 2).time; },
             [] { return cost_of_system(250, 32, {}, 1).time; });
       }},
  };
}

} // namespace bench
