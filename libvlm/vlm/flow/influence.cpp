#include <vlm/flow/influence.hpp>

#include <algorithm>
#include <cmath>
#include <numbers>

#include <Eigen/Dense>

namespace vlm {
namespace {

constexpr double over_4pi = 0.25 / std::numbers::pi;

// On a segment, |a||b| + a·b vanishes. Below this share of |a||b| a point counts as on the line: some 1e-7 of
// the length from it, where the rounding of that sum is 1 % of it.
constexpr double on_line = 1e-14;

// Plain doubles, so that the compiler can run several segments side by side.
inline void segment(double ax, double ay, double az, double bx, double by, double bz, double& vx, double& vy,
                    double& vz) {
  const double a = std::sqrt(ax * ax + ay * ay + az * az), b = std::sqrt(bx * bx + by * by + bz * bz);
  const double ab = a * b, sum = ab + (ax * bx + ay * by + az * bz);
  const double factor = sum > on_line * ab ? over_4pi * (a + b) / (ab * sum) : 0.0;
  vx = factor * (ay * bz - az * by);
  vy = factor * (az * bx - ax * bz);
  vz = factor * (ax * by - ay * bx);
}

// Scratch of one thread, kept between points so that no loop allocates.
struct Scratch {
  std::vector<double> leg_x, leg_y, leg_z;
  std::vector<double> strip_x, strip_y, strip_z;
};

Scratch& scratch() {
  thread_local Scratch s;
  return s;
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

Influence::Influence(const Lattice& lattice, const Vec3& wake_direction)
    : lattice_(lattice), direction_(wake_direction) {
  for (const Row& row : lattice_.rows)
    sheets_.emplace_back(row, lattice_.spacing, direction_);
}

void Influence::velocity_row(const Vec3& point, std::optional<std::size_t> own_row, std::span<double> x,
                             std::span<double> y, std::span<double> z) const {
  Scratch& s = scratch();
  for (std::size_t r = 0; r < lattice_.rows.size(); ++r) {
    const Row& row = lattice_.rows[r];
    const std::size_t n = row.panels_per_strip, stride = row.nodes_per_edge();
    const double* nx = &lattice_.node_x[row.first_node];
    const double* ny = &lattice_.node_y[row.first_node];
    const double* nz = &lattice_.node_z[row.first_node];
    double *px = &x[row.first_panel], *py = &y[row.first_panel], *pz = &z[row.first_panel];

    // Each edge once: velocity of the leg that starts at node k, the pieces behind it summed from the
    // trailing edge.
    const std::size_t legs = (row.num_strips + 1) * n;
    s.leg_x.resize(std::max(s.leg_x.size(), legs));
    s.leg_y.resize(s.leg_x.size());
    s.leg_z.resize(s.leg_x.size());
    for (std::size_t e = 0; e <= row.num_strips; ++e) {
      const std::size_t first = e * stride;
      double *lx = &s.leg_x[e * n], *ly = &s.leg_y[e * n], *lz = &s.leg_z[e * n];
      for (std::size_t k = 0; k < n; ++k) {
        const std::size_t i = first + k;
        segment(point.x - nx[i], point.y - ny[i], point.z - nz[i], point.x - nx[i + 1], point.y - ny[i + 1],
                point.z - nz[i + 1], lx[k], ly[k], lz[k]);
      }
      Vec3 behind;
      if (r == own_row)
        behind = ray_velocity(point - Vec3{nx[first + n], ny[first + n], nz[first + n]}, direction_);
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
                point.y - ny[b + k], point.z - nz[b + k], vx, vy, vz);
        const std::size_t p = j * n + k;
        px[p] = vx + s.leg_x[p + n] - s.leg_x[p];
        py[p] = vy + s.leg_y[p + n] - s.leg_y[p];
        pz[p] = vz + s.leg_z[p + n] - s.leg_z[p];
      }
    }
    if (r == own_row)
      continue;
    s.strip_x.assign(row.num_strips, 0);
    s.strip_y.assign(row.num_strips, 0);
    s.strip_z.assign(row.num_strips, 0);
    sheets_[r].add_velocity(point, s.strip_x, s.strip_y, s.strip_z);
    for (std::size_t j = 0; j < row.num_strips; ++j)
      for (std::size_t p = j * n; p < (j + 1) * n; ++p) {
        px[p] += s.strip_x[j];
        py[p] += s.strip_y[j];
        pz[p] += s.strip_z[j];
      }
  }
}

void Influence::far_velocity_row(const Vec3& point, std::size_t own_row, std::span<double> x,
                                 std::span<double> y, std::span<double> z) const {
  std::fill(x.begin(), x.end(), 0.0);
  std::fill(y.begin(), y.end(), 0.0);
  std::fill(z.begin(), z.end(), 0.0);
  for (std::size_t r = 0; r < lattice_.rows.size(); ++r) {
    const Row& row = lattice_.rows[r];
    const std::size_t first = row.first_strip, count = row.num_strips;
    if (r != own_row) {
      sheets_[r].add_far_velocity(point, x.subspan(first, count), y.subspan(first, count),
                                  z.subspan(first, count));
      continue;
    }
    for (std::size_t e = 0; e <= count; ++e) {
      const std::size_t node = row.first_node + e * row.nodes_per_edge() + row.panels_per_strip;
      const Vec3 to = point - Vec3{lattice_.node_x[node], lattice_.node_y[node], lattice_.node_z[node]};
      const Vec3 across = cross(direction_, to);
      const Vec3 v = (2 * over_4pi / dot(across, across)) * across;
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
                              const Matrix& circulation, ThreadPool& pool) {
  const std::size_t panels = influence.lattice().num_panels(), columns = circulation.cols;
  Velocities v{{points.size(), columns}, {points.size(), columns}, {points.size(), columns}};
  const Eigen::Map<const Eigen::MatrixXd> gamma(circulation.values.data(), static_cast<Eigen::Index>(panels),
                                                static_cast<Eigen::Index>(columns));
  pool.for_each(points.size(), [&](std::size_t i) {
    thread_local Eigen::RowVectorXd x, y, z;
    const auto size = static_cast<Eigen::Index>(panels);
    x.resize(size), y.resize(size), z.resize(size);
    influence.velocity_row(points[i].point, points[i].row, {x.data(), panels}, {y.data(), panels},
                           {z.data(), panels});
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
