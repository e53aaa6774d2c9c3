#include <vlm/flow/induced_velocities.hpp>

#include <algorithm>
#include <array>
#include <string>

#include <vlm/base/error.hpp>
#include <vlm/flow/influence_state.hpp>

namespace vlm {

/// Velocities for circulations known in advance: what each row's panels and sheet have of them is laid in the
/// order of the kernel once, so that at a point no row of influence has to be sorted.
class VelocitySum {
public:
  /// Points that are worked out at once.
  static constexpr std::size_t block = 8;

  /// gamma: circulations [panels × width], row after row. Keeps a reference to the influence.
  VelocitySum(const Influence&, std::span<const double> gamma, std::size_t width, bool without_body,
              const std::vector<char>* left_out);

  /// Writes velocities at up to `block` points to result [points × width], one along x, y and z.
  void at(std::span<const SurfacePoint> points, const std::array<double*, 3>& result) const;

private:
  struct Part {
    std::size_t row;
    std::vector<double> lines;               // [lines per strip × the grid's width × width]
    std::vector<double> sheet;               // strengths of the wake's [num_strengths × width]
    std::array<std::vector<double>, 2> root; // strength of the legs on the skin [width], or none
  };
  struct Scratch;
  void add_panels(const Part&, std::span<const SurfacePoint>, Scratch&,
                  const std::array<double*, 3>& result) const;
  void add_sheet(const Part&, std::span<const SurfacePoint>, Scratch&,
                 const std::array<double*, 3>& result) const;

