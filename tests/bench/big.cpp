// Big lattices, of which the system is hierarchical, at full size with one cause.

#include <array>
#include <cmath>
#include <fstream>
#include <string>

#include <sys/wait.h>
#include <unistd.h>

#include <vlm/file/case.hpp>
#include <vlm/flow/system.hpp>

#include "dgetrf.hpp"
#include "figure.hpp"

namespace bench {
namespace {

struct Cost {
  double time = 0, memory = 0; // s, bytes
};

double resident(const std::string& name) {
  std::ifstream file("/proc/self/status");
  for (std::string word; file >> word;)
    if (double kibibytes = 0; word == name && file >> kibibytes)
      return 1024 * kibibytes;
  return 0;
}

Cost solve(const vlm::Lattice& lattice, int threads) {
  vlm::ThreadPool pool(threads);
  const vlm::Cause cause{{1, 0, 0.1}, {}, {}, {}};
  const double before = resident("VmRSS:");
  Cost cost;
  cost.time = seconds([&] {
    const vlm::FlowSystem system(lattice, {1, 0, 0}, pool, true);
    vlm::Matrix circulation = system.solve({&cause, 1}, &pool);
    keep(circulation);
  });
  cost.memory = resident("VmHWM:") - before;
  return cost;
}

// The demo's front wing in deep water, solved in a process of its own, which tells what memory it took.
Cost cost(int strips, int panels_per_strip, int threads = 2) {
  vlm::Craft craft = vlm::read_case(VLM_CASES_DIR "/lake-rescue/heron-880.toml").craft;
  craft.surfaces.resize(1);
  craft.fuselage.reset();
  craft.still_surface = {};
  vlm::LatticeOptions options;
  options.counts = {{strips, panels_per_strip}};
  const vlm::Lattice lattice = vlm::make_lattice(craft, options, 0);
  std::array<int, 2> ends;
  Cost found;
  if (pipe(ends.data()) != 0)
    return found;
  const pid_t child = fork();
  if (child == 0) {
    const Cost own = solve(lattice, threads);
    _exit(write(ends[1], &own, sizeof own) == sizeof own ? 0 : 1);
  }
  close(ends[1]);
  if (read(ends[0], &found, sizeof found) != sizeof found)
    found = {};
  close(ends[0]);
  waitpid(child, nullptr, 0);
  return found;
}

// Each at most once a run: the largest takes a minute.
const Cost& cost_of(std::size_t step) {
  static std::array<Cost, 3> costs;
  constexpr std::array<std::array<int, 2>, 3> counts{{{250, 32}, {500, 64}, {1000, 128}}};
  if (costs[step].time == 0)
    costs[step] = cost(counts[step][0], counts[step][1]);
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
             3, 1e3, [] { return cost(250, 32).time; }, [] { return dgetrf_seconds(8000); });
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
             3, 1e3, [] { return cost(250, 32, 2).time; }, [] { return cost(250, 32, 1).time; });
       }},
  };
}

} // namespace bench
