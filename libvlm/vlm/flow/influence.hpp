#pragma once

#include <cstddef>
#include <memory>
#include <optional>
#include <span>

#include <vlm/base/vec3.hpp>
#include <vlm/lattice/lattice.hpp>

namespace vlm {

/// A point and a vector at it.
struct View {
  Vec3 point; ///< [m]
  Vec3 along; ///< of any length
};

/// Velocity [m/s] of a straight vortex segment of unit circulation that runs from a to b; to_a and to_b [m]
/// point from its ends to the place. Biot & Savart, in the form of which nothing blows up beyond the ends.
/// Exactly zero on the segment, zero to rounding on its line beyond.
Vec3 segment_velocity(const Vec3& to_a, const Vec3& to_b);

/// The same for a half-infinite vortex that starts at a and runs along the unit vector `direction`.
Vec3 ray_velocity(const Vec3& to_a, const Vec3& direction);

/// Velocity [m/s] of a line of sources from a to b that gives off 1 m³/s evenly along its length; to_a and
/// to_b as above. Zero on the line.
Vec3 source_velocity(const Vec3& to_a, const Vec3& to_b);

/// Velocities that a lattice of unit circulations induces, with its image in the still surface or a wall.
/// Lines for bound segments, legs, a row's own wake, that of rows cut from the same surfaces, and on the
/// shell that of rows that end on the body; sheets for all other wakes, and for any point in the water. The
/// shell and rows along whose roots no meridian of it runs see each other's panels as finer ones, in lattices
/// of the semicircle rule.
class Influence {
public:
  /// wake_direction: unit vector aft. Keeps its own copies; the lattice may go. Throws Error for a
  /// direction that is none, if the lattice is mirrored in a plane that the wake would cross, and what
  /// WakeSheet throws.
  Influence(const Lattice&, const Vec3& wake_direction);

  const Lattice& lattice() const;     ///< its copy
  const Vec3& wake_direction() const; ///< unit, aft

  /// Writes to wash [strips] the velocity [m/s] at the view's point times its vector that comes from the
  /// wakes of other surfaces behind their trailing edges, without legs on the fuselage's skin, for unit
  /// circulation of each strip; 0 for rows cut from the same as own_row.
  void wake_wash_row(const View&, std::size_t own_row, std::span<double> wash) const;

  /// Writes to wash [strips] the velocity [m/s] times the vector at a point of the plane far downstream, for
  /// unit circulation of each strip. own_row: the row whose wake the point lies on, kept as lines.
  void far_wash_row(const View&, std::size_t own_row, std::span<double> wash) const;

  /// Velocity [m/s] at a point of the fuselage's sources in unit axial stream, one entry a source line.
  void source_row(const Vec3& point, std::span<Vec3> velocity) const;

  struct State; ///< for the sources beside this
  const State& state() const { return *state_; }

private:
  std::shared_ptr<const State> state_; // never changes: copies share it
};

} // namespace vlm
