#include <vlm/lattice/lattice.hpp>

#include <cmath>
#include <optional>

#include <unistd.h>

#include <vlm/base/error.hpp>
#include <vlm/lattice/spacing.hpp>
#include <vlm/shape/outline.hpp>

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

// A point of the chord surface or, displaced, of the mean surface.
class MeanSurface {
public:
  MeanSurface(const Surface& surface, bool displaced)
      : outline_(surface), position_(surface.position), incidence_(surface.incidence), displaced_(displaced) {
  }

  const Outline& outline() const { return outline_; }

  Vec3 point(double s, double x) const {
    const SpanPoint at = outline_.at(s);
    if (!displaced_)
      return at.leading_edge + Vec3{x * at.chord, 0, 0};
    // The section turns nose-up by its twist about its leading edge, towards the local normal; then the whole
    // surface by its incidence about its position.
    const Vec3 up = cross(Vec3{1, 0, 0}, at.direction);
    const double height = outline_.mean_line_height(s, x);
    const double c = std::cos(at.twist), d = std::sin(at.twist);
    const Vec3 p =
        at.leading_edge + at.chord * ((x * c + height * d) * Vec3{1, 0, 0} + (height * c - x * d) * up);
    return position_ + turned(p - position_);
  }

  // strip_width: of the strip that s is the middle of [m].
  Vec3 normal(double s, double x, double strip_width) const {
    const SpanPoint at = outline_.at(s);
    const Vec3 up = cross(Vec3{1, 0, 0}, at.direction);
    if (!displaced_)
      return up;
    const double c = std::cos(at.twist), d = std::sin(at.twist), rise = outline_.mean_line_slope(s, x);
    const Vec3 aft = turned((c + rise * d) * Vec3{1, 0, 0} + (rise * c - d) * up);
    // Along the span by central difference: the mean surface is smooth inside a strip.
    const double ds = 1e-3 * strip_width;
    return normalized(cross(aft, point(s + ds, x) - point(s - ds, x)));
  }

  double slope(double s, double x) const {
    if (displaced_)
      return 0;
    // Incidence turns the surface about y, twist its section about the span: where the span rises they
    // differ.
    const SpanPoint at = outline_.at(s);
    return incidence_ * at.direction.y + at.twist - outline_.mean_line_slope(s, x);
  }

private:
  Vec3 turned(const Vec3& r) const {
    const double c = std::cos(incidence_), d = std::sin(incidence_);
    return {c * r.x + d * r.z, r.y, c * r.z - d * r.x};
  }

  Outline outline_;
  Vec3 position_;
  double incidence_;
  bool displaced_;
};

// Which surface of a row an arc length of the row falls on, and where on it.
struct Place {
  const MeanSurface* surface;
  double s;
  std::size_t index; // in the row
};

class RowShape {
public:
  RowShape(const Craft& craft, const std::vector<std::size_t>& surfaces, bool displaced) {
    for (const std::size_t i : surfaces) {
      surfaces_.emplace_back(craft.surfaces[i], displaced);
      start_.push_back(length_);
      if (i != surfaces.front())
        corners_.push_back(length_);
      for (const double kink : surfaces_.back().outline().kinks())
        corners_.push_back(length_ + kink);
      length_ += surfaces_.back().outline().length();
    }
  }

  double length() const { return length_; }
  const std::vector<double>& corners() const { return corners_; }

  Place at(double s) const {
    std::size_t i = surfaces_.size() - 1;
    while (i > 0 && s < start_[i])
      --i;
    return {&surfaces_[i], s - start_[i], i};
  }
  Vec3 point(double s, double x) const {
    const Place place = at(s);
    return place.surface->point(place.s, x);
  }

private:
  std::vector<MeanSurface> surfaces_;
  std::vector<double> start_, corners_;
  double length_ = 0;
};

// Where the straight segment between a strip's edges passes its middle, and how far the surface lies from
// that [m].
Vec3 sagitta(const RowShape& shape, const SpanSpacing& span, std::size_t strip, double x) {
  const double a = span.edge[strip], b = span.edge[strip + 1], middle = span.middle[strip];
  const double along = (middle - a) / (b - a);
  return shape.point(middle, x) - ((1 - along) * shape.point(a, x) + along * shape.point(b, x));
}

// Edge of the strips either side, set off the surface by the mean of their sagittas, so that bound segments
// cross the true surface at the middles of strips, where control and force points are. With edges on the
// surface itself, segments on a curved outline lie inside it: an AR 8 ellipse of straight quarter chord
// has 1.4 % too much lift at 20 × 8, and so 0.02 %. The outermost edges have a strip on one side only and
// stay on the surface.
Vec3 edge_point(const RowShape& shape, const SpanSpacing& span, std::size_t edge, double x) {
  const Vec3 on_surface = shape.point(span.edge[edge], x);
  if (edge == 0 || edge + 1 == span.edge.size())
    return on_surface;
  return on_surface + 0.5 * (sagitta(shape, span, edge - 1, x) + sagitta(shape, span, edge, x));
}

