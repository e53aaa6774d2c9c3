#pragma once

#include <functional>
#include <span>
#include <vector>

#include <vlm/base/matrix.hpp>
#include <vlm/base/thread_pool.hpp>
#include <vlm/base/vec3.hpp>
#include <vlm/flow/cause.hpp>
#include <vlm/flow/influence.hpp>
#include <vlm/flow/still_part.hpp>

namespace vlm {

/// A straight piece of vortex, or of a source line, that bears a force: of strength i in the velocity of
/// cause j, ρ Γ_i V_j × l, or −ρ σ_i V_j.
struct LoadedPiece {
  enum class Kind {
    bound,   ///< bound segment of a strip
    leg,     ///< piece of a strip's leg, up to the trailing edge
    carried, ///< bound segment run on from a root to where that of the other side meets it
    skin,    ///< segment or leg of the shell, or leg of a root on its way to the tail
    source,  ///< source line of the fuselage
  } kind;
  std::size_t strip = 0;            ///< of the lattice; bound and leg
  std::size_t end = 0;              ///< of the strip, 0 or 1, along which the leg runs
  Vec3 from, to;                    ///< ends [m]
  Vec3 point;                       ///< where the force acts [m]
  std::span<const double> strength; ///< Γ, or −σ, of each cause
  std::span<const Vec3> velocity;   ///< of the water at the point for each cause [m/s]

  /// Force [N] of unit strength in the velocity of cause j.
  Vec3 unit_force(double density, std::size_t j) const {
    return density * (kind == Kind::source ? velocity[j] : cross(velocity[j], to - from));
  }
};

/// Strips of one row that follow each other in the lattice.
struct StripGroup {
  std::size_t first = 0, last = 0; ///< the last is that before `last`
};

/// The strips of a lattice in groups, the same for any number of threads.
std::vector<StripGroup> strip_groups(const Lattice&);

/// Visits every piece that bears a force, with what load_forms says of the velocities. circulation: [panels ×
/// causes]. Pieces of a group of strips come one after another, as visit(group, piece); groups are visited at
/// the same time by several threads of the pool. Pieces of no strip come last, in a group behind the others.
/// The spans of a piece live as long as its visit. still: as load_forms has it.
void visit_near_field(const Influence&, std::span<const Cause>, const Matrix& circulation, ThreadPool&,
                      const std::function<void(std::size_t group, const LoadedPiece&)>& visit,
                      StillPart* still = nullptr);

} // namespace vlm
