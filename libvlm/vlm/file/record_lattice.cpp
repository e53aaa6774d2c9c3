#include <vlm/file/record_lattice.hpp>

#include <cmath>
#include <numbers>
#include <string>

#include <vlm/lattice/spacing.hpp>

namespace vlm {
namespace {

// Number of a quadrangle among the cell types of a VTKHDF group.
constexpr std::uint8_t quadrangle = 9;

// The panels as quadrangles that tile each row from the leading edge to the trailing edge.
struct GridCells {
  std::vector<double> corner;             // [corners × 3], m; edge after edge, from the leading edge aft
  std::vector<std::int64_t> connectivity; // [panels × 4]
  std::vector<double> length;             // as in RecordLattice
};

GridCells grid_cells(const Lattice& lattice) {
  GridCells cells;
  for (const Row& row : lattice.rows) {
    const std::size_t panels = row.panels_per_strip;
    // Fractions of the chord, or of the fuselage's length, at the nodes of an edge and at the borders between
    // panels: where the spacing rule parts vortices. The shell's rings always lie by the semicircle rule.
    const Spacing spacing = row.shell ? Spacing::semicircle : lattice.spacing;
    std::vector<double> node = chord_spacing(spacing, static_cast<int>(panels)).vortex, border;
    node.push_back(1);
    for (std::size_t k = 0; k <= panels; ++k) {
      const double part = static_cast<double>(k) / static_cast<double>(panels);
      border.push_back(spacing == Spacing::uniform ? part : 0.5 * (1 - std::cos(part * std::numbers::pi)));
    }
    const auto first_corner = static_cast<std::int64_t>(cells.corner.size() / 3);
    for (std::size_t edge = 0; edge <= row.num_strips; ++edge)
      for (std::size_t k = 0; k <= panels; ++k) {
        // On the straight line through the nodes before and behind; the foremost reaches on to the leading
        // edge.
        const std::size_t before = k == 0 ? 0 : k - 1;
        const double along = (border[k] - node[before]) / (node[before + 1] - node[before]);
        const std::size_t a = row.first_node + edge * row.nodes_per_edge() + before;
        for (const auto* component : {&lattice.node_x, &lattice.node_y, &lattice.node_z})
          cells.corner.push_back((1 - along) * (*component)[a] + along * (*component)[a + 1]);
      }
    const double body_length = row.shell ? lattice.sources.back().to.x - lattice.sources.front().from.x : 0;
    for (std::size_t j = 0; j < row.num_strips; ++j) {
      const double chord = row.shell ? body_length : lattice.strips[row.first_strip + j].chord;
      for (std::size_t k = 0; k < panels; ++k) {
        const auto a = first_corner + static_cast<std::int64_t>(j * (panels + 1) + k);
        const auto b = a + static_cast<std::int64_t>(panels + 1);
        // Turning about the normal on the lifting side.
        cells.connectivity.insert(cells.connectivity.end(), {a, a + 1, b + 1, b});
        cells.length.push_back((border[k + 1] - border[k]) * chord);
      }
    }
  }
  return cells;
}

// A dimension scale that only counts.
Hdf5Dataset add_count(const Hdf5File& file, const std::string& name, std::size_t size,
                      const std::string& long_name) {
  const Hdf5Dataset scale = file.add_scale("/index/" + name, Hdf5Kind::integer, size, {"1", long_name});
  std::vector<std::int64_t> numbers;
  for (std::size_t i = 0; i < size; ++i)
    numbers.push_back(static_cast<std::int64_t>(i));
  scale.write(0, numbers);
  return scale;
}

Hdf5Dataset add_names(const Hdf5File& file, const std::string& path, const std::vector<std::string>& names,
                      const std::string& long_name) {
  const Hdf5Dataset scale = file.add_scale(path, Hdf5Kind::text, names.size(), {"1", long_name});
  scale.write(0, names);
  return scale;
}

void write_strips(const Hdf5File& file, const Lattice& lattice, const Hdf5Dataset& strip,
                  const Hdf5Dataset& axis) {
  std::vector<std::int64_t> surface;
  std::vector<double> arc, width, fraction, chord, leading_edge;
  for (const Strip& s : lattice.strips) {
    surface.push_back(static_cast<std::int64_t>(s.surface));
    arc.push_back(s.arc);
    width.push_back(s.width);
    fraction.push_back(s.span_fraction);
    chord.push_back(s.chord);
    leading_edge.insert(leading_edge.end(), {s.leading_edge.x, s.leading_edge.y, s.leading_edge.z});
  }
  const std::vector<Hdf5Dataset> each{strip}, each_point{strip, axis};
  file.add("/lattice/strip_surface", Hdf5Kind::integer, each,
           {"1", "place of the strip's surface in /lattice/surface, counted from 0"})
      .write(0, surface);
  file.add("/lattice/arc", Hdf5Kind::real, each,
           {"m", "arc length of the strip's middle from the first tip of its surface"})
      .write(0, arc);
  file.add("/lattice/width", Hdf5Kind::real, each, {"m", "arc length between the edges of the strip"})
      .write(0, width);
  file.add("/lattice/span_fraction", Hdf5Kind::real, each,
           {"1",
            "place of the strip's middle: -1 at the first tip, 0 halfway along the arc, 1 at the last tip"})
      .write(0, fraction);
  file.add("/lattice/chord", Hdf5Kind::real, each, {"m", "chord in the middle of the strip"}).write(0, chord);
  file.add("/lattice/leading_edge", Hdf5Kind::real, each_point,
           {"m", "leading edge in the middle of the strip"})
      .write(0, leading_edge);
}

// An unstructured grid in one part.
void write_grid(const Hdf5File& file, const GridCells& grid, const Hdf5Dataset& panel,
                const Hdf5Dataset& axis) {
  const std::size_t num_corners = grid.corner.size() / 3, num_panels = grid.length.size();
  const std::vector<Hdf5Dataset> part{add_count(file, "part", 1, "number of the part of the grid")};
  const std::vector<Hdf5Dataset> corner{add_count(file, "corner", num_corners, "number of the corner"), axis};
  const std::vector<Hdf5Dataset> visit{add_count(file, "visit", grid.connectivity.size(),
                                                 "number of the visit to a corner, four for each panel")};
  const std::vector<Hdf5Dataset> bound{
      add_count(file, "bound", num_panels + 1, "number of the bound between the visits of two panels")};

  const Hdf5Id group = file.add_group("/VTKHDF");
  set_attribute(group.get(), "Version", std::vector{1, 0});
  set_fixed_text_attribute(group.get(), "Type", "UnstructuredGrid");
  const auto add_one = [&](const char* name, std::size_t value, const char* long_name) {
    file.add(std::string("/VTKHDF/") + name, Hdf5Kind::integer, part, {"1", long_name})
        .write(0, std::vector{static_cast<std::int64_t>(value)});
  };
  add_one("NumberOfPoints", num_corners, "number of corners");
  add_one("NumberOfCells", num_panels, "number of panels");
  add_one("NumberOfConnectivityIds", grid.connectivity.size(), "number of visits to corners");
  file.add("/VTKHDF/Points", Hdf5Kind::real, corner, {"m", "place of the corner"}).write(0, grid.corner);
  file.add("/VTKHDF/Connectivity", Hdf5Kind::integer, visit,
           {"1", "corner visited, around each panel in turn"})
      .write(0, grid.connectivity);
  std::vector<std::int64_t> offset;
  for (std::size_t i = 0; i <= num_panels; ++i)
    offset.push_back(static_cast<std::int64_t>(4 * i));
  file.add("/VTKHDF/Offsets", Hdf5Kind::integer, bound, {"1", "first visit of the panel behind the bound"})
      .write(0, offset);
  file.add("/VTKHDF/Types", Hdf5Kind::byte, std::vector{panel}, {"1", "shape of the cell: 9, a quadrangle"})
      .write(0, std::vector(num_panels, quadrangle));
}

} // namespace

RecordLattice write_lattice(const Hdf5File& file, const Craft& craft, const Lattice& lattice) {
  std::vector<std::string> names;
  for (const Surface& surface : craft.surfaces)
    names.push_back(surface.name);
  file.add_group("/index");
  file.add_group("/lattice");
  const Hdf5Dataset axis =
      add_names(file, "/index/axis", {"x", "y", "z"}, "axis: x aft, y to starboard, z up");
  add_names(file, "/lattice/surface", names, "name of the surface");
  RecordLattice result{axis,
                       add_names(file, "/lattice/part", part_names(craft),
                                 "name of the part that bears loads: the surfaces, then the fuselage"),
                       add_count(file, "strip", lattice.strips.size(),
                                 "number of the strip, surface after surface as they are joined"),
                       add_count(file, "panel", lattice.num_panels(),
                                 "number of the panel, strip after strip, from the leading edge aft"),
                       {}};
  write_strips(file, lattice, result.strip, axis);
  GridCells grid = grid_cells(lattice);
  write_grid(file, grid, result.panel, axis);
  result.panel_length = std::move(grid.length);
  return result;
}

} // namespace vlm
