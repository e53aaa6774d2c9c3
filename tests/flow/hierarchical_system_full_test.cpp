// The hierarchical system where only an optimised build can bear the dense one beside it.

#include <fstream>
#include <string>

#include <gtest/gtest.h>
#include <sys/wait.h>
#include <unistd.h>

#include <vlm/flow/system.hpp>

#include "../support/systems.hpp"
#include "../support/wings.hpp"

namespace {

using namespace wings;
using systems::Difference;
using systems::difference;

// So many panels that most of the matrix is of low rank, with a wake that is not along x.
TEST(HierarchicalSystem, GivesTheCirculationsOfTheDenseForABigLattice) {
  vlm::Surface rear = tapered(4, 0.6, 0.2, "rear");
  rear.position = {4, 0, 0.3};
  const vlm::Craft craft = craft_of({tapered(6, 0.5, 0.3, "front"), rear});
  vlm::LatticeOptions options = counts({{96, 24}, {48, 16}});
  const Difference d = difference(craft, options, vlm::SystemSize::full, vlm::wake_along_stream(0.1));
  EXPECT_LT(d.circulation, 1e-8);
  EXPECT_LT(d.force, 1e-8);
  const vlm::Lattice lattice = vlm::make_lattice(craft, options);
  options.system = vlm::SystemKind::hierarchical;
  const vlm::FlowSystem system(vlm::make_lattice(craft, options), {1, 0, 0}, pool(), vlm::SystemSize::full);
  const auto panels = static_cast<double>(lattice.num_panels());
  EXPECT_LT(system.estimated_bytes(), 0.5 * 8 * panels * panels);
}

// KiB
double status(const std::string& name) {
  std::ifstream file("/proc/self/status");
  for (std::string word; file >> word;)
    if (double kibibytes = 0; word == name && file >> kibibytes)
      return kibibytes;
  return 0;
}

// Greatest memory of a process of its own that sets up a lattice's system, over what was estimated.
double memory_over_estimate(const vlm::Lattice& lattice) {
  int ends[2];
  if (pipe(ends) != 0)
    return 0;
  const pid_t child = fork();
  if (child == 0) {
    vlm::ThreadPool own(2);
    const double before = status("VmRSS:");
    const vlm::FlowSystem system(lattice, {1, 0, 0}, own, vlm::SystemSize::full);
    const double ratio = 1024 * (status("VmHWM:") - before) / system.estimated_bytes();
    _exit(write(ends[1], &ratio, sizeof ratio) == sizeof ratio ? 0 : 1);
  }
  double ratio = 0;
  int end = 0;
  EXPECT_EQ(read(ends[0], &ratio, sizeof ratio), static_cast<ssize_t>(sizeof ratio));
  waitpid(child, &end, 0);
  close(ends[0]), close(ends[1]);
  return ratio;
}

TEST(FlowSystem, TakesTheMemoryThatWasEstimated) {
  vlm::LatticeOptions options = counts({{130, 20}});
  options.system = vlm::SystemKind::dense;
  EXPECT_NEAR(memory_over_estimate(vlm::make_lattice(craft_of({rectangle(8)}), options)), 1, 0.15);
  options = counts({{320, 50}});
  EXPECT_NEAR(memory_over_estimate(vlm::make_lattice(craft_of({rectangle(8)}), options)), 1, 0.15);
}

} // namespace
