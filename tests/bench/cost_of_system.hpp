#pragma once

#include <optional>

#include <vlm/lattice/options.hpp>

namespace bench {

/// What a system and a solve for one cause take.
struct Cost {
  double time = 0, memory = 0; ///< s; greatest, in bytes
};

/// Of the demo's front wing in deep water, at full size, in a process of its own. Throws if that fails.
Cost cost_of_system(int strips, int panels_per_strip, std::optional<vlm::SystemKind>, int threads);

} // namespace bench
