#pragma once

#include <cstddef>
#include <memory>
#include <span>
#include <vector>

#include <vlm/base/thread_pool.hpp>
#include <vlm/base/vec3.hpp>
#include <vlm/flow/induced_velocities.hpp>
#include <vlm/flow/symmetry.hpp>
#include <vlm/lattice/lattice.hpp>

namespace vlm {

/// What the rows of a lattice that stand still are to each other, while others move: the inverse of their
/// block of the system, and the velocities that they give at their own points, kept for circulations like
/// those seen before. For studies that put one surface elsewhere many times.
///
/// Still are rows that two lattices have alike to the last bit: panels, ends, and what their legs follow. A
/// fuselage's meridians run from root to root, and the legs of roots along them: where a root moves, no
/// row whose legs follow such a meridian is still. If less than half of the panels are, none counts.
class StillPart {
public:
  /// Rows that both lattices have alike; the wake lies along the same direction (unit vector aft) in both.
  StillPart(const Lattice&, const Lattice& other, const Vec3& wake_direction);
  ~StillPart();
  /// Moves; what is left behind may be assigned to or destroyed, nothing else.
  ///@{
  StillPart(StillPart&&) noexcept;
  StillPart& operator=(StillPart&&) noexcept;
  ///@}

  /// Whether some rows stand still.
  bool any() const;

  /// Whether a lattice has the still rows, all others as many panels as before, and a wake along the same
  /// direction; and, where it is its own mirror image, the still rows are each other's.
  bool fits(const Lattice&, const Vec3& wake_direction) const;

  /// [rows] 1 where a row stands still.
  const std::vector<char>& still_rows() const;

  /// Velocities that all panels of a lattice give at points, without_body, as induced_velocities has them:
  /// the points that it is asked for must be the same ones on still rows each time. Circulations of still
  /// rows are combined of those seen before where that is exact to 1e-12 of the greatest. image: of the flow
  /// in itself, or null, and mirrored: which point mirrors which. Not for two threads at once.
  Velocities velocities(const Influence&, std::span<const SurfacePoint>, const Matrix& circulation,
                        ThreadPool&, const MirrorImage* image, const std::vector<std::size_t>& mirrored);

  struct State; ///< for the sources of FlowSystem

private:
  friend class FlowSystem;
  std::unique_ptr<State> state_;
};

} // namespace vlm
