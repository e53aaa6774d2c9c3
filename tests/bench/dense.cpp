// Systems solved densely, beside LAPACK's factorisation of a matrix of the full size.

#include <algorithm>
#include <string>

#include <vlm/file/case.hpp>
#include <vlm/flow/system.hpp>

#include "dgetrf.hpp"
#include "figure.hpp"

namespace bench {
namespace {

// The demo's front wing and stabilizer alone, in deep water.
vlm::Lattice wings(const vlm::PanelCounts& front, const vlm::PanelCounts& stabilizer) {
  vlm::Craft craft = vlm::read_case(VLM_CASES_DIR "/lake-rescue/heron-880.toml").craft;
  craft.surfaces.resize(2);
  craft.fuselage.reset();
  craft.still_surface = {};
  vlm::LatticeOptions options;
  options.counts = {front, stabilizer};
  return vlm::make_lattice(craft, options, 0);
}

Measured both_halves(int repetitions, const vlm::Lattice& lattice) {
  vlm::ThreadPool pool(2);
  return race(
      repetitions, 1e3, [&] { return seconds([&] {
                                vlm::FlowSystem(lattice, {1, 0, 0}, pool);
                              }); },
      [&] { return dgetrf_seconds(static_cast<int>(lattice.num_panels())); });
}

vlm::Lattice lattice_1000() {
  return wings({40, 16}, {30, 12});
}

vlm::Lattice lattice_4000() {
  return wings({80, 32}, {60, 24});
}

Measured no_half() {
  return {0, 0, "the system always makes both halves"};
}

} // namespace

std::vector<Figure> dense_figures() {
  return {
      {"half_1000", "assembled, factorised / full dgetrf", "ms", 0.25, no_half},
      {"half_4000", "the same for 4,000 unknowns", "ms", 0.22, no_half},
      {"both_1000", "both halves / full dgetrf", "ms", 0.45, [] { return both_halves(20, lattice_1000()); }},
      {"both_4000", "the same for 4,000 unknowns", "ms", 0.42,
       [] { return both_halves(4, lattice_4000()); }}};
}

} // namespace bench
