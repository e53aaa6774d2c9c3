#include <vlm/force/load_forms.hpp>

#include <algorithm>
#include <cmath>

#include <vlm/base/error.hpp>
#include <vlm/flow/influence.hpp>
#include <vlm/force/span_loading.hpp>

namespace vlm {
namespace {

// Accumulates forces that are products of a strength of one cause and a velocity of another into the forms of
// one surface, for all pairs of causes.
class SegmentLoads {
public:
  SegmentLoads(SurfaceForms& forms, double density, const Vec3& moment_point)
      : forms_(forms), density_(density), moment_point_(moment_point) {}

  // Γ_i (V_j × l) of a vortex segment. gamma, velocity: one entry a cause.
  void add(const Vec3& point, const Vec3& segment, std::span<const double> gamma,
           std::span<const Vec3> velocity) {
    for (std::size_t j = 0; j < gamma.size(); ++j)
      add_force(point, density_ * cross(velocity[j], segment), gamma, j);
  }

  // −σ_i V_j of a source; strength: the opposite of σ, one entry a cause.
  void add_source(const Vec3& point, std::span<const double> strength, std::span<const Vec3> velocity) {
    for (std::size_t j = 0; j < strength.size(); ++j)
      add_force(point, density_ * velocity[j], strength, j);
  }

private:
  void add_force(const Vec3& point, const Vec3& f, std::span<const double> strength, std::size_t j) {
    const Vec3 m = cross(point - moment_point_, f);
    for (std::size_t i = 0; i < strength.size(); ++i) {
      forms_.force[0](i, j) += strength[i] * f.x;
      forms_.force[1](i, j) += strength[i] * f.y;
      forms_.force[2](i, j) += strength[i] * f.z;
      forms_.moment[0](i, j) += strength[i] * m.x;
      forms_.moment[1](i, j) += strength[i] * m.y;
      forms_.moment[2](i, j) += strength[i] * m.z;
    }
  }

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

// Of the surfaces: bound segments first, panel after panel; then the pieces of the legs, edge after edge. The
// shell's panels come last in the lattice.
std::vector<SurfacePoint> load_points(const Lattice& lattice, std::vector<std::size_t>& first_piece) {
  std::vector<SurfacePoint> points;
  for (std::size_t r = 0; r < lattice.rows.size(); ++r)
    for (std::size_t p = 0; p < lattice.rows[r].num_panels() && !lattice.rows[r].shell; ++p)
      points.push_back({lattice.force_point[lattice.rows[r].first_panel + p], r});
  for (std::size_t r = 0; r < lattice.rows.size(); ++r) {
    const Row& row = lattice.rows[r];
    first_piece.push_back(points.size());
    if (row.shell)
      continue;
    for (std::size_t e = 0; e <= row.num_strips; ++e)
      for (std::size_t k = 0; k < row.panels_per_strip; ++k) {
        const std::size_t i = row.first_node + e * row.nodes_per_edge() + k;
        points.push_back({0.5 * (node(lattice, i) + node(lattice, i + 1)), r});
      }
  }
  return points;
}

// A bound segment run on from a root into the fuselage, to where that of the other side meets it.
struct CarriedSegment {
  std::size_t panel;
  Vec3 segment;
};

std::vector<CarriedSegment> carried_segments(const Lattice& lattice, std::vector<SurfacePoint>& points) {
  std::vector<CarriedSegment> segments;
  for (std::size_t r = 0; r < lattice.rows.size(); ++r) {
    const Row& row = lattice.rows[r];
    for (const std::size_t end : {0, 1})
      for (std::size_t k = 0; k < row.inner_point[end].size(); ++k) {
        const std::size_t strip = end == 0 ? 0 : row.num_strips - 1, edge = end == 0 ? 0 : row.num_strips;
        const Vec3 root = node(lattice, row.first_node + edge * row.nodes_per_edge() + k),
                   inner = row.inner_point[end][k];
        points.push_back({0.5 * (root + inner), r});
        segments.push_back(
            {row.first_panel + strip * row.panels_per_strip + k, end == 0 ? root - inner : inner - root});
      }
  }
  return segments;
}

void add_near_field(std::vector<SurfaceForms>& forms, const Influence& influence,
                    std::span<const Cause> causes, const Matrix& circulation, double density,
                    const Vec3& moment_point, ThreadPool& pool) {
  const Lattice& lattice = influence.lattice();
  std::vector<std::size_t> first_piece;
  std::vector<SurfacePoint> points = load_points(lattice, first_piece);
  const std::size_t first_carried = points.size();
  const std::vector<CarriedSegment> carried = carried_segments(lattice, points);
  const Velocities induced = induced_velocities(influence, points, circulation, pool, true);
  std::vector<Vec3> velocity(causes.size());
  const auto at = [&](std::size_t i) {
    for (std::size_t c = 0; c < causes.size(); ++c)
      velocity[c] =
          onset(causes[c], points[i].point) + Vec3{induced.x(i, c), induced.y(i, c), induced.z(i, c)};
    return std::span<const Vec3>(velocity);
  };
  const auto onset_at = [&](const Vec3& p) {
    for (std::size_t c = 0; c < causes.size(); ++c)
      velocity[c] = onset(causes[c], p);
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
      const bool a_on_skin = edge == 0 && row.ends[0] == RowEnd::skin;
      const bool b_on_skin = edge + 1 == row.num_strips && row.ends[1] == RowEnd::skin;
      loads.add(points[piece_a].point, node(lattice, a) - node(lattice, a + 1), shed,
                a_on_skin ? onset_at(points[piece_a].point) : at(piece_a));
      loads.add(points[piece_b].point, node(lattice, b + 1) - node(lattice, b), shed,
                b_on_skin ? onset_at(points[piece_b].point) : at(piece_b));
    }
  }
  for (std::size_t i = 0; i < carried.size(); ++i) {
    const std::size_t point = first_carried + i;
    for (std::size_t c = 0; c < causes.size(); ++c) {
      gamma[c] = circulation(carried[i].panel, c);
      velocity[c] = {induced.x(point, c), induced.y(point, c), induced.z(point, c)};
    }
    SegmentLoads(forms.back(), density, moment_point)
        .add(points[point].point, carried[i].segment, gamma, velocity);
  }
}

// The fuselage: its shell, its sources, and the legs that follow its skin behind the roots of surfaces.
void add_body(SurfaceForms& forms, const Lattice& lattice, std::span<const Cause> causes,
              const Matrix& circulation, double density, const Vec3& moment_point) {
  SegmentLoads loads(forms, density, moment_point);
  const std::size_t num_causes = causes.size();
  std::vector<double> gamma(num_causes), shed(num_causes);
  std::vector<Vec3> velocity(num_causes);
  const auto onset_at = [&](const Vec3& p) {
    for (std::size_t c = 0; c < num_causes; ++c)
      velocity[c] = onset(causes[c], p);
    return std::span<const Vec3>(velocity);
  };
  const auto add = [&](const Vec3& from, const Vec3& to, std::span<const double> strength) {
    const Vec3 middle = 0.5 * (from + to);
    loads.add(middle, to - from, strength, onset_at(middle));
  };
  for (const Row& row : lattice.rows) {
    if (row.shell)
      for (std::size_t j = 0; j < row.num_strips; ++j) {
        std::fill(shed.begin(), shed.end(), 0.0);
        for (std::size_t k = 0; k < row.panels_per_strip; ++k) {
          for (std::size_t c = 0; c < num_causes; ++c) {
            gamma[c] = circulation(row.first_panel + j * row.panels_per_strip + k, c);
            shed[c] += gamma[c];
          }
          const std::size_t a = row.first_node + j * row.nodes_per_edge() + k, b = a + row.nodes_per_edge();
          add(node(lattice, a), node(lattice, b), gamma);
          add(node(lattice, a + 1), node(lattice, a), shed);
          add(node(lattice, b), node(lattice, b + 1), shed);
        }
      }
    for (const std::size_t end : {0, 1}) {
      if (row.skin_path[end].empty())
        continue;
      const std::size_t strip = end == 0 ? 0 : row.num_strips - 1, edge = end == 0 ? 0 : row.num_strips;
      std::fill(shed.begin(), shed.end(), 0.0);
      for (std::size_t k = 0; k < row.panels_per_strip; ++k)
        for (std::size_t c = 0; c < num_causes; ++c)
          shed[c] += (end == 0 ? -1 : 1) * circulation(row.first_panel + strip * row.panels_per_strip + k, c);
      Vec3 from = node(lattice, row.first_node + edge * row.nodes_per_edge() + row.panels_per_strip);
      for (const Vec3& to : row.skin_path[end]) {
        add(from, to, shed);
        from = to;
      }
    }
  }
  std::vector<std::vector<double>> axial;
  for (const Cause& cause : causes)
    axial.push_back(axial_onset(lattice, cause));
  for (std::size_t k = 0; k < lattice.sources.size(); ++k) {
    const SourceLine& source = lattice.sources[k];
    const Vec3 middle = 0.5 * (source.from + source.to);
    for (std::size_t c = 0; c < num_causes; ++c)
      gamma[c] = -source.growth * axial[c][k];
    loads.add_source(middle, gamma, onset_at(middle));
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

// A piece of a strip's wake far downstream.
struct WakePiece {
  std::size_t strip;
  Vec3 point;  // where the wash across it is taken [m]
  Vec3 across; // normal to it and to the wake, in length its width [m]
};

// The wake of every strip between its edges; and of a strip that ends on the skin also from there to the
// tail, where the leg along the skin has come to.
std::vector<WakePiece> wake_pieces(const Influence& influence) {
  const Lattice& lattice = influence.lattice();
  std::vector<WakePiece> pieces;
  for (std::size_t j = 0; j < lattice.strips.size(); ++j) {
    const Strip& strip = lattice.strips[j];
    const Row& row = lattice.rows[strip.row];
    const std::size_t edge = j - row.first_strip;
    const std::size_t a = row.first_node + edge * row.nodes_per_edge() + row.panels_per_strip;
    const Vec3 first = node(lattice, a), last = node(lattice, a + row.nodes_per_edge());
    const auto add = [&](const Vec3& point, const Vec3& from, const Vec3& to) {
      pieces.push_back({j, point, cross(influence.wake_direction(), to - from)});
    };
    add(strip.wake_point, first, last);
    if (edge == 0 && !row.skin_path[0].empty())
      add(0.5 * (row.skin_path[0].back() + first), row.skin_path[0].back(), first);
    if (edge + 1 == row.num_strips && !row.skin_path[1].empty())
      add(0.5 * (last + row.skin_path[1].back()), last, row.skin_path[1].back());
  }
  return pieces;
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
      if (!lattice.rows[a].shell && !lattice.rows[b].shell)
        shares(a, b) = share_of_mutual_drag(lattice, a, b);
  std::vector<double> x(strips), y(strips), z(strips);
  for (const WakePiece& piece : wake_pieces(influence)) {
    const Strip& strip = lattice.strips[piece.strip];
    influence.far_velocity_row(piece.point, strip.row, x, y, z);
    for (std::size_t i = 0; i < strips; ++i) {
      const Strip& other = lattice.strips[i];
      const double share = shares(strip.row, other.row);
      if (share == 0)
        continue;
      const double wash = x[i] * piece.across.x + y[i] * piece.across.y + z[i] * piece.across.z;
      const double drag = -0.5 * density * wash * share;
      for (std::size_t c = 0; c < k; ++c)
        for (std::size_t b = 0; b < k; ++b) {
          const double d = drag * strip_circulation(piece.strip, b) * strip_circulation(i, c);
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
  const Lattice& lattice = influence.lattice();
  const bool has_body = !lattice.rows.empty() && lattice.rows.back().shell;
  std::vector<SurfaceForms> forms(num_surfaces + (has_body ? 1 : 0),
                                  {{zero, zero, zero}, {zero, zero, zero}, zero});
  add_near_field(forms, influence, causes, circulation, density, moment_point, pool);
  if (has_body)
    add_body(forms.back(), lattice, causes, circulation, density, moment_point);
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
