#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include <vlm/base/vec3.hpp>
#include <vlm/lattice/options.hpp>
#include <vlm/lattice/spacing.hpp>
#include <vlm/shape/craft.hpp>

namespace vlm {

/// Strips side by side, through joints: a surface or several joined end to end, from one end to the other or
/// to where the fuselage or the still surface cuts them off. Panels lie strip after strip, from the leading
/// edge aft within each; nodes lie edge after edge likewise.
///
/// The fuselage's shell is such a row too: its strips run lengthwise side by side around the body, its edges
/// are meridians of the skin, the last the same as the first, and all of them end in the tail point, where
/// the legs cancel. It has panels but no entries among the lattice's strips, and no wake.
struct Row {
  std::size_t first_strip = 0;      ///< index in Lattice::strips; of no meaning for the shell
  std::size_t num_strips = 0;       ///< side by side
  std::size_t first_panel = 0;      ///< index among the lattice's panels
  std::size_t panels_per_strip = 0; ///< one behind the other
  std::size_t first_node = 0;       ///< of (num_strips + 1) edges with panels_per_strip + 1 nodes each

  bool shell = false;  ///< whether it is the fuselage's
  std::size_t run = 0; ///< rows cut from the same joined surfaces have the same number
  std::array<RowEnd, 2> ends{RowEnd::tip, RowEnd::tip}; ///< at the first and the last edge
  /// Behind the trailing edge, the leg of an end on the skin follows these points of a meridian to the tail
  /// [m], where it leaves along the wake. Empty for other ends.
  std::array<std::vector<Vec3>, 2> skin_path;
  /// Inside the fuselage the bound segments of an end on the body run on as far as these points of its middle
  /// plane, where those of the other side meet them [m]; one a panel of the strip. Empty for other ends.
  std::array<std::vector<Vec3>, 2> inner_point;
  /// Where the bound segments and the trailing edge of a carried end, whose nodes are on the middle plane,
  /// come out of the skin [m]; one a node. Empty for other ends.
  std::array<std::vector<Vec3>, 2> skin_point;

  std::vector<Vec3> sheet_point;   ///< trailing edge at the nodes of the wake sheet [m]
  std::vector<double> sheet_arc;   ///< their arc lengths along the row [m]
  std::vector<double> sheet_slope; ///< ds/du there [m], u counting strips, as in SpanSpacing

  std::size_t num_panels() const { return num_strips * panels_per_strip; } ///< of the row
  std::size_t nodes_per_edge() const { return panels_per_strip + 1; }      ///< leading to trailing edge
};

/// Plane that the flow is mirrored in: the still surface or a wall, parallel to the wake.
struct Mirror {
  Vec3 point;       ///< on it [m]
  Vec3 normal;      ///< unit, out of the water
  double sign = -1; ///< of the image: −1 at the still surface, +1 at a wall

  /// Mirror image of a point [m].
  Vec3 image(const Vec3& p) const { return p - (2 * dot(p - point, normal)) * normal; }
  /// Mirror image of a vector, whatever its unit.
  Vec3 image_direction(const Vec3& v) const { return v - (2 * dot(v, normal)) * normal; }
};

/// Up, across the still surface, as the craft sees it [-]: unit, normal to the stream at an angle of attack
/// [rad], leaning to port at a bank [rad], starboard down positive.
Vec3 upward(double wake_angle, double bank);

/// Part of the line of sources on a fuselage's axis that parts the axial stream by its growing cuts.
struct SourceLine {
  Vec3 from, to;     ///< ends [m]
  double growth = 0; ///< of the cut's area between them [m²]; source strength is that times axial velocity
  /// Unit, aft: normal of the cuts, whatever the slope of the line, for what passes a cut is its area times
  /// the velocity along that. Axial velocity is the onset along it.
  Vec3 axis{1, 0, 0};
};

/// A slice of a surface between two edges of its row.
struct Strip {
  std::size_t surface = 0;     ///< index in the craft
  std::size_t row = 0;         ///< index in Lattice::rows
  std::size_t first_panel = 0; ///< index among the lattice's panels
  double arc = 0;              ///< of the middle from the surface's first tip [m]
  double first_edge = 0;       ///< arc of the edge that is nearer to that tip [m]
  double width = 0;            ///< arc length between the edges [m]
  double span_fraction = 0; ///< of the middle: −1 at the first tip, 0 halfway along the arc, 1 at the last
  double chord = 0;         ///< at the middle [m]
  Vec3 direction;           ///< of the span at the middle: unit, x = 0
  Vec3 leading_edge;        ///< at the middle [m]
  Vec3 wake_point;          ///< trailing edge at the middle [m]
};

/// Where a surface ends on something other than a tip of its own.
struct Footing {
  std::size_t surface = 0; ///< index in the craft
  double arc = 0;          ///< from the surface's first tip [m]
  double chord = 0;        ///< there [m]
};

/// A craft cut into horseshoes. A panel's bound segment joins node k of its strip's two edges; its legs
/// follow the edges over the remaining nodes to the trailing edge (the last node) and leave it along the
/// wake. Circulation is positive where it lifts towards x̂ × (direction of the row).
struct Lattice {
  Spacing spacing = Spacing::semicircle; ///< rule that it was cut by
  bool displaced = false;                ///< as in LatticeOptions
  std::optional<SystemKind> system;      ///< likewise
  std::vector<Row> rows;                 ///< run by run; the fuselage's shell, if there is one, last
  std::vector<Strip> strips;             ///< of the surfaces, row by row
  std::vector<Footing> roots;            ///< on the fuselage's skin
  std::vector<Footing> piercings;        ///< at the still surface
  std::vector<SourceLine> sources;       ///< of the fuselage, from nose to tail
  std::optional<Mirror> mirror;          ///< unset: the water is deep all round

  std::vector<double> node_x, node_y, node_z; ///< [nodes], m

  std::vector<Vec3> control; ///< [panels] where no water may pass [m]
  std::vector<Vec3> normal;  ///< [panels] unit; of the chord surface, or of the mean surface if displaced
  /// [panels] Nose-up angle of the mean line to the chord surface [rad]: incidence + twist − slope. 0 if
  /// displaced.
  std::vector<double> slope;
  std::vector<Vec3> force_point; ///< [panels] on the bound segment [m]

  std::size_t num_panels() const { return control.size(); }             ///< of all rows, the shell's included
  bool has_shell() const { return !rows.empty() && rows.back().shell; } ///< whether there is a fuselage
  std::vector<std::size_t> row_of_panels() const;                       ///< [panels] index in rows
  /// A node by its index, or by place k of an edge of a row [m].
  ///@{
  Vec3 node(std::size_t i) const { return {node_x[i], node_y[i], node_z[i]}; }
  Vec3 node(const Row& row, std::size_t edge, std::size_t k) const {
    return node(row.first_node + edge * row.nodes_per_edge() + k);
  }
  ///@}
};

/// Cuts a craft. wake_angle [rad]: of the stream to which the still surface lies parallel; the wake must be
/// laid along it. A surface that runs into the fuselage is cut off at the skin, one that pierces the still
/// surface there. Throws Error for counts that do not match the craft, cannot be laid on its kinks and
/// joints, or need more memory than the machine has; for ends joined head on, in a ring, or with unequal
/// panels_per_strip; and whatever check(craft) throws.
Lattice make_lattice(const Craft&, const LatticeOptions&, double wake_angle = 0);

/// Node k of a row's edge [m], at a carried end where it comes out of the skin: up to there a strip is in the
/// water.
Vec3 wetted_node(const Lattice&, const Row&, std::size_t edge, std::size_t k);

} // namespace vlm