void add_row(Lattice& lattice, const Craft& craft, const std::vector<std::size_t>& surfaces,
             const LatticeOptions& options) {
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
  std::string name = surfaces.size() == 1 ? "surface" : "joined surfaces";
  for (const std::size_t i : surfaces)
    name += (i == surfaces.front() ? " '" : ", '") + craft.surfaces[i].name + "'";
  const RowShape shape(craft, surfaces, options.displaced);
  const SpanSpacing span = span_spacing(options.spacing, shape.length(), shape.corners(), strips, name);
  const ChordSpacing chord = chord_spacing(options.spacing, panels);

  Row row;
  row.first_strip = lattice.strips.size();
  row.num_strips = static_cast<std::size_t>(strips);
  row.first_panel = lattice.num_panels();
  row.panels_per_strip = static_cast<std::size_t>(panels);
  row.first_node = lattice.node_x.size();
  row.sheet_arc = span.node;
  row.sheet_slope = span.node_slope;
  for (const double s : span.node)
    row.sheet_point.push_back(shape.point(s, 1));
  std::vector<double> node_chord = chord.vortex;
  node_chord.push_back(1);
  for (std::size_t e = 0; e < span.edge.size(); ++e)
    for (const double x : node_chord) {
      const Vec3 p = edge_point(shape, span, e, x);
      lattice.node_x.push_back(p.x);
      lattice.node_y.push_back(p.y);
      lattice.node_z.push_back(p.z);
    }
  for (std::size_t j = 0; j < row.num_strips; ++j) {
    const Place place = shape.at(span.middle[j]);
    const Outline& outline = place.surface->outline();
    const SpanPoint middle = outline.at(place.s);
    Strip strip;
    strip.surface = surfaces[place.index];
    strip.row = lattice.rows.size();
    strip.first_panel = lattice.num_panels();
    strip.arc = place.s;
    strip.width = span.edge[j + 1] - span.edge[j];
    strip.span_fraction = 2 * place.s / outline.length() - 1;
    strip.chord = middle.chord;
    strip.direction = middle.direction;
    strip.leading_edge = middle.leading_edge;
    strip.wake_point = place.surface->point(place.s, 1);
    lattice.strips.push_back(strip);
    const double along = (span.middle[j] - span.edge[j]) / strip.width;
    for (std::size_t k = 0; k < row.panels_per_strip; ++k) {
      const std::size_t a = row.first_node + j * row.nodes_per_edge() + k, b = a + row.nodes_per_edge();
      const Vec3 pa{lattice.node_x[a], lattice.node_y[a], lattice.node_z[a]};
      const Vec3 pb{lattice.node_x[b], lattice.node_y[b], lattice.node_z[b]};
      lattice.force_point.push_back((1 - along) * pa + along * pb);
      lattice.control.push_back(place.surface->point(place.s, chord.control[k]));
      lattice.normal.push_back(place.surface->normal(place.s, chord.control[k], strip.width));
      lattice.slope.push_back(place.surface->slope(place.s, chord.control[k]));
    }
  }
  lattice.rows.push_back(std::move(row));
}

} // namespace

void check_memory(std::size_t num_unknowns, double num_entries) {
  const auto whole = [](double bytes) {
    const std::string text = std::to_string(bytes);
    return text.substr(0, text.find('.'));
  };
  const double wanted = sizeof(double) * num_entries;
  const long pages = sysconf(_SC_PHYS_PAGES), page_size = sysconf(_SC_PAGE_SIZE);
  if (pages < 0 || page_size < 0)
    return; // the system does not tell
  const double present = static_cast<double>(pages) * static_cast<double>(page_size);
  if (wanted > present)
    throw Error("the lattice has " + std::to_string(num_unknowns) + " unknowns, whose matrix takes " +
                whole(wanted) + " bytes; this machine has " + whole(present) +
                ": use fewer strips or panels per strip");
}

Lattice make_lattice(const Craft& craft, const LatticeOptions& wanted) {
  check(craft);
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
  // At least this much: a craft that is its own mirror image takes half of the whole matrix.
  check_memory(static_cast<std::size_t>(unknowns), 0.5 * unknowns * unknowns);

  Lattice lattice;
  lattice.spacing = options.spacing;
  lattice.displaced = options.displaced;
  for (const std::vector<std::size_t>& surfaces : rows_of(craft))
    add_row(lattice, craft, surfaces, options);
  return lattice;
}

} // namespace vlm
