#pragma once

#include <array>
#include <span>
#include <vector>

#include <vlm/base/thread_pool.hpp>
#include <vlm/base/vec3.hpp>
#include <vlm/force/responses.hpp>

namespace vlm {

/// A force [N] and its moment about the origin [N·m], geometry axes.
struct Load {
  Vec3 force;  ///< [N]
  Vec3 moment; ///< about the origin [N·m]

  friend constexpr bool operator==(const Load&, const Load&) = default;
  /// Adds b.
  constexpr Load& operator+=(const Load& b) {
    force += b.force, moment += b.moment;
    return *this;
  }
};

/// Sums, opposites and multiples.
///@{
constexpr Load operator+(Load a, const Load& b) {
  return a += b;
}
constexpr Load operator-(const Load& a) {
  return {-a.force, -a.moment};
}
constexpr Load operator-(const Load& a, const Load& b) {
  return {a.force - b.force, a.moment - b.moment};
}
constexpr Load operator*(double s, const Load& a) {
  return {s * a.force, s * a.moment};
}
///@}

/// Moment of a load about a point [N·m].
constexpr Vec3 moment_about(const Vec3& point, const Load& load) {
  return load.moment - cross(point, load.force);
}

/// Near-field forces of a craft in one condition, where the lattice has them. All together they are the value
/// of the responses' forms: strips and legs those of the surfaces, rings those of the fuselage.
struct LatticeLoads {
  std::vector<Load> strips;              ///< [strips] of the bound segments
  std::vector<std::array<Load, 2>> legs; ///< [strips] of the legs along a strip's first and second edge
  /// [rings] of the fuselage, cut across between the rings of its shell, where its source lines end; empty
  /// without one.
  std::vector<Load> rings;
};

/// Near-field forces as load_forms has them, at a speed [m/s] with the turns of the responses at the
/// amplitudes given [rad]. A piece of the fuselage that runs through several rings counts as loaded evenly
/// along its length. density [kg/m³]. Throws Error as amplitudes does.
LatticeLoads lattice_loads(const Responses&, const Condition&, std::span<const double> turns, double speed,
                           double density, ThreadPool&);

} // namespace vlm
