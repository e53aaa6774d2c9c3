// What an Influence keeps, for the sources of this folder.

#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <vector>

#include <vlm/flow/fine_row.hpp>
#include <vlm/flow/flow_kernel.hpp>
#include <vlm/flow/influence.hpp>
#include <vlm/flow/wake_sheet.hpp>

namespace vlm {

struct Influence::State {
  // Nodes of a row, chordwise place after chordwise place, padded as the kernel wants them.
  struct Lines {
    std::vector<double> x, y, z;
    std::size_t per_strip = 0, width = 0;
    double core2 = 0;
    bool straight = false; // edges run along x
  };

  Lattice lattice;
  Vec3 direction;                               ///< of the wake: unit, aft
  std::vector<std::optional<WakeSheet>> sheets; ///< one a row; the shell has none
  std::vector<FineRow> fine_rows;               ///< likewise, empty where nothing sees it so
  std::vector<Lines> row_lines, fine_lines;     ///< of each row, and of those of fine_rows
  std::size_t row_size = 0;                     ///< numbers in a row of influence, as the kernel has it
  std::vector<std::size_t> place_in_row;        ///< [panels] where in such a row each panel stands

  State(const Lattice&, const Vec3& wake_direction);

  /// Writes to wash [row_size] the velocity [m/s] at the view's point times its vector, for unit circulation
  /// [m²/s] of each panel. own_row: the row on which the point lies, whose wake is then kept as lines; none
  /// for a point in the water.
  void wash_row(const View&, std::optional<std::size_t> own_row, std::span<double> wash) const;

  /// Whether a point on own_row sees a row's wake, and legs on the skin, as lines.
  bool sees_lines(std::optional<std::size_t> own_row, std::size_t row) const;

  /// Velocity [m/s] at a point of the leg of unit circulation behind the trailing edge at an edge of a row:
  /// straight aft or, from the skin, first to the tail. No image.
  Vec3 trailing_leg(const Vec3& point, const Row&, std::size_t edge) const;

  /// Writes to wash [strips of the row] the part of wash_row that comes from behind the row's trailing edge,
  /// for unit circulation of each strip. No image.
  void trailing_wash_row(const View&, std::size_t own_row, std::size_t row, std::span<double> wash) const;

  /// Velocities [m/s] at a point of a row's panels as they are seen from there, in the order of the lines
  /// seen: without its wake where that is a sheet, and without an image. What stands beyond the last strip is
  /// 0.
  void row_velocities(const Vec3& point, std::optional<std::size_t> own_row, std::size_t row, bool with_body,
                      const LineVelocities&) const;

  /// The part of wash_row that is a row's, from where it stands in a row of influence.
  void row_wash(const View&, std::optional<std::size_t> own_row, std::size_t row, double* wash) const;

  /// Whether a point on own_row sees a row as its fine lines: the shell and the surfaces that do not end on
  /// its meridians see each other so, in lattices of the semicircle rule.
  bool sees_finely(std::optional<std::size_t> own_row, std::size_t row) const;
  const Lines& lines_seen(std::optional<std::size_t> own_row, std::size_t row) const;

  /// Adds to wash [strips of the row] what its wake gives as another row sees it: its sheet, and the legs
  /// that follow the skin from its roots.
  void add_sheet_wash(std::span<const View> views, std::size_t row, bool with_body,
                      std::span<double> wash) const;
};

} // namespace vlm
