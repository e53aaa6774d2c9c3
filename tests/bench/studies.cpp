// Responses and studies.

#include <vlm/file/case.hpp>
#include <vlm/force/responses.hpp>

#include "figure.hpp"

namespace bench {
namespace {

// The demo craft with about 1,000 unknowns and 12 causes: the six motions and as many turns.
Measured responses() {
  vlm::Case c = vlm::read_case(VLM_CASES_DIR "/lake-rescue/heron-880.toml");
  c.lattice.counts = {{32, 10}, {24, 10}, {20, 7}};
  c.lattice.body = {20, 12};
  const double wake_angle = 0.08;
  std::vector<vlm::TurnShape> turns;
  for (const std::size_t surface : {0, 1})
    for (const auto& shape : {std::optional<vlm::TwistShape>(), std::optional(vlm::linear_twist()),
                              std::optional(c.twist_shapes.at(0))})
      turns.push_back({surface, shape});
  vlm::ThreadPool pool(2);
  return race(
      20, 1e3,
      [&] {
        return seconds([&] {
          const vlm::Responses r =
              vlm::make_responses(c.craft, c.lattice, wake_angle, turns, pool, vlm::Motions::all);
          keep(r);
        });
      },
      [&] {
        const vlm::Lattice lattice = vlm::make_lattice(c.craft, c.lattice, wake_angle);
        const vlm::Cause along[] = {{{1, 0, 0}, {}, {}, {}}};
        return seconds([&] {
          const vlm::FlowSystem system(lattice, vlm::wake_along_stream(wake_angle), pool);
          const vlm::Matrix circulation = system.solve(along);
          keep(circulation);
        });
      });
}

} // namespace

std::vector<Figure> study_figures() {
  return {{"responses", "12 causes, all forms / set-up, 1 cause", "ms", 1.5, responses}};
}

} // namespace bench
