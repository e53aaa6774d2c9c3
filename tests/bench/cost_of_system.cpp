#include "cost_of_system.hpp"

#include <array>
#include <exception>
#include <fstream>
#include <stdexcept>
#include <string>

#include <sys/wait.h>
#include <unistd.h>

#include <vlm/file/case.hpp>
#include <vlm/flow/system.hpp>

#include "figure.hpp"

namespace bench {
namespace {

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
    const vlm::FlowSystem system(lattice, {1, 0, 0}, pool, vlm::SystemSize::full);
    vlm::Matrix circulation = system.solve({&cause, 1}, &pool);
    keep(circulation);
  });
  cost.memory = resident("VmHWM:") - before;
  return cost;
}

} // namespace

Cost cost_of_system(int strips, int panels_per_strip, std::optional<vlm::SystemKind> kind, int threads) {
  vlm::Craft craft = vlm::read_case(VLM_CASES_DIR "/lake-rescue/heron-880.toml").craft;
  craft.surfaces.resize(1);
  craft.fuselage.reset();
  craft.still_surface = {};
  vlm::LatticeOptions options;
  options.counts = {{strips, panels_per_strip}};
  options.system = kind;
  const vlm::Lattice lattice = vlm::make_lattice(craft, options, 0);
  std::array<int, 2> ends;
  if (pipe(ends.data()) != 0)
    throw std::runtime_error("no pipe");
  const pid_t child = fork();
  if (child == 0) {
    try {
      const Cost own = solve(lattice, threads);
      _exit(write(ends[1], &own, sizeof own) == sizeof own ? 0 : 1);
    } catch (const std::exception&) {
      _exit(1);
    }
  }
  close(ends[1]);
  Cost found;
  const bool told = child > 0 && read(ends[0], &found, sizeof found) == sizeof found;
  close(ends[0]);
  if (child > 0)
    waitpid(child, nullptr, 0);
  if (!told)
    throw std::runtime_error("the process that solves it did not come to its end");
  return found;
}

} // namespace bench
