#include <vlm/flow/influence_state.hpp>

#include <algorithm>
#include <array>
#include <cassert>
#include <cmath>
#include <numbers>

#include <vlm/base/error.hpp>

namespace vlm {
namespace {

constexpr double over_4pi = 0.25 / std::numbers::pi;

// Square of the sine of the angle between the ends below which a point counts as on a segment.
constexpr double on_line2 = 2e-14;

// Scratch of one thread, kept between points so that no loop allocates.
struct Scratch {
  std::vector<double> leg_x, leg_y, leg_z, leg_share, kernel;
  std::vector<double> line_x, line_y, line_z, line_wash, strip_wash;
};

Scratch& scratch() {
  thread_local Scratch s;
  return s;
}

// What stands where a flow is looked at: the point and, if there is a mirror, its image, where the same
// velocities count along the mirrored vector.
class Views {
public:
  Views(const View& view, const std::optional<Mirror>& mirror) : views_{view, view}, count_(mirror ? 2 : 1) {
    if (mirror)
      views_[1] = {mirror->image(view.point), mirror->sign * mirror->image_direction(view.along)};
  }
  const View* begin() const { return views_.data(); }
  const View* end() const { return views_.data() + count_; }
  std::span<const View> all() const { return {views_.data(), count_}; }

private:
  std::array<View, 2> views_;
  std::size_t count_;
};

} // namespace

Vec3 segment_velocity(const Vec3& to_a, const Vec3& to_b) {
  const double a = norm(to_a), b = norm(to_b), ab = a * b, d = dot(to_a, to_b);
  const Vec3 c = cross(to_a, to_b);
  if (d >= 0) // beyond the ends nothing cancels
    return ab > 0 ? (over_4pi * (a + b) / (ab * (ab + d))) * c : Vec3{};
  const double cross2 = dot(c, c); // (ab + d)(ab − d)
  return cross2 > on_line2 * ab * ab ? (over_4pi * (a + b) * (ab - d) / (ab * cross2)) * c : Vec3{};
}

Vec3 ray_velocity(const Vec3& to_a, const Vec3& direction) {
  const double r = norm(to_a), along = dot(to_a, direction);
  const Vec3 across = cross(direction, to_a);
  if (along <= 0) // upstream of the start nothing cancels
    return r > 0 ? (over_4pi / (r * (r - along))) * across : Vec3{};
  const double distance2 = dot(across, across);
  if (distance2 <= 1e-24 * r * r)
    return {};
  return (over_4pi * (r + along) / (r * distance2)) * across;
}

Vec3 source_velocity(const Vec3& to_a, const Vec3& to_b) {
  const Vec3 line = to_a - to_b;
  const double length = norm(line), a = norm(to_a), b = norm(to_b);
  if (length == 0 || a == 0 || b == 0)
    return {};
  const Vec3 axis = (1 / length) * line;
  const double from = dot(to_a, axis), to = dot(to_b, axis);
  const Vec3 across = to_a - from * axis;
  const double distance2 = dot(across, across);
  Vec3 v = (1 / b - 1 / a) * axis;
  if (distance2 > 1e-24 * length * length)
    v += ((from / a - to / b) / distance2) * across;
  return (over_4pi / length) * v;
}

namespace {

// Whether a meridian of the shell runs along a root of the row.
bool ends_on_skin(const Row& row) {
  return row.ends[0] == RowEnd::skin || row.ends[1] == RowEnd::skin;
}

Influence::State::Lines lines_of(const double* x, const double* y, const double* z, std::size_t num_edges,
                                 std::size_t per_strip, double core) {
  Influence::State::Lines lines;
  lines.per_strip = per_strip;
  lines.width = line_width(num_edges);
  lines.core2 = core * core;
  const std::size_t stride = per_strip + 1;
  for (const auto& [from, to] : {std::pair(x, &lines.x), std::pair(y, &lines.y), std::pair(z, &lines.z)})
    for (std::size_t k = 0; k < stride; ++k)
      for (std::size_t e = 0; e < lines.width; ++e)
        to->push_back(from[std::min(e, num_edges - 1) * stride + k]);
  lines.straight = true;
  for (std::size_t i = lines.width; i < lines.x.size(); ++i)
    lines.straight = lines.straight && lines.x[i] >= lines.x[i - lines.width] &&
                     lines.y[i] == lines.y[i - lines.width] && lines.z[i] == lines.z[i - lines.width];
  return lines;
}

} // namespace

Influence::Influence(const Lattice& lattice, const Vec3& wake_direction)
    : state_(std::make_shared<const State>(lattice, wake_direction)) {}

const Lattice& Influence::lattice() const {
  return state_->lattice;
}
const Vec3& Influence::wake_direction() const {
  return state_->direction;
}

Influence::State::State(const Lattice& of, const Vec3& wake_direction)
    : lattice(of), direction(wake_direction) {
  if (!(std::abs(norm(direction) - 1) <= 1e-9 && direction.x > 0))
    throw Error("wake direction: found (" + std::to_string(direction.x) + ", " + std::to_string(direction.y) +
                ", " + std::to_string(direction.z) + "), wanted a vector aft of length 1");
  if (lattice.mirror && std::abs(dot(lattice.mirror->normal, direction)) > 1e-9)
    throw Error(
        "the wake would cross the still surface: lay it along the stream that the lattice was made for");
  // The shell and what does not end on its meridians.
  const auto is_fine = [&](const Row& row) {
    return !row.shell && !ends_on_skin(row) && lattice.has_shell() && lattice.spacing == Spacing::semicircle;
  };
  const bool fine_shell = std::any_of(lattice.rows.begin(), lattice.rows.end(), is_fine);
  for (const Row& row : lattice.rows) {
    fine_rows.emplace_back();
    fine_lines.emplace_back();
    if (row.shell ? fine_shell : is_fine(row)) {
      const FineRow& fine = fine_rows.back() = fine_row(lattice, row);
      fine_lines.back() =
          lines_of(fine.x.data(), fine.y.data(), fine.z.data(), row.num_strips + 1, fine.lines, fine.core);
    }
    row_lines.push_back(lines_of(&lattice.node_x[row.first_node], &lattice.node_y[row.first_node],
                                 &lattice.node_z[row.first_node], row.num_strips + 1, row.panels_per_strip,
                                 0));
    const std::size_t width = row_lines.back().width;
    for (std::size_t j = 0; j < row.num_strips; ++j)
      for (std::size_t k = 0; k < row.panels_per_strip; ++k)
        place_in_row.push_back(row_size + k * width + j);
    row_size += row.panels_per_strip * width;
    if (row.shell)
      sheets.emplace_back();
    else
      sheets.emplace_back(std::in_place, row, lattice.spacing, direction);
  }
}

// Sheets are for wakes that a point may lie in. Rows of one run, and the shell beside a root, lie clear of
// each other's legs and want the lines that the spacing was made for.
bool Influence::State::sees_lines(std::optional<std::size_t> own_row, std::size_t row) const {
  if (!own_row)
    return false;
  const Row &own = lattice.rows[*own_row], &other = lattice.rows[row];
  const bool on_skin = on_body(other.ends[0]) || on_body(other.ends[1]);
  return own.run == other.run || (own.shell && on_skin);
}

bool Influence::State::sees_finely(std::optional<std::size_t> own_row, std::size_t row) const {
  if (!own_row || fine_rows[row].lines == 0)
    return false;
  const Row& own = lattice.rows[*own_row];
  return own.shell ? !lattice.rows[row].shell : lattice.rows[row].shell && !ends_on_skin(own);
}

const Influence::State::Lines& Influence::State::lines_seen(std::optional<std::size_t> own_row,
                                                            std::size_t row) const {
  return sees_finely(own_row, row) ? fine_lines[row] : row_lines[row];
}

// Velocity of the leg behind the trailing edge: straight aft or, from the skin, first to the tail.
Vec3 Influence::State::trailing_leg(const Vec3& point, const Row& row, std::size_t edge) const {
  Vec3 from = lattice.node(row, edge, row.panels_per_strip), v;
  if (edge == 0 || edge == row.num_strips)
    for (const Vec3& to : row.skin_path[edge == 0 ? 0 : 1]) {
      v += segment_velocity(point - from, point - to);
      from = to;
    }
  return v + ray_velocity(point - from, direction);
}

void Influence::source_row(const Vec3& point, std::span<Vec3> velocity) const {
  for (std::size_t i = 0; i < state_->lattice.sources.size(); ++i) {
    const SourceLine& s = state_->lattice.sources[i];
    Vec3 v = source_velocity(point - s.from, point - s.to);
    if (const auto& mirror = state_->lattice.mirror) {
      const Vec3 image = mirror->image(point);
      v += mirror->sign * mirror->image_direction(source_velocity(image - s.from, image - s.to));
    }
    velocity[i] = s.growth * v;
  }
}

// Of the wake of a row as another sees it: its sheet, and the legs that follow the skin from its roots.
void Influence::State::add_sheet_wash(std::span<const View> views, std::size_t index, bool with_body,
                                      std::span<double> wash) const {
  const Row& row = lattice.rows[index];
  sheets[index]->add_wash(views, wash);
  for (const std::size_t end : {0, 1}) {
    if (!on_body(row.ends[end]) || !with_body)
      continue;
    double leg = 0;
    for (const View& view : views)
      leg += dot(trailing_leg(view.point, row, end == 0 ? 0 : row.num_strips), view.along);
    const std::span<const double> strength = sheets[index]->root_strength(end);
    for (std::size_t j = 0; j < row.num_strips; ++j)
      wash[j] += strength[j] * leg;
  }
}

void Influence::State::trailing_wash_row(const View& view, std::size_t own_row, std::size_t row,
                                         std::span<double> wash) const {
  std::fill(wash.begin(), wash.end(), 0.0);
  if (lattice.rows[row].shell)
    return; // its legs cancel in the tail
  if (!sees_lines(own_row, row)) {
    add_sheet_wash({&view, 1}, row, true, wash);
    return;
  }
  double before = dot(trailing_leg(view.point, lattice.rows[row], 0), view.along);
  for (std::size_t j = 0; j < wash.size(); ++j) {
    const double leg = dot(trailing_leg(view.point, lattice.rows[row], j + 1), view.along);
    wash[j] = leg - before;
    before = leg;
  }
}

void Influence::wake_wash_row(const View& view, std::size_t own_row, std::span<double> wash) const {
  std::fill(wash.begin(), wash.end(), 0.0);
  const Views views(view, state_->lattice.mirror);
  for (std::size_t r = 0; r < state_->lattice.rows.size(); ++r) {
    const Row& row = state_->lattice.rows[r];
    if (!row.shell && row.run != state_->lattice.rows[own_row].run)
      state_->add_sheet_wash(views.all(), r, false, wash.subspan(row.first_strip, row.num_strips));
  }
}

// Velocities at a point of a row's panels as they are seen from there, in the order of the lines seen:
// without its wake where that is a sheet, and without an image. What stands beyond the last strip is 0.
void Influence::State::row_velocities(const Vec3& point, std::optional<std::size_t> own_row,
                                      std::size_t index, bool with_body, const LineVelocities& line) const {
  Scratch& s = scratch();
  const FlowKernel& kernel = flow_kernel();
  const double at[] = {point.x, point.y, point.z}, aft[] = {direction.x, direction.y, direction.z};
  const Row& row = lattice.rows[index];
  const std::size_t strips = row.num_strips;
  const bool as_lines = sees_lines(own_row, index);
  const Lines& lines = lines_seen(own_row, index);
  const std::size_t width = lines.width;
  const LineGrid grid{lines.x.data(),  lines.y.data(), lines.z.data(), strips + 1,
                      lines.per_strip, width,          lines.core2,    lines.straight};
  s.kernel.resize(std::max(s.kernel.size(), line_scratch(width)));
  for (std::vector<double>* v : {&s.leg_x, &s.leg_y, &s.leg_z})
    v->assign(width + line_lanes, 0);
  s.leg_share.assign(width, 1);
  const LineVelocities leg{s.leg_x.data(), s.leg_y.data(), s.leg_z.data()};
  if (as_lines && !row.shell)
    kernel.rays(grid, at, aft, leg, s.kernel.data());
  for (const std::size_t end : {0, 1}) {
    const std::size_t e = end == 0 ? 0 : strips;
    const bool cut_off = !with_body && on_body(row.ends[end]);
    if (!cut_off && (row.skin_path[end].empty() || !as_lines))
      continue;
    const Vec3 behind = cut_off ? Vec3{} : trailing_leg(point, row, e);
    leg.x[e] = behind.x, leg.y[e] = behind.y, leg.z[e] = behind.z;
    s.leg_share[e] = cut_off ? 0 : 1;
  }
  kernel.panels(grid, at, leg, s.leg_share.data(), line, s.kernel.data());
  for (std::size_t k = 0; k < lines.per_strip; ++k)
    for (std::size_t j = strips; j < width; ++j) {
      const std::size_t i = k * width + j;
      line.x[i] = line.y[i] = line.z[i] = 0;
    }
}

void Influence::State::wash_row(const View& view, std::optional<std::size_t> own_row,
                                std::span<double> wash) const {
  assert(wash.size() >= row_size);
  double* to = wash.data();
  for (std::size_t r = 0; r < lattice.rows.size(); ++r) {
    row_wash(view, own_row, r, to);
    to += lattice.rows[r].panels_per_strip * row_lines[r].width;
  }
}

void Influence::State::row_wash(const View& view, std::optional<std::size_t> own_row, std::size_t r,
                                double* to) const {
  Scratch& s = scratch();
  const Views views(view, lattice.mirror);
  const Row& row = lattice.rows[r];
  const std::size_t panels = row.panels_per_strip, strips = row.num_strips;
  const Lines& lines = lines_seen(own_row, r);
  const std::size_t width = lines.width, count = lines.per_strip * width;
  const bool finely = sees_finely(own_row, r);
  for (std::vector<double>* v : {&s.line_x, &s.line_y, &s.line_z, &s.line_wash})
    v->resize(std::max(v->size(), count));
  double* const of_line = finely ? s.line_wash.data() : to;
  const double *x = s.line_x.data(), *y = s.line_y.data(), *z = s.line_z.data();
  for (const View& seen : views) {
    row_velocities(seen.point, own_row, r, true, {s.line_x.data(), s.line_y.data(), s.line_z.data()});
    const Vec3 d = seen.along;
    if (&seen == views.begin())
      for (std::size_t i = 0; i < count; ++i)
        of_line[i] = d.x * x[i] + d.y * y[i] + d.z * z[i];
    else
      for (std::size_t i = 0; i < count; ++i)
        of_line[i] += d.x * x[i] + d.y * y[i] + d.z * z[i];
  }
  if (finely)
    for (std::size_t k = 0; k < panels; ++k) {
      std::fill_n(to + k * width, width, 0.0);
      for (std::size_t i = 0; i < lines.per_strip; ++i) {
        const double share = fine_rows[r].share(i, k);
        for (std::size_t j = 0; j < width; ++j)
          to[k * width + j] += share * of_line[i * width + j];
      }
    }
  if (!row.shell && !sees_lines(own_row, r)) {
    s.strip_wash.assign(strips, 0);
    add_sheet_wash(views.all(), r, true, s.strip_wash);
    for (std::size_t k = 0; k < panels; ++k)
      for (std::size_t j = 0; j < strips; ++j)
        to[k * width + j] += s.strip_wash[j];
  }
}

void Influence::far_wash_row(const View& view, std::size_t own_row, std::span<double> wash) const {
  std::fill(wash.begin(), wash.end(), 0.0);
  const Views views(view, state_->lattice.mirror);
  for (std::size_t r = 0; r < state_->lattice.rows.size(); ++r) {
    const Row& row = state_->lattice.rows[r];
    if (row.shell)
      continue;
    const std::size_t count = row.num_strips;
    const std::span<double> of_row = wash.subspan(row.first_strip, count);
    // A leg far downstream, where it left the trailing edge or the tail.
    const auto leg = [&](std::size_t e) {
      Vec3 at = state_->lattice.node(row, e, row.panels_per_strip);
      if (e == 0 && !row.skin_path[0].empty())
        at = row.skin_path[0].back();
      if (e == count && !row.skin_path[1].empty())
        at = row.skin_path[1].back();
      double sum = 0;
      for (const View& seen : views) {
        const Vec3 across = cross(state_->direction, seen.point - at);
        const double distance2 = dot(across, across);
        if (distance2 > 0)
          sum += 2 * over_4pi / distance2 * dot(across, seen.along);
      }
      return sum;
    };
    if (state_->sees_lines(own_row, r)) {
      double before = leg(0);
      for (std::size_t j = 0; j < count; ++j) {
        const double next = leg(j + 1);
        of_row[j] = next - before;
        before = next;
      }
      continue;
    }
    state_->sheets[r]->add_far_wash(views.all(), of_row);
    for (const std::size_t end : {0, 1}) {
      if (!on_body(row.ends[end]))
        continue;
      const double v = leg(end == 0 ? 0 : count);
      const std::span<const double> strength = state_->sheets[r]->root_strength(end);
      for (std::size_t j = 0; j < count; ++j)
        of_row[j] += strength[j] * v;
    }
  }
}

} // namespace vlm
