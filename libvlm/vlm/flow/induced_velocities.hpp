#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <vector>

#include <vlm/base/matrix.hpp>
#include <vlm/base/thread_pool.hpp>
#include <vlm/base/vec3.hpp>
#include <vlm/flow/influence.hpp>

namespace vlm {

/// A point and the row that it lies on, which is not the shell.
struct SurfacePoint {
  Vec3 point;                     ///< [m]
  std::optional<std::size_t> row; ///< index in Lattice::rows; unset: in the water
};

/// Velocities [m/s] at points for given circulations.
struct Velocities {
  Matrix x, y, z; ///< [points × columns]
};

/// Points of a flow that mirrors itself about y = 0, and its circulations seen in the mirror.
struct MirroredPoints {
  std::vector<std::size_t>
      point;          ///< [points] the mirror image of each among them, or itself if it is not there
  Matrix circulation; ///< [panels × columns], as mirrored_circulation makes it
};

/// Velocities at points for columns of circulation [panels × columns, m²/s], seen as Influence::wash_row sees
/// them. The onset flow and the fuselage's sources are not included; without_body: nor the shell's panels and
/// legs on the fuselage's skin; left_out: nor rows for which it is 1, null: none. mirrored: of two points
/// that mirror each other, velocities are worked out for one; at the other the same circulation does what its
/// mirror image does here. Null: for all. Throws Error for a point on the shell
/// or rows that are not those of the panels.
Velocities induced_velocities(const Influence&, std::span<const SurfacePoint>, const Matrix& circulation,
                              ThreadPool&, bool without_body = false,
                              const std::vector<char>* left_out = nullptr,
                              const MirroredPoints* mirrored = nullptr);

} // namespace vlm
