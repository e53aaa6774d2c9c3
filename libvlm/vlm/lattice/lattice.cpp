#include <vlm/lattice/lattice.hpp>

#include <algorithm>
#include <cmath>
#include <optional>
#include <span>

#include <vlm/base/error.hpp>
#include <vlm/base/memory.hpp>
#include <vlm/lattice/row_shape.hpp>
#include <vlm/lattice/shell.hpp>
#include <vlm/lattice/spacing.hpp>
#include <vlm/lattice/wetted.hpp>
#include <vlm/shape/contact.hpp>
#include <vlm/shape/millimetres.hpp>

namespace vlm {
namespace {

// The surfaces of each row in order, first tip to last.
std::vector<std::vector<std::size_t>> rows_of(const Craft& craft) {
  const std::size_t count = craft.surfaces.size();
  std::vector<std::optional<std::size_t>> next(count), previous(count);
  for (const Joint& joint : joints(craft)) {
    const std::string &a = craft.surfaces[joint.surface_a].name, &b = craft.surfaces[joint.surface_b].name;
    if (joint.end_a == joint.end_b) {
      // A level surface written from starboard to port would lift downwards: that is the one to turn round.
      const std::vector<Station>& stations = craft.surfaces[joint.surface_a].stations;
      const bool a_runs_to_port = stations.back().y < stations.front().y;
      throw Error("surfaces '" + a + "' and '" + b + "' meet head on, both with their " +
                  (joint.end_a ? "last" : "first") + " station: write the stations of '" +
                  (a_runs_to_port ? a : b) +
                  "' in the opposite order, so that one surface runs on from the other");
    }
    const std::size_t from = joint.end_a ? joint.surface_a : joint.surface_b;
    const std::size_t to = joint.end_a ? joint.surface_b : joint.surface_a;
    if (next[from] || previous[to])
      throw Error("more than two surfaces meet where '" + a + "' joins '" + b +
                  "': lift can run on from one surface to one other only; end the third clear of them");
    next[from] = to;
    previous[to] = from;
  }
  std::vector<std::vector<std::size_t>> rows;
  std::size_t placed = 0;
  for (std::size_t i = 0; i < count; ++i) {
    if (previous[i])
      continue;
    rows.emplace_back();
    for (std::optional<std::size_t> s = i; s; s = next[*s], ++placed)
      rows.back().push_back(*s);
  }
  if (placed != count)
    throw Error("surfaces are joined into a closed ring, which has no tip to start from: leave a gap in it");
  return rows;
}

// Places of a row's edges and middles and of its wake sheet's nodes, many of which are among the former.
struct SpanPlaces {
  std::vector<RowShape::Place> edge, middle, node;

