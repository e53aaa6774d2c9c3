#include <vlm/flow/influence.hpp>

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include <vlm/base/error.hpp>
#include <vlm/flow/flow_kernel.hpp>

namespace vlm {
namespace {

constexpr double over_4pi = 0.25 / std::numbers::pi;

// Square of the sine of the angle between the ends below which a point counts as on a segment.
constexpr double on_line2 = 2e-14;

// Scratch of one thread, kept between points so that no loop allocates.
struct Scratch {
  std::vector<double> leg_x, leg_y, leg_z, leg_share;
  std::vector<double> strip_x, strip_y, strip_z;
  std::vector<double> line_x, line_y, line_z, kernel;
  std::vector<double> image_x, image_y, image_z;
};

// Adds the image of velocities: those at the point mirrored, mirrored back.
void add_image(const Mirror& mirror, const std::vector<double>& ix, const std::vector<double>& iy,
               const std::vector<double>& iz, std::span<double> x, std::span<double> y, std::span<double> z) {
  const Vec3& n = mirror.normal;
  for (std::size_t i = 0; i < x.size(); ++i) {
    const double twice = 2 * (ix[i] * n.x + iy[i] * n.y + iz[i] * n.z);
    x[i] += mirror.sign * (ix[i] - twice * n.x);
    y[i] += mirror.sign * (iy[i] - twice * n.y);
    z[i] += mirror.sign * (iz[i] - twice * n.z);
  }
}

Scratch& scratch() {
  thread_local Scratch s;
  return s;
}

// What direct(point, x, y, z) writes, with the image of it if there is a mirror.
template <class Direct>
void with_image(const std::optional<Mirror>& mirror, const Vec3& point, std::span<double> x,
                std::span<double> y, std::span<double> z, const Direct& direct) {
  direct(point, x, y, z);
  if (!mirror)
    return;
  Scratch& s = scratch();
  s.image_x.resize(x.size()), s.image_y.resize(x.size()), s.image_z.resize(x.size());
  direct(mirror->image(point), std::span<double>(s.image_x), std::span<double>(s.image_y),
         std::span<double>(s.image_z));
  add_image(*mirror, s.image_x, s.image_y, s.image_z, x, y, z);
}

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

} // namespace

Influence::Influence(const Lattice& lattice, const Vec3& wake_direction)
    : lattice_(lattice), direction_(wake_direction) {
  if (lattice_.mirror && std::abs(dot(lattice_.mirror->normal, direction_)) > 1e-9)
    throw Error(
        "the wake would cross the still surface: lay it along the stream that the lattice was made for");
  const bool has_shell = !lattice_.rows.empty() && lattice_.rows.back().shell;
  for (const Row& row : lattice_.rows) {
    fine_.emplace_back();
    fine_lines_.emplace_back();
    if (has_shell && !row.shell && !ends_on_skin(row) && lattice_.spacing == Spacing::semicircle) {
      const FineRow& fine = fine_.back() = fine_row(lattice_, row);
      fine_lines_.back() =
          lines_of(fine.x.data(), fine.y.data(), fine.z.data(), row.num_strips + 1, fine.lines, fine.core);
    }
    lines_.push_back(lines_of(&lattice_.node_x[row.first_node], &lattice_.node_y[row.first_node],
                              &lattice_.node_z[row.first_node], row.num_strips + 1, row.panels_per_strip, 0));
    if (row.shell)
      sheets_.emplace_back();
    else
      sheets_.emplace_back(std::in_place, row, lattice_.spacing, direction_);
  }
}

// Sheets are for wakes that a point may lie in. Rows of one run, and the shell beside a root, lie clear of
// each other's legs and want the lines that the spacing was made for.
bool Influence::sees_lines(std::optional<std::size_t> own_row, std::size_t row) const {
  if (!own_row)
    return false;
  const Row &own = lattice_.rows[*own_row], &other = lattice_.rows[row];
  const bool on_skin = on_body(other.ends[0]) || on_body(other.ends[1]);
  return own.run == other.run || (own.shell && on_skin);
}

bool Influence::sees_finely(std::optional<std::size_t> own_row, std::size_t row) const {
  return own_row && lattice_.rows[*own_row].shell && fine_[row].lines > 0;
}

// Velocity of the leg behind the trailing edge: straight aft or, from the skin, first to the tail.
Vec3 Influence::trailing_leg(const Vec3& point, const Row& row, std::size_t edge) const {
  const std::size_t last = row.first_node + edge * row.nodes_per_edge() + row.panels_per_strip;
  Vec3 from{lattice_.node_x[last], lattice_.node_y[last], lattice_.node_z[last]}, v;
  if (edge == 0 || edge == row.num_strips)
    for (const Vec3& to : row.skin_path[edge == 0 ? 0 : 1]) {
      v += segment_velocity(point - from, point - to);
      from = to;
    }
  return v + ray_velocity(point - from, direction_);
}

void Influence::source_row(const Vec3& point, std::span<Vec3> velocity) const {
  for (std::size_t i = 0; i < lattice_.sources.size(); ++i) {
    const SourceLine& s = lattice_.sources[i];
    Vec3 v = source_velocity(point - s.from, point - s.to);
    if (const auto& mirror = lattice_.mirror) {
      const Vec3 image = mirror->image(point);
      v += mirror->sign * mirror->image_direction(source_velocity(image - s.from, image - s.to));
    }
    velocity[i] = s.growth * v;
  }
}

void Influence::velocity_row(const Vec3& point, std::optional<std::size_t> own_row, std::span<double> x,
                             std::span<double> y, std::span<double> z, bool without_body,
                             const std::vector<char>* left_out) const {
  with_image(lattice_.mirror, point, x, y, z,
             [&](const Vec3& at, std::span<double> u, std::span<double> v, std::span<double> w) {
               direct_velocity_row(
                   at, own_row, without_body, left_out,
                   [&](std::size_t p, double vx, double vy, double vz) { u[p] = vx, v[p] = vy, w[p] = vz; });
             });
}

void Influence::wash_row(const Vec3& point, const Vec3& direction, std::optional<std::size_t> own_row,
                         std::span<double> wash) const {
  const auto along = [](const Vec3& d, double vx, double vy, double vz) {
    return d.x * vx + d.y * vy + d.z * vz;
  };
  direct_velocity_row(point, own_row, false, nullptr, [&](std::size_t p, double vx, double vy, double vz) {
    wash[p] = along(direction, vx, vy, vz);
  });
  if (const auto& mirror = lattice_.mirror) {
    const Vec3 mirrored = mirror->sign * mirror->image_direction(direction);
    direct_velocity_row(
        mirror->image(point), own_row, false, nullptr,
        [&](std::size_t p, double vx, double vy, double vz) { wash[p] += along(mirrored, vx, vy, vz); });
  }
}

void Influence::far_velocity_row(const Vec3& point, std::size_t own_row, std::span<double> x,
                                 std::span<double> y, std::span<double> z) const {
  with_image(lattice_.mirror, point, x, y, z,
             [&](const Vec3& at, std::span<double> u, std::span<double> v, std::span<double> w) {
               direct_far_velocity_row(at, own_row, u, v, w);
             });
}

void Influence::trailing_row(const Vec3& point, std::size_t own_row, std::size_t row, std::span<double> x,
                             std::span<double> y, std::span<double> z) const {
  std::fill(x.begin(), x.end(), 0.0);
  std::fill(y.begin(), y.end(), 0.0);
  std::fill(z.begin(), z.end(), 0.0);
  if (lattice_.rows[row].shell)
    return; // its legs cancel in the tail
  if (!sees_lines(own_row, row)) {
    add_sheet(point, row, false, x, y, z);
    return;
  }
  Vec3 before = trailing_leg(point, lattice_.rows[row], 0);
  for (std::size_t j = 0; j < x.size(); ++j) {
    const Vec3 leg = trailing_leg(point, lattice_.rows[row], j + 1);
    x[j] = leg.x - before.x, y[j] = leg.y - before.y, z[j] = leg.z - before.z;
    before = leg;
  }
}

// The wake of a row as another sees it: its sheet, and the legs that follow the skin from its roots.
void Influence::add_sheet(const Vec3& point, std::size_t index, bool without_body, std::span<double> x,
                          std::span<double> y, std::span<double> z) const {
  const Row& row = lattice_.rows[index];
  sheets_[index]->add_velocity(point, x, y, z);
  for (const std::size_t end : {0, 1}) {
    if (!on_body(row.ends[end]) || without_body)
      continue;
    const Vec3 v = trailing_leg(point, row, end == 0 ? 0 : row.num_strips);
    const std::span<const double> strength = sheets_[index]->root_strength(end);
    for (std::size_t j = 0; j < row.num_strips; ++j) {
      x[j] += strength[j] * v.x;
      y[j] += strength[j] * v.y;
      z[j] += strength[j] * v.z;
    }
  }
}

void Influence::wake_velocity_row(const Vec3& point, std::size_t own_row, std::span<double> x,
                                  std::span<double> y, std::span<double> z) const {
  with_image(lattice_.mirror, point, x, y, z,
             [&](const Vec3& at, std::span<double> u, std::span<double> v, std::span<double> w) {
               direct_wake_velocity_row(at, own_row, u, v, w);
             });
}

void Influence::direct_wake_velocity_row(const Vec3& point, std::size_t own_row, std::span<double> x,
                                         std::span<double> y, std::span<double> z) const {
  std::fill(x.begin(), x.end(), 0.0);
  std::fill(y.begin(), y.end(), 0.0);
  std::fill(z.begin(), z.end(), 0.0);
  for (std::size_t r = 0; r < lattice_.rows.size(); ++r) {
    const Row& row = lattice_.rows[r];
    if (!row.shell && row.run != lattice_.rows[own_row].run)
      add_sheet(point, r, true, x.subspan(row.first_strip, row.num_strips),
                y.subspan(row.first_strip, row.num_strips), z.subspan(row.first_strip, row.num_strips));
  }
}

Influence::Lines Influence::lines_of(const double* x, const double* y, const double* z, std::size_t num_edges,
                                     std::size_t per_strip, double core) {
  Lines lines;
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

// put(panel, x, y, z) takes what each panel gives.
template <class Put>
void Influence::direct_velocity_row(const Vec3& point, std::optional<std::size_t> own_row, bool without_body,
                                    const std::vector<char>* left_out, const Put& put) const {
  Scratch& s = scratch();
  const FlowKernel& kernel = flow_kernel();
  const double at[] = {point.x, point.y, point.z}, aft[] = {direction_.x, direction_.y, direction_.z};
  for (std::size_t r = 0; r < lattice_.rows.size(); ++r) {
    const Row& row = lattice_.rows[r];
    const std::size_t panels = row.panels_per_strip, strips = row.num_strips;
    if ((without_body && row.shell) || (left_out && (*left_out)[r])) {
      for (std::size_t p = 0; p < row.num_panels(); ++p)
        put(row.first_panel + p, 0, 0, 0);
      continue;
    }
    const bool as_lines = sees_lines(own_row, r), finely = sees_finely(own_row, r);
    const Lines& lines = finely ? fine_lines_[r] : lines_[r];
    const std::size_t width = lines.width, n = lines.per_strip;
    const LineGrid grid{lines.x.data(), lines.y.data(), lines.z.data(), strips + 1, n,
                        width,          lines.core2,    lines.straight};
    s.kernel.resize(std::max(s.kernel.size(), line_scratch(width)));
    for (std::vector<double>* v : {&s.leg_x, &s.leg_y, &s.leg_z})
      v->assign(width + line_lanes, 0);
    s.leg_share.assign(width, 1);
    for (std::vector<double>* v : {&s.line_x, &s.line_y, &s.line_z})
      v->resize(std::max(v->size(), n * width));
    const LineVelocities leg{s.leg_x.data(), s.leg_y.data(), s.leg_z.data()},
        line{s.line_x.data(), s.line_y.data(), s.line_z.data()};
    if (as_lines && !row.shell)
      kernel.rays(grid, at, aft, leg, s.kernel.data());
    for (const std::size_t end : {0, 1}) {
      const std::size_t e = end == 0 ? 0 : strips;
      const bool cut_off = without_body && on_body(row.ends[end]);
      if (!cut_off && (row.skin_path[end].empty() || !as_lines))
        continue;
      const Vec3 behind = cut_off ? Vec3{} : trailing_leg(point, row, e);
      leg.x[e] = behind.x, leg.y[e] = behind.y, leg.z[e] = behind.z;
      s.leg_share[e] = cut_off ? 0 : 1;
    }
    kernel.panels(grid, at, leg, s.leg_share.data(), line, s.kernel.data());

    s.strip_x.assign(strips, 0);
    s.strip_y.assign(strips, 0);
    s.strip_z.assign(strips, 0);
    if (!as_lines && !row.shell)
      add_sheet(point, r, without_body, s.strip_x, s.strip_y, s.strip_z);
    if (!finely) {
      for (std::size_t j = 0; j < strips; ++j)
        for (std::size_t k = 0; k < panels; ++k) {
          const std::size_t from = k * width + j;
          put(row.first_panel + j * panels + k, line.x[from] + s.strip_x[j], line.y[from] + s.strip_y[j],
              line.z[from] + s.strip_z[j]);
        }
      continue;
    }
    for (std::size_t k = 0; k < panels; ++k)
      for (std::size_t j = 0; j < strips; ++j) {
        Vec3 v{s.strip_x[j], s.strip_y[j], s.strip_z[j]};
        for (std::size_t i = 0; i < n; ++i) {
          const std::size_t from = i * width + j;
          v += fine_[r].share(i, k) * Vec3{line.x[from], line.y[from], line.z[from]};
        }
        put(row.first_panel + j * panels + k, v.x, v.y, v.z);
      }
  }
}

void Influence::direct_far_velocity_row(const Vec3& point, std::size_t own_row, std::span<double> x,
                                        std::span<double> y, std::span<double> z) const {
  std::fill(x.begin(), x.end(), 0.0);
  std::fill(y.begin(), y.end(), 0.0);
  std::fill(z.begin(), z.end(), 0.0);
  for (std::size_t r = 0; r < lattice_.rows.size(); ++r) {
    const Row& row = lattice_.rows[r];
    if (row.shell)
      continue;
    const std::size_t first = row.first_strip, count = row.num_strips;
    // A leg far downstream, where it left the trailing edge or the tail.
    const auto leg = [&](std::size_t e) {
      const std::size_t node = row.first_node + e * row.nodes_per_edge() + row.panels_per_strip;
      Vec3 at{lattice_.node_x[node], lattice_.node_y[node], lattice_.node_z[node]};
      if (e == 0 && !row.skin_path[0].empty())
        at = row.skin_path[0].back();
      if (e == count && !row.skin_path[1].empty())
        at = row.skin_path[1].back();
      const Vec3 across = cross(direction_, point - at);
      const double distance2 = dot(across, across);
      return distance2 > 0 ? (2 * over_4pi / distance2) * across : Vec3{};
    };
    if (!sees_lines(own_row, r)) {
      sheets_[r]->add_far_velocity(point, x.subspan(first, count), y.subspan(first, count),
                                   z.subspan(first, count));
      for (const std::size_t end : {0, 1}) {
        if (!on_body(row.ends[end]))
          continue;
        const Vec3 v = leg(end == 0 ? 0 : count);
        const std::span<const double> strength = sheets_[r]->root_strength(end);
        for (std::size_t j = 0; j < count; ++j)
          x[first + j] += strength[j] * v.x, y[first + j] += strength[j] * v.y,
              z[first + j] += strength[j] * v.z;
      }
      continue;
    }
    for (std::size_t e = 0; e <= count; ++e) {
      const Vec3 v = leg(e);
      if (e > 0) {
        x[first + e - 1] += v.x, y[first + e - 1] += v.y, z[first + e - 1] += v.z;
      }
      if (e < count) {
        x[first + e] -= v.x, y[first + e] -= v.y, z[first + e] -= v.z;
      }
    }
  }
}

Velocities induced_velocities(const Influence& influence, std::span<const SurfacePoint> points,
                              const Matrix& circulation, ThreadPool& pool, bool without_body,
                              const std::vector<char>* left_out, const MirroredPoints* mirrored) {
  const std::size_t panels = circulation.rows, columns = circulation.cols;
  // Row after row, as the kernel's products want it: circulations, then mirrored ones.
  const std::size_t width = line_width(columns * (mirrored ? 2 : 1));
  std::vector<double> gamma(panels * width);
  for (std::size_t c = 0; c < columns; ++c)
    for (std::size_t p = 0; p < panels; ++p) {
      gamma[p * width + c] = circulation(p, c);
      if (mirrored)
        gamma[p * width + columns + c] = mirrored->circulation(p, c);
    }
  std::vector<std::size_t> own;
  for (std::size_t i = 0; i < points.size(); ++i)
    if (!mirrored || i <= mirrored->point[i])
      own.push_back(i);

  Velocities v{{points.size(), columns}, {points.size(), columns}, {points.size(), columns}};
  constexpr std::size_t block = 8; // rows that are multiplied at once
  pool.for_each((own.size() + block - 1) / block, [&](std::size_t b) {
    thread_local std::array<std::vector<double>, 3> row, result; // along x, y and z
    for (std::size_t i = 0; i < 3; ++i)
      row[i].resize(block * panels), result[i].resize(block * width);
    const std::size_t first = b * block, count = std::min(block, own.size() - first);
    for (std::size_t i = 0; i < count; ++i) {
      const SurfacePoint& at = points[own[first + i]];
      const auto part = [&](std::size_t k) { return std::span(row[k].data() + i * panels, panels); };
      influence.velocity_row(at.point, at.row, part(0), part(1), part(2), without_body, left_out);
    }
    for (std::size_t k = 0; k < 3; ++k)
      flow_kernel().products(row[k].data(), count, panels, gamma.data(), width, result[k].data());
    for (std::size_t i = 0; i < count; ++i) {
      const std::size_t here = own[first + i], there = mirrored ? mirrored->point[here] : here;
      for (std::size_t c = 0; c < columns; ++c) {
        const std::size_t at = i * width + c, image = at + columns;
        v.x(here, c) = result[0][at], v.y(here, c) = result[1][at], v.z(here, c) = result[2][at];
        if (there != here)
          v.x(there, c) = result[0][image], v.y(there, c) = -result[1][image],
                     v.z(there, c) = result[2][image];
      }
    }
  });
  return v;
}

} // namespace vlm
