#include <vlm/flow/influence.hpp>

#include <algorithm>
#include <cmath>
#include <numbers>

#include <Eigen/Dense>

#include <vlm/base/error.hpp>

namespace vlm {
namespace {

constexpr double over_4pi = 0.25 / std::numbers::pi;

// On a segment, |a||b| + a·b vanishes. Below this share of |a||b| a point counts as on the line: some 1e-7 of
// the length from it, where the rounding of that sum is 1 % of it.
constexpr double on_line = 1e-14;

// Plain doubles, so that the compiler can run several segments side by side.
// core2: square of the length that a vortex is rounded by, 1/r³ of Biot & Savart becoming (r² + core²)^(−3/2)
// (Rosenhead 1930, Moore 1972), for which the same form holds.
inline void segment(double ax, double ay, double az, double bx, double by, double bz, double& vx, double& vy,
                    double& vz, double core2 = 0) {
  const double a = std::sqrt(ax * ax + ay * ay + az * az + core2),
               b = std::sqrt(bx * bx + by * by + bz * bz + core2);
  const double ab = a * b, sum = ab + (ax * bx + ay * by + az * bz + core2);
  const double factor = sum > on_line * ab ? over_4pi * (a + b) / (ab * sum) : 0.0;
  vx = factor * (ay * bz - az * by);
  vy = factor * (az * bx - ax * bz);
  vz = factor * (ax * by - ay * bx);
}

// Scratch of one thread, kept between points so that no loop allocates.
struct Scratch {
  std::vector<double> leg_x, leg_y, leg_z;
  std::vector<double> strip_x, strip_y, strip_z;
  std::vector<double> line_x, line_y, line_z;
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
  Vec3 v;
  segment(to_a.x, to_a.y, to_a.z, to_b.x, to_b.y, to_b.z, v.x, v.y, v.z);
  return v;
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
    if (has_shell && !row.shell && !ends_on_skin(row) && lattice_.spacing == Spacing::semicircle)
      fine_.back() = fine_row(lattice_, row);
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
Vec3 Influence::behind_edge(const Vec3& point, const Row& row, std::size_t edge) const {
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
                             std::span<double> y, std::span<double> z, bool without_body) const {
  with_image(lattice_.mirror, point, x, y, z,
             [&](const Vec3& at, std::span<double> u, std::span<double> v, std::span<double> w) {
               direct_velocity_row(at, own_row, u, v, w, without_body);
             });
}

void Influence::far_velocity_row(const Vec3& point, std::size_t own_row, std::span<double> x,
                                 std::span<double> y, std::span<double> z) const {
  with_image(lattice_.mirror, point, x, y, z,
             [&](const Vec3& at, std::span<double> u, std::span<double> v, std::span<double> w) {
               direct_far_velocity_row(at, own_row, u, v, w);
             });
}

// The wake of a row as another sees it: its sheet, and the legs that follow the skin from its roots.
void Influence::add_sheet(const Vec3& point, std::size_t index, bool without_body, std::span<double> x,
                          std::span<double> y, std::span<double> z) const {
  const Row& row = lattice_.rows[index];
  sheets_[index]->add_velocity(point, x, y, z);
  for (const std::size_t end : {0, 1}) {
    if (!on_body(row.ends[end]) || without_body)
      continue;
    const Vec3 v = behind_edge(point, row, end == 0 ? 0 : row.num_strips);
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

void Influence::direct_velocity_row(const Vec3& point, std::optional<std::size_t> own_row,
                                    std::span<double> x, std::span<double> y, std::span<double> z,
                                    bool without_body) const {
  Scratch& s = scratch();
  for (std::size_t r = 0; r < lattice_.rows.size(); ++r) {
    const Row& row = lattice_.rows[r];
    const bool lines = sees_lines(own_row, r), finely = sees_finely(own_row, r);
    const FineRow& fine = fine_[r];
    const std::size_t panels = row.panels_per_strip, n = finely ? fine.lines : panels, stride = n + 1;
    const double core2 = finely ? fine.core * fine.core : 0;
    const double* nx = finely ? fine.x.data() : &lattice_.node_x[row.first_node];
    const double* ny = finely ? fine.y.data() : &lattice_.node_y[row.first_node];
    const double* nz = finely ? fine.z.data() : &lattice_.node_z[row.first_node];
    double *px = &x[row.first_panel], *py = &y[row.first_panel], *pz = &z[row.first_panel];
    if (finely) {
      for (std::vector<double>* v : {&s.line_x, &s.line_y, &s.line_z})
        v->resize(std::max(v->size(), row.num_strips * n));
      px = s.line_x.data(), py = s.line_y.data(), pz = s.line_z.data();
    }
    if (without_body && row.shell) {
      std::fill_n(px, row.num_panels(), 0.0);
      std::fill_n(py, row.num_panels(), 0.0);
      std::fill_n(pz, row.num_panels(), 0.0);
      continue;
    }
    const auto left_out = [&](std::size_t end) { return without_body && on_body(row.ends[end]); };

    // Each edge once: velocity of the leg that starts at node k, the pieces behind it summed from the
    // trailing edge.
    const std::size_t legs = (row.num_strips + 1) * n;
    s.leg_x.resize(std::max(s.leg_x.size(), legs));
    s.leg_y.resize(s.leg_x.size());
    s.leg_z.resize(s.leg_x.size());
    for (std::size_t e = 0; e <= row.num_strips; ++e) {
      const std::size_t first = e * stride;
      double *lx = &s.leg_x[e * n], *ly = &s.leg_y[e * n], *lz = &s.leg_z[e * n];
      if ((e == 0 && left_out(0)) || (e == row.num_strips && left_out(1))) {
        std::fill_n(lx, n, 0.0);
        std::fill_n(ly, n, 0.0);
        std::fill_n(lz, n, 0.0);
        continue;
      }
      for (std::size_t k = 0; k < n; ++k) {
        const std::size_t i = first + k;
        segment(point.x - nx[i], point.y - ny[i], point.z - nz[i], point.x - nx[i + 1], point.y - ny[i + 1],
                point.z - nz[i + 1], lx[k], ly[k], lz[k], core2);
      }
      Vec3 behind;
      if (lines && !row.shell)
        behind = behind_edge(point, row, e);
      for (std::size_t k = n; k-- > 0;) {
        behind += {lx[k], ly[k], lz[k]};
        lx[k] = behind.x, ly[k] = behind.y, lz[k] = behind.z;
      }
    }
    for (std::size_t j = 0; j < row.num_strips; ++j) {
      const std::size_t a = j * stride, b = a + stride;
      for (std::size_t k = 0; k < n; ++k) {
        double vx, vy, vz;
        segment(point.x - nx[a + k], point.y - ny[a + k], point.z - nz[a + k], point.x - nx[b + k],
                point.y - ny[b + k], point.z - nz[b + k], vx, vy, vz, core2);
        const std::size_t p = j * n + k;
        px[p] = vx + s.leg_x[p + n] - s.leg_x[p];
        py[p] = vy + s.leg_y[p + n] - s.leg_y[p];
        pz[p] = vz + s.leg_z[p + n] - s.leg_z[p];
      }
    }
    if (finely) {
      px = &x[row.first_panel], py = &y[row.first_panel], pz = &z[row.first_panel];
      for (std::size_t j = 0; j < row.num_strips; ++j)
        for (std::size_t k = 0; k < panels; ++k) {
          Vec3 v;
          for (std::size_t i = 0; i < n; ++i) {
            const std::size_t line = j * n + i;
            v += fine.share(i, k) * Vec3{s.line_x[line], s.line_y[line], s.line_z[line]};
          }
          const std::size_t p = j * panels + k;
          px[p] = v.x, py[p] = v.y, pz[p] = v.z;
        }
    }
    if (lines || row.shell)
      continue;
    s.strip_x.assign(row.num_strips, 0);
    s.strip_y.assign(row.num_strips, 0);
    s.strip_z.assign(row.num_strips, 0);
    add_sheet(point, r, without_body, s.strip_x, s.strip_y, s.strip_z);
    for (std::size_t j = 0; j < row.num_strips; ++j)
      for (std::size_t p = j * panels; p < (j + 1) * panels; ++p) {
        px[p] += s.strip_x[j];
        py[p] += s.strip_y[j];
        pz[p] += s.strip_z[j];
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
                              const Matrix& circulation, ThreadPool& pool, bool without_body) {
  const std::size_t panels = influence.lattice().num_panels(), columns = circulation.cols;
  Velocities v{{points.size(), columns}, {points.size(), columns}, {points.size(), columns}};
  const Eigen::Map<const Eigen::MatrixXd> gamma(circulation.values.data(), static_cast<Eigen::Index>(panels),
                                                static_cast<Eigen::Index>(columns));
  pool.for_each(points.size(), [&](std::size_t i) {
    thread_local Eigen::RowVectorXd x, y, z;
    const auto size = static_cast<Eigen::Index>(panels);
    x.resize(size), y.resize(size), z.resize(size);
    influence.velocity_row(points[i].point, points[i].row, {x.data(), panels}, {y.data(), panels},
                           {z.data(), panels}, without_body);
    for (std::size_t c = 0; c < columns; ++c) {
      const auto col = static_cast<Eigen::Index>(c);
      v.x(i, c) = x * gamma.col(col);
      v.y(i, c) = y * gamma.col(col);
      v.z(i, c) = z * gamma.col(col);
    }
  });
  return v;
}

} // namespace vlm