  SpanPlaces(const RowShape& shape, const SpanSpacing& span) {
    for (const double s : span.edge)
      edge.push_back(shape.at(s));
    for (const double s : span.middle)
      middle.push_back(shape.at(s));
    std::size_t e = 0, m = 0; // the next of either
    for (const double s : span.node) {
      while (e + 1 < edge.size() && span.edge[e] < s)
        ++e;
      while (m + 1 < middle.size() && span.middle[m] < s)
        ++m;
      node.push_back(span.edge[e] == s ? edge[e] : span.middle[m] == s ? middle[m] : shape.at(s));
    }
  }
};

// Nodes of a row, edge after edge, at rising chord fractions. An edge is set off the surface by the mean of
// the sagittas of the strips either side, so that bound segments cross the true surface at the middles of
// strips, where control and force points are. With edges on the surface itself, segments on a curved outline
// lie inside it: an AR 8 ellipse of straight quarter chord has 1.4 % too much lift at 20 × 8, and so 0.02 %.
// The outermost edges have a strip on one side only and stay on the surface; where the row is cut off, on the
// cut.
std::vector<Vec3> row_nodes(const RowShape& shape, const SpanSpacing& span, const SpanPlaces& places,
                            const Stretch& stretch, std::span<const double> chord) {
  const std::size_t last = span.edge.size() - 1;
  std::vector<Vec3> nodes(span.edge.size() * chord.size());
  for (std::size_t k = 0; k < chord.size(); ++k) {
    const double x = chord[k];
    const auto at = [&](std::size_t edge) -> Vec3& { return nodes[edge * chord.size() + k]; };
    // Where the straight segment between a strip's edges passes its middle, and how far the surface lies from
    // that.
    Vec3 from = places.edge[0].point(x), before;
    at(0) = from;
    for (std::size_t j = 0; j < last; ++j) {
      const double a = span.edge[j], b = span.edge[j + 1], along = (span.middle[j] - a) / (b - a);
      const Vec3 to = places.edge[j + 1].point(x);
      const Vec3 sagitta = places.middle[j].point(x) - ((1 - along) * from + along * to);
      if (j > 0)
        at(j) = from + 0.5 * (before + sagitta);
      from = to;
      before = sagitta;
    }
    at(last) = from;
    for (const std::size_t end : {0, 1})
      if (const std::optional<CutEnd>& cut = stretch.cuts[end])
        at(end == 0 ? 0 : last) = cut->carried ? shape.point(*cut->carried, x)
                                               : shape.point(cut->arc[k], x) + Vec3{0, 0, cut->rise[k]};
  }
  return nodes;
}

std::string name_of(const Craft& craft, const std::vector<std::size_t>& surfaces) {
  std::string name = surfaces.size() == 1 ? "surface" : "joined surfaces";
  for (const std::size_t i : surfaces)
    name += (i == surfaces.front() ? " '" : ", '") + craft.surfaces[i].name + "'";
  return name;
}

// The still surface above a craft that rides at a depth; level along the wake's stream.
std::optional<StillPlane> still_plane(const Craft& craft, double wake_angle) {
  const StillSurface& still = craft.still_surface;
  if (!still.depth)
    return std::nullopt;
  const Vec3 up = upward(wake_angle, still.bank);
  return StillPlane{*still.depth * up, up,
                    still.boundary == Boundary::free ? RowEnd::still_surface : RowEnd::tip};
}

std::optional<Mirror> mirror_plane(const Craft& craft, double wake_angle) {
  const StillSurface& still = craft.still_surface;
  const Vec3 up = upward(wake_angle, still.bank);
  switch (still.boundary) {
  case Boundary::free:
    return Mirror{*still.depth * up, up, -1};
  case Boundary::wall:
    return Mirror{-*still.clearance * up, -up, 1};
  case Boundary::none:
    break;
  }
  return std::nullopt;
}

// What all rows of a craft are cut by.
struct Surroundings {
  std::optional<Skin> skin;
  std::optional<StillPlane> plane;
  std::optional<Mirror> mirror;
};

// Checks that points of a surface or the fuselage lie below the still surface, if that is asked for, and on
// this side of a wall.
void check_in_water(std::span<const Vec3> points, const Surroundings& around, const std::string& name,
                    bool wet) {
  const auto check = [&](const Vec3& plane, const Vec3& normal, const char* verb, const char* where,
                         const char* mend) {
    const auto height = [&](const Vec3& p) { return dot(p - plane, normal); };
    const Vec3 at = *std::max_element(points.begin(), points.end(),
                                      [&](const Vec3& a, const Vec3& b) { return height(a) < height(b); });
    if (height(at) >= 0)
      throw Error(name + verb + millimetres(height(at)) + " mm " + where + " at x = " + millimetres(at.x) +
                  ", y = " + millimetres(at.y) + " mm: " + mend);
  };
  if (around.plane && wet)
    check(around.plane->point, around.plane->normal, " stands ", "above the still surface",
          "increase the depth or bank less");
  if (around.mirror && around.mirror->sign > 0)
    check(around.mirror->point, around.mirror->normal, " reaches ", "through the wall",
          "increase the clearance");
}

// A root on the skin, and which end of which row it is.
struct RowRoot {
  std::size_t row, end;
  RootEdge edge;
};

// Strips of a run shared out over its stretches by length.
std::vector<int> share_strips(const std::vector<Stretch>& stretches, int strips, const std::string& name) {
  if (stretches.size() == 1)
    return {strips};
  const double port = stretches[0].to - stretches[0].from, starboard = stretches[1].to - stretches[1].from;
  if (std::abs(port - starboard) < 1e-9 * (port + starboard) && strips % 2 == 1)
    throw Error(
        name + ": " + std::to_string(strips) +
        " strips cannot be laid: the fuselage cuts the span in the middle, so their number is even; the "
        "nearest count that can is " +
        (strips > 2 ? std::to_string(strips - 1) + " or " : "") + std::to_string(strips + 1));
  if (strips < 2)
    throw Error(name +
                ": 1 strip cannot be laid: the fuselage cuts the span in two; the nearest count that can "
                "is 2");
  const int first =
      std::clamp(static_cast<int>(std::lround(strips * port / (port + starboard))), 1, strips - 1);
  return {first, strips - first};
}

// Where bound segments run on inside the fuselage.
void add_carried(const Lattice& lattice, Row& row, const Stretch& stretch, const SpanSpacing& span) {
  for (const std::size_t end : {0, 1})
    if (stretch.ends[end] == RowEnd::carried) {
      const CutEnd& cut = *stretch.cuts[end];
      const std::size_t edge = end == 0 ? 0 : row.num_strips, next = end == 0 ? 1 : row.num_strips - 1;
      for (std::size_t k = 0; k < row.nodes_per_edge(); ++k) {
        const double inside = (cut.arc[k] - *cut.carried) / (span.edge[next] - *cut.carried);
        const Vec3 inner = lattice.node(row, edge, k);
        row.skin_point[end].push_back(inner + inside * (lattice.node(row, next, k) - inner));
        if (k < row.panels_per_strip)
          row.inner_point[end].push_back(inner);
      }
    }
}

// Strips of a row with their panels.
void add_strips(Lattice& lattice, const Row& row, const Stretch& stretch, const SpanSpacing& span,
                const SpanPlaces& places, const ChordSpacing& chord) {
  // Where an edge crosses the surface along a strip's span, node by node.
  const auto edge_arc = [&](std::size_t edge, std::size_t node) {
    const std::optional<CutEnd>& cut = stretch.cuts[edge == 0 ? 0 : 1];
    if (!cut || (edge > 0 && edge < row.num_strips))
      return span.edge[edge];
    return cut->carried ? *cut->carried : cut->arc[node];
  };
  const MeanSurface* surface = nullptr; // that of the strip, and of what follows
  std::vector<Interpolant> mean_line_slopes;
  for (std::size_t j = 0; j < row.num_strips; ++j) {
    const RowShape::Place& place = places.middle[j];
    if (place.shape != surface) {
      surface = place.shape;
      mean_line_slopes = surface->mean_line_slopes(chord.control);
    }
    const SpanPoint& middle = place.at;
    Strip strip;
    strip.surface = place.surface;
    strip.row = lattice.rows.size();
    strip.first_panel = lattice.num_panels();
    strip.arc = place.arc;
    strip.first_edge = place.arc - (span.middle[j] - span.edge[j]);
    strip.width = span.edge[j + 1] - span.edge[j];
    strip.span_fraction = 2 * place.arc / surface->outline().length() - 1;
    strip.chord = middle.chord;
    strip.direction = middle.direction;
    strip.leading_edge = middle.leading_edge;
    strip.wake_point = place.point(1);
    lattice.strips.push_back(strip);
    const std::vector<Vec3> normals =
        surface->normals(middle, chord.control, mean_line_slopes, place.arc, strip.width);
    lattice.normal.insert(lattice.normal.end(), normals.begin(), normals.end());
    for (std::size_t k = 0; k < row.panels_per_strip; ++k) {
      const double along = (span.middle[j] - edge_arc(j, k)) / (edge_arc(j + 1, k) - edge_arc(j, k));
      lattice.force_point.push_back((1 - along) * lattice.node(row, j, k) +
                                    along * lattice.node(row, j + 1, k));
      lattice.control.push_back(place.point(chord.control[k]));
      lattice.slope.push_back(surface->slope(middle, mean_line_slopes[k]));
    }
  }
}

// What a row stands on: the skin, whose roots are gathered for the shell, or the still surface.
void add_footings(Lattice& lattice, Row& row, const RowShape& shape, const Stretch& stretch,
                  std::vector<RowRoot>& roots) {
  for (std::size_t end = 0; end < 2; ++end) {
    const bool pierces = end == 1 && stretch.pierces;
    if (stretch.ends[end] == RowEnd::tip && !pierces)
      continue;
    const RowShape::Place place = shape.at(end == 0 ? stretch.from : stretch.to);
    const Footing footing{place.surface, place.arc, place.at.chord};
    if (pierces) {
      lattice.piercings.push_back(footing);
      continue;
    }
    lattice.roots.push_back(footing);
    if (stretch.cuts[end]->carried)
      continue;
    RowRoot root{lattice.rows.size(), end, {}};
    for (std::size_t k = 0; k < row.nodes_per_edge(); ++k) {
      root.edge.points.push_back(lattice.node(row, end == 0 ? 0 : row.num_strips, k));
      if (k < row.panels_per_strip)
        row.inner_point[end].push_back({root.edge.points[k].x, 0, root.edge.points[k].z});
    }
    roots.push_back(std::move(root));
  }
}

void add_row(Lattice& lattice, const RowShape& shape, const Stretch& stretch, int strips, int panels,
             std::size_t run, const std::string& name, const Surroundings& around,
             std::vector<RowRoot>& roots) {
  const double length = stretch.to - stretch.from;
  std::vector<double> corners;
  for (const double corner : shape.corners())
    if (corner > stretch.from + 1e-9 * length && corner < stretch.to - 1e-9 * length)
      corners.push_back(corner - stretch.from);
  SpanSpacing span = span_spacing(lattice.spacing, length, corners, strips, name, stretch.ends);
  for (std::vector<double>* arcs : {&span.edge, &span.middle, &span.node})
    for (double& s : *arcs)
      s += stretch.from;
  const SpanPlaces places(shape, span);
  std::vector<Vec3> limits;
  for (const RowShape::Place& place : places.node)
    limits.push_back(place.point(0)), limits.push_back(place.point(1));
  check_in_water(limits, around, name, !stretch.pierces);
  const ChordSpacing chord = chord_spacing(lattice.spacing, panels);

  Row row;
  row.first_strip = lattice.strips.size();
  row.num_strips = static_cast<std::size_t>(strips);
  row.first_panel = lattice.num_panels();
  row.panels_per_strip = static_cast<std::size_t>(panels);
  row.first_node = lattice.node_x.size();
  row.run = run;
  row.ends = stretch.ends;
  row.sheet_arc = span.node;
  row.sheet_slope = span.node_slope;
  for (const RowShape::Place& place : places.node)
    row.sheet_point.push_back(place.point(1));
  std::vector<double> node_chord = chord.vortex;
  node_chord.push_back(1);
  for (const Vec3& p : row_nodes(shape, span, places, stretch, node_chord)) {
    lattice.node_x.push_back(p.x);
    lattice.node_y.push_back(p.y);
    lattice.node_z.push_back(p.z);
  }
  add_carried(lattice, row, stretch, span);
  add_strips(lattice, row, stretch, span, places, chord);
  add_footings(lattice, row, shape, stretch, roots);
  lattice.rows.push_back(std::move(row));
}

void add_run(Lattice& lattice, const Craft& craft, const std::vector<Outline>& outlines,
             const std::vector<std::size_t>& surfaces, const LatticeOptions& options,
             const Surroundings& around, std::size_t run, std::vector<RowRoot>& roots) {
  int strips = 0;
  const int panels = options.counts[surfaces.front()].panels_per_strip;
  for (const std::size_t i : surfaces) {
    strips += options.counts[i].strips;
    if (options.counts[i].panels_per_strip != panels)
      throw Error("surfaces '" + craft.surfaces[surfaces.front()].name + "' and '" + craft.surfaces[i].name +
                  "' are joined but have " + std::to_string(panels) + " and " +
                  std::to_string(options.counts[i].panels_per_strip) +
                  " panels per strip: give both the same number");
  }
  const std::string name = name_of(craft, surfaces);
  const RowShape shape(craft, outlines, surfaces, options.displaced);
  std::vector<double> node_chord = chord_spacing(options.spacing, panels).vortex;
  node_chord.push_back(1);
  const std::vector<Stretch> stretches =
      wetted_stretches(shape, name, craft.surfaces[surfaces.back()].pierces, node_chord,
                       around.skin ? &*around.skin : nullptr, around.plane);
  const std::vector<int> shares = share_strips(stretches, strips, name);
  for (std::size_t i = 0; i < stretches.size(); ++i)
    add_row(lattice, shape, stretches[i], shares[i], panels, run, name, around, roots);
}

Surroundings surroundings(const Craft& craft, double wake_angle) {
  Surroundings around{{}, still_plane(craft, wake_angle), mirror_plane(craft, wake_angle)};
  if (craft.fuselage)
    around.skin.emplace(*craft.fuselage);
  return around;
}

} // namespace

std::vector<std::size_t> Lattice::row_of_panels() const {
  std::vector<std::size_t> row_of;
  for (std::size_t r = 0; r < rows.size(); ++r)
    row_of.insert(row_of.end(), rows[r].num_panels(), r);
  return row_of;
}

Vec3 wetted_node(const Lattice& lattice, const Row& row, std::size_t edge, std::size_t k) {
  for (const std::size_t end : {0, 1})
    if (edge == (end == 0 ? 0 : row.num_strips) && !row.skin_point[end].empty())
      return row.skin_point[end][k];
  return lattice.node(row, edge, k);
}

Vec3 upward(double wake_angle, double bank) {
  return std::cos(bank) * Vec3{-std::sin(wake_angle), 0, std::cos(wake_angle)} - Vec3{0, std::sin(bank), 0};
}

Lattice make_lattice(const Craft& craft, const LatticeOptions& wanted, double wake_angle) {
  const std::vector<Outline> outlines = checked_outlines(craft);
  if (!std::isfinite(wake_angle))
    throw Error("wake angle: found no finite number, wanted radians");
  LatticeOptions options = wanted;
  if (options.counts.empty())
    options.counts.resize(craft.surfaces.size());
  if (options.counts.size() != craft.surfaces.size())
    throw Error("panel counts: found " + std::to_string(options.counts.size()) + ", wanted one for each of " +
                std::to_string(craft.surfaces.size()) + " surfaces");
  double unknowns = 0;
  for (std::size_t i = 0; i < options.counts.size(); ++i) {
    const PanelCounts& counts = options.counts[i];
    if (counts.strips < 1 || counts.panels_per_strip < 1)
      throw Error("surface '" + craft.surfaces[i].name + "': found " + std::to_string(counts.strips) +
                  " strips of " + std::to_string(counts.panels_per_strip) +
                  " panels, wanted at least 1 of each");
    if (options.spacing == Spacing::semicircle && counts.panels_per_strip == 1)
      throw Error("surface '" + craft.surfaces[i].name +
                  "': found 1 panel per strip, wanted at least 2: the semicircle "
                  "rule puts a lone vortex at half the chord, where it has no pitching moment of its own");
    unknowns += static_cast<double>(counts.strips) * counts.panels_per_strip;
  }
  if (craft.fuselage) {
    const BodyCounts& body = options.body;
    if (body.rings < 4 || body.around < 4 || body.around % 4 != 0)
      throw Error("fuselage: found " + std::to_string(body.rings) + " rings of " +
                  std::to_string(body.around) +
                  " panels around it, wanted at least 4 rings and a multiple of 4 around");
    unknowns += static_cast<double>(body.rings) * body.around;
  }
  // What is certain by now; the system of the lattice asks for more.
  check_memory(static_cast<std::size_t>(unknowns), sizeof(Vec3) * 5 * unknowns);

  const Surroundings around = surroundings(craft, wake_angle);
  Lattice lattice;
  lattice.spacing = options.spacing;
  lattice.displaced = options.displaced;
  lattice.system = options.system;
  lattice.mirror = around.mirror;
  std::vector<RowRoot> roots;
  const std::vector<std::vector<std::size_t>> runs = rows_of(craft);
  for (std::size_t run = 0; run < runs.size(); ++run)
    add_run(lattice, craft, outlines, runs[run], options, around, run, roots);
  if (around.skin) {
    std::vector<RootEdge> edges;
    for (const RowRoot& root : roots)
      edges.push_back(root.edge);
    add_shell(lattice, *around.skin, options.body, edges);
    std::vector<Vec3> points;
    for (std::size_t i = lattice.rows.back().first_node; i < lattice.node_x.size(); ++i)
      points.push_back(lattice.node(i));
    check_in_water(points, around, "the fuselage", true);
    for (const RowRoot& root : roots)
      lattice.rows[root.row].skin_path[root.end] =
          path_to_tail(lattice, *around.skin, lattice.rows.back(), root.edge);
    for (Row& row : lattice.rows)
      for (std::size_t end : {0, 1})
        if (row.ends[end] == RowEnd::carried && row.skin_path[end].empty())
          row.skin_path[end] = {Vec3{around.skin->tail(), 0, around.skin->centre(around.skin->tail())}};
  }
  return lattice;
}

} // namespace vlm
