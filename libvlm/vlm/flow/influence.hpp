#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <vector>

#include <vlm/base/vec3.hpp>
#include <vlm/flow/fine_row.hpp>
#include <vlm/flow/wake_sheet.hpp>
#include <vlm/lattice/lattice.hpp>

namespace vlm {

struct LineVelocities; // of the kernel

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
/// shell sees panels of rows along whose roots no meridian of it runs as finer ones.
class Influence {
public:
  /// wake_direction: unit vector aft. Keeps its own copies; the lattice may go. Throws Error for a
  /// direction that is none, if the lattice is mirrored in a plane that the wake would cross, and what
  /// WakeSheet throws.
  Influence(const Lattice&, const Vec3& wake_direction);

  const Lattice& lattice() const { return lattice_; }       ///< its copy
  const Vec3& wake_direction() const { return direction_; } ///< unit, aft

  /// Numbers in a row of influence: as the kernel has them, with padding.
  std::size_t row_size() const { return row_size_; }
  /// Where in such a row each panel stands [panels].
  const std::vector<std::size_t>& place_in_row() const { return place_in_row_; }

  /// Writes to wash [row_size] the velocity [m/s] at the view's point times its vector, for unit circulation
  /// [m²/s] of each panel. own_row: the row on which the point lies, whose wake is then kept as lines; none
  /// for a point in the water.
  void wash_row(const View&, std::optional<std::size_t> own_row, std::span<double> wash) const;

  /// Writes to wash [strips] the part of wash_row that comes from the wakes of other surfaces behind their
  /// trailing edges, without legs on the fuselage's skin, for unit circulation of each strip; 0 for rows cut
  /// from the same as own_row.
  void wake_wash_row(const View&, std::size_t own_row, std::span<double> wash) const;

  /// Writes to wash [strips] the velocity [m/s] times the vector at a point of the plane far downstream, for
  /// unit circulation of each strip. own_row: the row whose wake the point lies on, kept as lines.
  void far_wash_row(const View&, std::size_t own_row, std::span<double> wash) const;

  /// Whether a point on own_row sees a row's panels and wake as the lines that they are.
  bool sees_lines(std::optional<std::size_t> own_row, std::size_t row) const;

  /// Velocity [m/s] at a point of the leg of unit circulation behind the trailing edge at an edge of a row:
  /// straight aft or, from the skin, first to the tail. No image.
  Vec3 trailing_leg(const Vec3& point, const Row&, std::size_t edge) const;

  /// Writes to wash [strips of the row] the part of wash_row that comes from behind the row's trailing edge,
  /// for unit circulation of each strip. No image.
  void trailing_wash_row(const View&, std::size_t own_row, std::size_t row, std::span<double> wash) const;

  /// Velocity [m/s] at a point of the fuselage's sources in unit axial stream, one entry a source line.
  void source_row(const Vec3& point, std::span<Vec3> velocity) const;

private:
  friend class VelocitySum;

  // Nodes of a row, chordwise place after chordwise place, padded as the kernel wants them.
  struct Lines {
    std::vector<double> x, y, z;
    std::size_t per_strip = 0, width = 0;
    double core2 = 0;
    bool straight = false; // edges run along x
  };
  static Lines lines_of(const double* x, const double* y, const double* z, std::size_t num_edges,
                        std::size_t per_strip, double core);
  void add_sheet_wash(std::span<const View> views, std::size_t row, bool with_body,
                      std::span<double> wash) const;
  void row_velocities(const Vec3& point, std::optional<std::size_t> own_row, std::size_t row, bool with_body,
                      const LineVelocities&) const;
  bool sees_finely(std::optional<std::size_t> own_row, std::size_t row) const;
  const Lines& lines_seen(std::optional<std::size_t> own_row, std::size_t row) const;

  Lattice lattice_;
  Vec3 direction_;
  std::vector<std::optional<WakeSheet>> sheets_; // one a row; the shell has none
  std::vector<FineRow> fine_;                    // likewise, empty where no shell sees it
  std::vector<Lines> lines_, fine_lines_;        // of each row, and of those of fine_
  std::vector<std::size_t> place_in_row_;
  std::size_t row_size_ = 0;
};

} // namespace vlm
