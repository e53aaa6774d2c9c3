// One surface put in many places, beside a fresh solve of each.

#include <vlm/file/case.hpp>
#include <vlm/flow/still_part.hpp>
#include <vlm/force/responses.hpp>
#include <vlm/study/placement_study.hpp>

#include "figure.hpp"

namespace bench {
namespace {

constexpr double wake_angle = 0.09;
constexpr std::size_t stabilizer = 1;

// The demo's front wing and stabilizer, the latter a quarter of the unknowns of both; with all that the demo
// has besides, or alone.
vlm::Case craft_of(bool whole) {
  vlm::Case c = vlm::read_case(VLM_CASES_DIR "/lake-rescue/heron-880.toml");
  c.lattice.counts = {{60, 10}, {20, 10}, {10, 8}};
  if (!whole) {
    c.craft.fuselage.reset();
    c.craft.surfaces.resize(2);
    c.lattice.counts.resize(2);
  }
  return c;
}

std::vector<vlm::Craft> grid(const vlm::Craft& craft, int aft, int up) {
  std::vector<vlm::Craft> crafts;
  for (int i = 0; i < aft; ++i)
    for (int k = 0; k < up; ++k)
      crafts.push_back(vlm::placed(craft, stabilizer, {-0.06 + 0.06 * i / aft, 0.008 * k / up, 1}));
  return crafts;
}

// Mean over a grid of 200 points (of the whole craft, 40), what still rows are to each other included; beside
// that of fresh solves of some of them.
Measured moved(bool whole) {
  const vlm::Case c = craft_of(whole);
  // On the fuselage along it alone.
  const std::vector<vlm::Craft> all = whole ? grid(c.craft, 40, 1) : grid(c.craft, 20, 10),
                                some = whole ? grid(c.craft, 10, 1) : grid(c.craft, 10, 2);
  vlm::ThreadPool pool(2);
  const auto mean = [&](const std::vector<vlm::Craft>& crafts, bool with_still) {
    return seconds([&] {
             std::optional<vlm::StillPart> still;
             if (with_still)
               still.emplace(vlm::make_lattice(crafts[0], c.lattice, wake_angle),
                             vlm::make_lattice(crafts[1], c.lattice, wake_angle),
                             vlm::wake_along_stream(wake_angle));
             for (const vlm::Craft& craft : crafts) {
               const vlm::Responses r = vlm::make_responses(craft, c.lattice, wake_angle, {}, pool,
                                                            vlm::Motions::all, still ? &*still : nullptr);
               keep(r);
             }
           }) /
           static_cast<double>(crafts.size());
  };
  return race(
      3, 1e3, [&] { return mean(all, true); }, [&] { return mean(some, false); });
}

} // namespace

std::vector<Figure> placement_figures() {
  return {{"moved_stabilizer", "a place of 200 / a fresh solve", "ms", 0.35, [] { return moved(false); }},
          {"moved_on_fuselage", "the same on mast and fuselage", "ms", 0.35, [] { return moved(true); }}};
}

} // namespace bench
