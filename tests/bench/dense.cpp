// Systems solved densely, beside LAPACK's factorisation of a matrix of the full size.

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

// Assembled and factorised for a cause, two threads, beside dgetrf. Both go on for a while, for the pause
// after dgetrf slows what comes next for some milliseconds.
Measured beside_dgetrf(int repetitions, const vlm::Lattice& lattice, const vlm::Cause& cause) {
  constexpr double a_while = 0.05;
  vlm::ThreadPool pool(2);
  const auto build = [&] { return seconds([&] { vlm::FlowSystem(lattice, {1, 0, 0}, pool, {&cause, 1}); }); };
  return race(
      repetitions, 1e3, [&] { return least_in(a_while, build); },
      [&] { return dgetrf_seconds(static_cast<int>(lattice.num_panels()), a_while); });
}

// The symmetric half.
Measured one_half(int repetitions, const vlm::Lattice& lattice) {
  return beside_dgetrf(repetitions, lattice, {{1, 0, 0}, {}, {}, {}});
}

Measured both_halves(int repetitions, const vlm::Lattice& lattice) {
  return beside_dgetrf(repetitions, lattice, {{1, 0.1, 0}, {}, {}, {}});
}

vlm::Lattice lattice_1000() {
  return wings({40, 16}, {30, 12});
}

vlm::Lattice lattice_4000() {
  return wings({80, 32}, {60, 24});
}

} // namespace

std::vector<Figure> dense_figures() {
  return {
      {"half_1000", "assembled, factorised / full dgetrf", "ms", 0.25,
       [] { return one_half(20, lattice_1000()); }},
      {"half_4000", "the same for 4,000 unknowns", "ms", 0.22, [] { return one_half(4, lattice_4000()); }},
      {"both_1000", "both halves / full dgetrf", "ms", 0.45, [] { return both_halves(20, lattice_1000()); }},
      {"both_4000", "the same for 4,000 unknowns", "ms", 0.42,
       [] { return both_halves(4, lattice_4000()); }}};
}

} // namespace bench
