#include <vlm/force/load_forms.hpp>

#include <algorithm>
#include <cmath>

#include <vlm/base/error.hpp>
#include <vlm/flow/influence.hpp>
#include <vlm/force/span_loading.hpp>

namespace vlm {
namespace {

// Accumulates Γ_i (V_j × l) into the forms of one surface for all pairs of causes.
class SegmentLoads {
public:
  SegmentLoads(SurfaceForms& forms, double density, const Vec3& moment_point)
      : forms_(forms), density_(density), moment_point_(moment_point) {}

  // gamma, velocity: one entry a cause.
  void add(const Vec3& point, const Vec3& segment, std::span<const double> gamma,
           std::span<const Vec3> velocity) {
    const Vec3 arm = point - moment_point_;
    const std::size_t k = gamma.size();
    for (std::size_t j = 0; j < k; ++j) {
      const Vec3 f = density_ * cross(velocity[j], segment), m = cross(arm, f);
      for (std::size_t i = 0; i < k; ++i) {
        forms_.force[0](i, j) += gamma[i] * f.x;
        forms_.force[1](i, j) += gamma[i] * f.y;
        forms_.force[2](i, j) += gamma[i] * f.z;
        forms_.moment[0](i, j) += gamma[i] * m.x;
        forms_.moment[1](i, j) += gamma[i] * m.y;
        forms_.moment[2](i, j) += gamma[i] * m.z;
      }
    }
  }

private:
  SurfaceForms& forms_;
  double density_;
  Vec3 moment_point_;
};

void make_symmetric(Matrix& form) {
  for (std::size_t i = 0; i < form.rows; ++i)
    for (std::size_t j = 0; j < i; ++j)
      form(i, j) = form(j, i) = 0.5 * (form(i, j) + form(j, i));
}

Vec3 node(const Lattice& lattice, std::size_t i) {
  return {lattice.node_x[i], lattice.node_y[i], lattice.node_z[i]};
}

// Bound segments first, panel after panel; then the pieces of the legs, edge after edge.
std::vector<SurfacePoint> load_points(const Lattice& lattice, std::vector<std::size_t>& first_piece) {
  std::vector<SurfacePoint> points;
  for (std::size_t r = 0; r < lattice.rows.size(); ++r)
    for (std::size_t p = 0; p < lattice.rows[r].num_panels(); ++p)
      points.push_back({lattice.force_point[lattice.rows[r].first_panel + p], r});
  for (std::size_t r = 0; r < lattice.rows.size(); ++r) {
    const Row& row = lattice.rows[r];
    first_piece.push_back(points.size());
    for (std::size_t e = 0; e <= row.num_strips; ++e)
      for (std::size_t k = 0; k < row.panels_per_strip; ++k) {
        const std::size_t i = row.first_node + e * row.nodes_per_edge() + k;
        points.push_back({0.5 * (node(lattice, i) + node(lattice, i + 1)), r});
      }
  }
  return points;
}

void add_near_field(std::vector<SurfaceForms>& forms, const Influence& influence,
                    std::span<const Cause> causes, const Matrix& circulation, double density,
                    const Vec3& moment_point, ThreadPool& pool) {
  const Lattice& lattice = influence.lattice();
  std::vector<std::size_t> first_piece;
  const std::vector<SurfacePoint> points = load_points(lattice, first_piece);
  const Velocities induced = induced_velocities(influence, points, circulation, pool);
  std::vector<Vec3> velocity(causes.size());
  const auto at = [&](std::size_t i) {
    for (std::size_t c = 0; c < causes.size(); ++c)
      velocity[c] =
          onset(causes[c], points[i].point) + Vec3{induced.x(i, c), induced.y(i, c), induced.z(i, c)};
    return std::span<const Vec3>(velocity);
  };
  std::vector<double> gamma(causes.size()), shed(causes.size());
  for (std::size_t j = 0; j < lattice.strips.size(); ++j) {
    const Strip& strip = lattice.strips[j];
    const Row& row = lattice.rows[strip.row];
    const std::size_t edge = j - row.first_strip, n = row.panels_per_strip;
    SegmentLoads loads(forms[strip.surface], density, moment_point);
    std::fill(shed.begin(), shed.end(), 0.0);
    for (std::size_t k = 0; k < n; ++k) {
      const std::size_t p = strip.first_panel + k;
      for (std::size_t c = 0; c < causes.size(); ++c) {
        gamma[c] = circulation(p, c);
        shed[c] += gamma[c];
      }
      const std::size_t a = row.first_node + edge * row.nodes_per_edge() + k, b = a + row.nodes_per_edge();
      loads.add(points[p].point, node(lattice, b) - node(lattice, a), gamma, at(p));
      // The legs carry what this panel and those ahead of it shed: aft along edge b, forward along edge a.
      const std::size_t piece_a = first_piece[strip.row] + edge * n + k, piece_b = piece_a + n;
      loads.add(points[piece_a].point, node(lattice, a) - node(lattice, a + 1), shed, at(piece_a));
      loads.add(points[piece_b].point, node(lattice, b + 1) - node(lattice, b), shed, at(piece_b));
    }
  }
}

// Mean width of a row's strips across the wake [m].
double mean_strip_width(const Lattice& lattice, const Row& row) {
  double width = 0;
  for (std::size_t j = 0; j < row.num_strips; ++j)
    width += lattice.strips[row.first_strip + j].width;
  return width / static_cast<double>(row.num_strips);
}

// Mutual drag of two rows is the same whichever is taken to lie in the other's downwash (Munk 1921). The row
// of narrower strips is: a stabilizer's wake has tips, where its downwash is singular, in the middle of the
// wing's wide strips, but not the other way round. Summed both ways the drag of a craft of 20 strips is 3 %
// off where the wakes cross. Of equal widths, each counts for half. Returns the share of `row` as the one
// downstream.
double share_of_mutual_drag(const Lattice& lattice, std::size_t row, std::size_t other) {
  if (row == other)
    return 0.5; // each pair of strips comes up both ways
  const double a = mean_strip_width(lattice, lattice.rows[row]),
               b = mean_strip_width(lattice, lattice.rows[other]);
  return std::abs(a - b) < 1e-9 * (a + b) ? 0.5 : a < b ? 1 : 0;
}

void add_far_field(std::vector<SurfaceForms>& forms, const Influence& influence, const Matrix& circulation,
                   double density) {
  const Lattice& lattice = influence.lattice();
  const std::size_t strips = lattice.strips.size(), k = circulation.cols;
  const Matrix strip_circulation = strip_sums(lattice, circulation);
  // wash(i) of strip j's middle: −½ ρ Γ_j Γ_i wash(i) is drag, borne by both strips' surfaces alike.
  Matrix shares(lattice.rows.size(), lattice.rows.size());
  for (std::size_t a = 0; a < shares.rows; ++a)
    for (std::size_t b = 0; b < shares.cols; ++b)
      shares(a, b) = share_of_mutual_drag(lattice, a, b);
  std::vector<double> x(strips), y(strips), z(strips);
  for (std::size_t j = 0; j < strips; ++j) {
    const Strip& strip = lattice.strips[j];
    const Row& row = lattice.rows[strip.row];
    influence.far_velocity_row(strip.wake_point, strip.row, x, y, z);
    const std::size_t a =
        row.first_node + (j - row.first_strip) * row.nodes_per_edge() + row.panels_per_strip;
    // Across the strip's wake, in length its width there.
    const Vec3 across =
        cross(influence.wake_direction(), node(lattice, a + row.nodes_per_edge()) - node(lattice, a));
    for (std::size_t i = 0; i < strips; ++i) {
      const Strip& other = lattice.strips[i];
      const double share = shares(strip.row, other.row);
      if (share == 0)
        continue;
      const double wash = x[i] * across.x + y[i] * across.y + z[i] * across.z;
      const double drag = -0.5 * density * wash * share;
      for (std::size_t c = 0; c < k; ++c)
        for (std::size_t b = 0; b < k; ++b) {
          const double d = drag * strip_circulation(j, b) * strip_circulation(i, c);
          forms[strip.surface].far_drag(b, c) += d;
          forms[other.surface].far_drag(b, c) += d;
        }
    }
  }
}

} // namespace

std::vector<SurfaceForms> load_forms(const Influence& influence, std::span<const Cause> causes,
                                     const Matrix& circulation, std::size_t num_surfaces, double density,
                                     const Vec3& moment_point, ThreadPool& pool) {
  const Matrix zero(causes.size(), causes.size());
  std::vector<SurfaceForms> forms(num_surfaces, {{zero, zero, zero}, {zero, zero, zero}, zero});
  add_near_field(forms, influence, causes, circulation, density, moment_point, pool);
  add_far_field(forms, influence, circulation, density);
  for (SurfaceForms& f : forms) {
    for (int axis = 0; axis < 3; ++axis) {
      make_symmetric(f.force[static_cast<std::size_t>(axis)]);
      make_symmetric(f.moment[static_cast<std::size_t>(axis)]);
    }
    make_symmetric(f.far_drag);
    const auto check_finite = [](const Matrix& form) {
      if (!std::all_of(form.values.begin(), form.values.end(), [](double v) { return std::isfinite(v); }))
        throw Error("a force came out as no number: a point of one surface lies on a vortex of another; move "
                    "one of them "
                    "slightly",
                    ErrorKind::run);
    };
    std::for_each(f.force.begin(), f.force.end(), check_finite);
    std::for_each(f.moment.begin(), f.moment.end(), check_finite);
    check_finite(f.far_drag);
  }
  return forms;
}

double value(const Matrix& form, std::span<const double> a) {
  return 0.5 * derivative(form, a, a);
}

double derivative(const Matrix& form, std::span<const double> a, std::span<const double> b) {
  double sum = 0;
  for (std::size_t j = 0; j < form.cols; ++j) {
    double column = 0;
    for (std::size_t i = 0; i < form.rows; ++i)
      column += form(i, j) * a[i];
    sum += column * b[j];
  }
  return 2 * sum;
}

SurfaceForms total(std::span<const SurfaceForms> surfaces) {
  SurfaceForms sum = surfaces.front();
  const auto add = [](Matrix& into, const Matrix& from) {
    for (std::size_t i = 0; i < into.values.size(); ++i)
      into.values[i] += from.values[i];
  };
  for (const SurfaceForms& s : surfaces.subspan(1)) {
    for (std::size_t axis = 0; axis < 3; ++axis) {
      add(sum.force[axis], s.force[axis]);
      add(sum.moment[axis], s.moment[axis]);
    }
    add(sum.far_drag, s.far_drag);
  }
  return sum;
}

} // namespace vlm
