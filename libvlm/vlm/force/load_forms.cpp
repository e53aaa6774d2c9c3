#include <vlm/force/load_forms.hpp>

#include <algorithm>
#include <cmath>

#include <Eigen/Dense>

#include <vlm/base/error.hpp>
#include <vlm/flow/flow_kernel.hpp>
#include <vlm/flow/influence.hpp>
#include <vlm/force/near_field.hpp>
#include <vlm/force/span_loading.hpp>

namespace vlm {
namespace {

using Eigen::Index;

Eigen::Map<Eigen::MatrixXd> map_of(Matrix& m) {
  return {m.values.data(), static_cast<Index>(m.rows), static_cast<Index>(m.cols)};
}

Eigen::Map<const Eigen::MatrixXd> map_of(const Matrix& m) {
  return {m.values.data(), static_cast<Index>(m.rows), static_cast<Index>(m.cols)};
}

// The products of strengths of one cause and velocities of another over some pieces, for all pairs of causes.
class FormSum {
public:
  FormSum(std::size_t causes, double density, const Vec3& moment_point)
      : causes_(causes), width_(line_width(6 * causes)), density_(density), moment_point_(moment_point),
        strength_(causes * most), load_(most * width_), product_(causes * width_), sum_(causes * width_) {}

  void add(const LoadedPiece& piece) {
    const Vec3 arm = piece.point - moment_point_;
    double* load = &load_[count_ * width_];
    for (std::size_t j = 0; j < causes_; ++j, load += 6) {
      const Vec3 f = piece.unit_force(density_, j), m = cross(arm, f);
      strength_[j * most + count_] = piece.strength[j];
      load[0] = f.x, load[1] = f.y, load[2] = f.z, load[3] = m.x, load[4] = m.y, load[5] = m.z;
    }
    if (++count_ == most)
      flush();
  }

  // Adds all to the forms of a surface.
  void add_to(SurfaceForms& forms) {
    flush();
    for (std::size_t i = 0; i < causes_; ++i)
      for (std::size_t j = 0; j < causes_; ++j)
        for (std::size_t axis = 0; axis < 3; ++axis) {
          forms.force[axis](i, j) += sum_[i * width_ + 6 * j + axis];
          forms.moment[axis](i, j) += sum_[i * width_ + 6 * j + 3 + axis];
        }
  }

private:
  void flush() {
    for (std::size_t i = 0; i < causes_; ++i)
      std::fill_n(strength_.data() + i * most + count_, most - count_, 0.0);
    count_ = 0;
    flow_kernel().products(strength_.data(), causes_, most, load_.data(), width_, product_.data());
    for (std::size_t i = 0; i < sum_.size(); ++i)
      sum_[i] += product_[i];
  }

  static constexpr std::size_t most = 64; // pieces that are multiplied at once

  std::size_t causes_, width_, count_ = 0;
  double density_;
  Vec3 moment_point_;
  std::vector<double> strength_;      // [causes × most]
  std::vector<double> load_;          // of unit strength in the velocity of each cause [most × width]
  std::vector<double> product_, sum_; // [causes × width]
};

void make_symmetric(Matrix& form) {
  for (std::size_t i = 0; i < form.rows; ++i)
    for (std::size_t j = 0; j < i; ++j)
      form(i, j) = form(j, i) = 0.5 * (form(i, j) + form(j, i));
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
    const Vec3 first = wetted_node(lattice, row, edge, row.panels_per_strip),
               last = wetted_node(lattice, row, edge + 1, row.panels_per_strip);
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
                   double density, ThreadPool& pool) {
  const Lattice& lattice = influence.lattice();
  const std::size_t strips = lattice.strips.size();
  // drag(j, i): −½ ρ wash of unit circulation of strip i across the wake of strip j, times what of the two's
  // mutual drag this is; Γ_j Γ_i times it is drag, borne by both strips' surfaces alike.
  Eigen::MatrixXd drag = Eigen::MatrixXd::Zero(static_cast<Index>(strips), static_cast<Index>(strips));
  Matrix shares(lattice.rows.size(), lattice.rows.size());
  for (std::size_t a = 0; a < shares.rows; ++a)
    for (std::size_t b = 0; b < shares.cols; ++b)
      if (!lattice.rows[a].shell && !lattice.rows[b].shell)
        shares(a, b) = share_of_mutual_drag(lattice, a, b);
  const std::vector<WakePiece> pieces = wake_pieces(influence);
  std::vector<std::vector<double>> wash(pieces.size());
  pool.for_each(pieces.size(), [&](std::size_t i) {
    wash[i].resize(strips);
    influence.far_wash_row({pieces[i].point, pieces[i].across}, lattice.strips[pieces[i].strip].row, wash[i]);
  });
  for (std::size_t i = 0; i < pieces.size(); ++i)
    for (std::size_t j = 0; j < strips; ++j)
      if (const double share = shares(lattice.strips[pieces[i].strip].row, lattice.strips[j].row); share != 0)
        drag(static_cast<Index>(pieces[i].strip), static_cast<Index>(j)) -=
            0.5 * density * wash[i][j] * share;

  const Matrix sums = strip_sums(lattice, circulation);
  std::vector<Eigen::MatrixXd> gamma; // of the strips of each surface, 0 elsewhere
  for (std::size_t surface = 0; surface < forms.size(); ++surface) {
    gamma.emplace_back(map_of(sums));
    for (std::size_t j = 0; j < strips; ++j)
      if (lattice.strips[j].surface != surface)
        gamma.back().row(static_cast<Index>(j)).setZero();
  }
  for (std::size_t other = 0; other < forms.size(); ++other) {
    const Eigen::MatrixXd in_wash = drag * gamma[other];
    for (std::size_t surface = 0; surface < forms.size(); ++surface) {
      const Eigen::MatrixXd mutual = gamma[surface].transpose() * in_wash;
      map_of(forms[surface].far_drag) += mutual;
      map_of(forms[other].far_drag) += mutual;
    }
  }
}

} // namespace

std::vector<SurfaceForms> load_forms(const Influence& influence, std::span<const Cause> causes,
                                     const Matrix& circulation, std::size_t num_surfaces, double density,
                                     const Vec3& moment_point, ThreadPool& pool, StillPart* still) {
  const Matrix zero(causes.size(), causes.size());
  const Lattice& lattice = influence.lattice();
  std::vector<SurfaceForms> forms(num_surfaces + (lattice.has_shell() ? 1 : 0),
                                  {{zero, zero, zero}, {zero, zero, zero}, zero});
  const std::vector<StripGroup> groups = strip_groups(lattice);
  std::vector<FormSum> sums(groups.size() + 1, FormSum(causes.size(), density, moment_point));
  visit_near_field(
      influence, causes, circulation, pool,
      [&](std::size_t group, const LoadedPiece& piece) { sums[group].add(piece); }, still);
  for (std::size_t i = 0; i < groups.size(); ++i)
    sums[i].add_to(forms[lattice.strips[groups[i].first].surface]);
  sums.back().add_to(forms.back());
  add_far_field(forms, influence, circulation, density, pool);
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