  const Influence::State& influence_;
  std::size_t width_;
  bool with_body_;
  std::vector<Part> parts_;
};

// Of one thread, kept between blocks of points so that no loop allocates.
struct VelocitySum::Scratch {
  std::array<std::vector<double>, 3> line, image, product; // along x, y and z
  std::vector<double> weight, by_sheet;
  std::vector<std::size_t> seen; // which of the points see the wake as a sheet
};

VelocitySum::VelocitySum(const Influence& influence, std::span<const double> gamma, std::size_t width,
                         bool without_body, const std::vector<char>* left_out)
    : influence_(influence.state()), width_(width), with_body_(!without_body) {
  const Lattice& lattice = influence.lattice();
  for (std::size_t r = 0; r < lattice.rows.size(); ++r) {
    const Row& row = lattice.rows[r];
    if ((row.shell && !with_body_) || (left_out && (*left_out)[r]))
      continue;
    Part& part = parts_.emplace_back();
    part.row = r;
    const std::size_t panels = row.panels_per_strip, grid_width = influence_.row_lines[r].width;
    part.lines.resize(panels * grid_width * width);
    std::vector<double> strip(row.num_strips * width); // sums along the chord
    for (std::size_t j = 0; j < row.num_strips; ++j)
      for (std::size_t k = 0; k < panels; ++k)
        for (std::size_t c = 0; c < width; ++c) {
          const double value = gamma[(row.first_panel + j * panels + k) * width + c];
          part.lines[(k * grid_width + j) * width + c] = value;
          strip[j * width + c] += value;
        }
    if (row.shell)
      continue;
    const WakeSheet& sheet = *influence_.sheets[r];
    part.sheet = sheet.strengths(strip, width);
    for (const std::size_t end : {0, 1}) {
      if (!on_body(row.ends[end]) || !with_body_)
        continue;
      part.root[end].assign(width, 0);
      for (std::size_t j = 0; j < row.num_strips; ++j)
        for (std::size_t c = 0; c < width; ++c)
          part.root[end][c] += sheet.root_strength(end)[j] * strip[j * width + c];
    }
  }
}

void VelocitySum::at(std::span<const SurfacePoint> points, const std::array<double*, 3>& result) const {
  thread_local Scratch s;
  for (double* axis : result)
    std::fill_n(axis, points.size() * width_, 0.0);
  for (std::vector<double>& v : s.product)
    v.resize(block * width_);
  for (const Part& part : parts_) {
    add_panels(part, points, s, result);
    if (!part.sheet.empty())
      add_sheet(part, points, s, result);
  }
}

void VelocitySum::add_panels(const Part& part, std::span<const SurfacePoint> points, Scratch& s,
                             const std::array<double*, 3>& result) const {
  const std::size_t length = part.lines.size() / width_;
  for (std::size_t axis = 0; axis < 3; ++axis)
    s.line[axis].resize(block * length), s.image[axis].resize(length);
  const auto& mirror = influence_.lattice.mirror;
  for (std::size_t i = 0; i < points.size(); ++i) {
    double *x = &s.line[0][i * length], *y = &s.line[1][i * length], *z = &s.line[2][i * length];
    influence_.row_velocities(points[i].point, points[i].row, part.row, with_body_, {x, y, z});
    if (!mirror)
      continue;
    const double *ix = s.image[0].data(), *iy = s.image[1].data(), *iz = s.image[2].data();
    influence_.row_velocities(mirror->image(points[i].point), points[i].row, part.row, with_body_,
                              {s.image[0].data(), s.image[1].data(), s.image[2].data()});
    const Vec3 n = mirror->normal;
    const double sign = mirror->sign;
    for (std::size_t q = 0; q < length; ++q) {
      const double twice = 2 * (ix[q] * n.x + iy[q] * n.y + iz[q] * n.z);
      x[q] += sign * (ix[q] - twice * n.x);
      y[q] += sign * (iy[q] - twice * n.y);
      z[q] += sign * (iz[q] - twice * n.z);
    }
  }
  for (std::size_t axis = 0; axis < 3; ++axis) {
    flow_kernel().products(s.line[axis].data(), points.size(), length, part.lines.data(), width_,
                           s.product[axis].data());
    for (std::size_t i = 0; i < points.size() * width_; ++i)
      result[axis][i] += s.product[axis][i];
  }
}

void VelocitySum::add_sheet(const Part& part, std::span<const SurfacePoint> points, Scratch& s,
                            const std::array<double*, 3>& result) const {
  const WakeSheet& sheet = *influence_.sheets[part.row];
  const Row& row = influence_.lattice.rows[part.row];
  const auto& mirror = influence_.lattice.mirror;
  const std::size_t length = sheet.num_strengths();
  s.seen.clear();
  for (std::size_t i = 0; i < points.size(); ++i)
    if (!influence_.sees_lines(points[i].row, part.row))
      s.seen.push_back(i);
  s.weight.assign(2 * s.seen.size() * length, 0);
  s.by_sheet.resize(2 * s.seen.size() * width_);
  for (std::size_t n = 0; n < s.seen.size(); ++n) {
    const Vec3& point = points[s.seen[n]].point;
    const std::span<double> weight(&s.weight[2 * n * length], 2 * length);
    sheet.add_weights(point, sheet.axes(), weight);
    if (!mirror)
      continue;
    std::array<Vec3, 2> mirrored;
    for (std::size_t k = 0; k < 2; ++k)
      mirrored[k] = mirror->sign * mirror->image_direction(sheet.axes()[k]);
    sheet.add_weights(mirror->image(point), mirrored, weight);
  }
  flow_kernel().products(s.weight.data(), 2 * s.seen.size(), length, part.sheet.data(), width_,
                         s.by_sheet.data());
  for (std::size_t n = 0; n < s.seen.size(); ++n) {
    const double *along0 = &s.by_sheet[2 * n * width_], *along1 = along0 + width_;
    const Vec3 &a = sheet.axes()[0], &b = sheet.axes()[1];
    double *x = result[0] + s.seen[n] * width_, *y = result[1] + s.seen[n] * width_,
           *z = result[2] + s.seen[n] * width_;
    for (std::size_t c = 0; c < width_; ++c) {
      x[c] += along0[c] * a.x + along1[c] * b.x;
      y[c] += along0[c] * a.y + along1[c] * b.y;
      z[c] += along0[c] * a.z + along1[c] * b.z;
    }
    for (const std::size_t end : {0, 1}) {
      if (part.root[end].empty())
        continue;
      const Vec3& point = points[s.seen[n]].point;
      const std::size_t edge = end == 0 ? 0 : row.num_strips;
      Vec3 leg = influence_.trailing_leg(point, row, edge);
      if (mirror)
        leg +=
            mirror->sign * mirror->image_direction(influence_.trailing_leg(mirror->image(point), row, edge));
      for (std::size_t c = 0; c < width_; ++c) {
        const double strength = part.root[end][c];
        x[c] += strength * leg.x, y[c] += strength * leg.y, z[c] += strength * leg.z;
      }
    }
  }
}

Velocities induced_velocities(const Influence& influence, std::span<const SurfacePoint> points,
                              const Matrix& circulation, ThreadPool& pool, bool without_body,
                              const std::vector<char>* left_out, const MirroredPoints* mirrored) {
  for (const SurfacePoint& at : points)
    if (at.row && influence.lattice().rows[*at.row].shell)
      throw Error("points: found one on the fuselage's shell, wanted points of surfaces or in the water");
  const std::size_t panels = circulation.rows, columns = circulation.cols;
  if (panels != influence.lattice().num_panels())
    throw Error("circulation: found " + std::to_string(panels) + " rows, wanted one for each of " +
                std::to_string(influence.lattice().num_panels()) + " panels");
  // Row after row, as the kernel's products want it: circulations, then mirrored ones.
  const std::size_t width = line_width(columns * (mirrored ? 2 : 1));
  std::vector<double> gamma(panels * width);
  for (std::size_t c = 0; c < columns; ++c)
    for (std::size_t p = 0; p < panels; ++p) {
      gamma[p * width + c] = circulation(p, c);
      if (mirrored)
        gamma[p * width + columns + c] = mirrored->circulation(p, c);
    }
  const VelocitySum sum(influence, gamma, width, without_body, left_out);
  std::vector<std::size_t> own;
  for (std::size_t i = 0; i < points.size(); ++i)
    if (!mirrored || i <= mirrored->point[i])
      own.push_back(i);

  Velocities v{{points.size(), columns}, {points.size(), columns}, {points.size(), columns}};
  constexpr std::size_t block = VelocitySum::block;
  pool.for_each((own.size() + block - 1) / block, [&](std::size_t b) {
    thread_local std::array<std::vector<double>, 3> result; // along x, y and z
    for (std::vector<double>& axis : result)
      axis.resize(block * width);
    const std::size_t first = b * block, count = std::min(block, own.size() - first);
    std::array<SurfacePoint, block> at;
    for (std::size_t i = 0; i < count; ++i)
      at[i] = points[own[first + i]];
    sum.at({at.data(), count}, {result[0].data(), result[1].data(), result[2].data()});
    for (std::size_t i = 0; i < count; ++i) {
      const std::size_t here = own[first + i], there = mirrored ? mirrored->point[here] : here;
      for (std::size_t c = 0; c < columns; ++c) {
        const std::size_t k = i * width + c, image = k + columns;
        v.x(here, c) = result[0][k], v.y(here, c) = result[1][k], v.z(here, c) = result[2][k];
        if (there != here)
          v.x(there, c) = result[0][image], v.y(there, c) = -result[1][image],
                     v.z(there, c) = result[2][image];
      }
    }
  });
  return v;
}

} // namespace vlm
