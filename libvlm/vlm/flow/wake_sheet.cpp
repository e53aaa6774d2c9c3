#include <vlm/flow/wake_sheet.hpp>

#include <algorithm>
#include <cmath>
#include <complex>
#include <numbers>

#include <Eigen/Dense>

#include <vlm/base/error.hpp>
#include <vlm/lattice/spacing.hpp>

namespace vlm {
namespace {

using std::numbers::pi;

// Smoothing length over the mean strip width; see WakeSheet.
constexpr double smoothing_share = 0.08;

struct Strengths {
  Eigen::MatrixXd density; // g at the nodes, per strip circulation
  Eigen::MatrixXd shed;    // vorticity of each ribbon: −ΔΓ between its ends
};

// Legs of a row: strength of edge e is Γ(strip left of it) − Γ(strip right of it), downstream positive.
Eigen::MatrixXd leg_strengths(Eigen::Index strips) {
  Eigen::MatrixXd legs = Eigen::MatrixXd::Zero(strips + 1, strips);
  for (Eigen::Index j = 0; j < strips; ++j) {
    legs(j, j) = -1;
    legs(j + 1, j) = 1;
  }
  return legs;
}

// Uniform cubic B-spline through the legs as samples at u = 0, 1, 2, …, one an edge. Beyond an end the
// spline's coefficients follow from those within: even about a tip half a step beyond the outer edge; even
// about an edge on the still surface, whose leg is half a sample; straight at an edge on the skin, whose leg
// is none.
Strengths semicircle_strengths(Eigen::Index strips, const std::array<RowEnd, 2>& ends) {
  constexpr Eigen::Index beyond = 2; // coefficients on either side of the edges
  const Eigen::Index edges = strips + 1, unknowns = edges + 2 * beyond;
  Eigen::MatrixXd equations = Eigen::MatrixXd::Zero(unknowns, unknowns);
  Eigen::MatrixXd right = Eigen::MatrixXd::Zero(unknowns, strips);
  right.topRows(edges) = leg_strengths(strips);
  for (Eigen::Index e = 0; e < edges; ++e)
    equations.row(e).segment(e + beyond - 1, 3) << 1.0 / 6, 4.0 / 6, 1.0 / 6;
  for (const int end : {0, 1}) {
    // Column of the coefficient i steps inward from the edge at this end.
    const auto column = [&](Eigen::Index i) { return end == 0 ? beyond + i : unknowns - 1 - beyond - i; };
    const Eigen::Index edge = end == 0 ? 0 : edges - 1, spare = edges + 2 * end;
    const RowEnd kind = ends[static_cast<std::size_t>(end)];
    for (Eigen::Index i = 1; i <= beyond; ++i) {
      const Eigen::Index row = spare + i - 1;
      equations(row, column(-i)) += 1;
      if (kind == RowEnd::tip)
        equations(row, column(i - 1)) -= 1;
      else if (kind == RowEnd::still_surface)
        equations(row, column(i)) -= 1;
      else {
        equations(row, column(1 - i)) -= 2;
        equations(row, column(2 - i)) += 1;
      }
    }
    if (kind == RowEnd::still_surface)
      right.row(edge) *= 2;
    if (on_body(kind)) {
      equations.row(edge).setZero();
      right.row(edge).setZero();
      equations(edge, column(0)) += 1;
      equations(edge, column(1)) -= 2;
      equations(edge, column(2)) += 1;
    }
  }
  const Eigen::MatrixXd coefficients = equations.partialPivLu().solve(right);
  const double from = ends[0] == RowEnd::tip ? -0.5 : 0,
               to = static_cast<double>(strips) + (ends[1] == RowEnd::tip ? 0.5 : 0);
  const auto ribbons = static_cast<Eigen::Index>(std::lround((to - from) * ribbons_per_strip));
  Eigen::MatrixXd value = Eigen::MatrixXd::Zero(ribbons + 1, unknowns), integral = value;
  for (Eigen::Index i = 0; i <= ribbons; ++i) {
    // Cubic B-spline about edge e at u, and its integral from far left.
    const double u = from + static_cast<double>(i) / ribbons_per_strip;
    for (Eigen::Index e = -beyond; e < edges + beyond; ++e) {
      const double t = u - static_cast<double>(e), a = std::abs(t);
      const double b = a >= 2 ? 0 : a >= 1 ? std::pow(2 - a, 3) / 6 : (4 - 6 * a * a + 3 * a * a * a) / 6;
      const double tail = a >= 2   ? 0
                          : a >= 1 ? std::pow(2 - a, 4) / 24
                                   : 0.5 - (4 * a - 2 * a * a * a + 0.75 * a * a * a * a) / 6;
      value(i, e + beyond) = b;
      integral(i, e + beyond) = t > 0 ? 1 - tail : tail;
    }
  }
  return {value * coefficients, (integral.bottomRows(ribbons) - integral.topRows(ribbons)) * coefficients};
}

// Nodes at edges and middles. Circulation is that of the strip at its middle, the mean of both neighbours' at
// an edge, zero at the tips and the strip's own at the skin; strength is its slope between middles at an
// edge, between edges at a middle.
Strengths uniform_strengths(Eigen::Index strips, const std::array<RowEnd, 2>& ends) {
  Eigen::MatrixXd circulation = Eigen::MatrixXd::Zero(2 * strips + 1, strips), density = circulation;
  for (Eigen::Index j = 0; j < strips; ++j)
    circulation(2 * j + 1, j) = 1;
  for (Eigen::Index e = 1; e < strips; ++e) {
    circulation(2 * e, e - 1) = circulation(2 * e, e) = 0.5;
    density(2 * e, e - 1) = 1;
    density(2 * e, e) = -1;
  }
  if (on_body(ends[0]))
    circulation(0, 0) = 1;
  if (on_body(ends[1]))
    circulation(2 * strips, strips - 1) = 1;
  for (Eigen::Index j = 0; j < strips; ++j)
    density.row(2 * j + 1) = circulation.row(2 * j) - circulation.row(2 * j + 2);
  return {density, circulation.topRows(2 * strips) - circulation.bottomRows(2 * strips)};
}

// ∫ τ^m/(ẑ − τ) dτ over [0, 1] for m = 0, 1, 2.
struct Moments {
  std::complex<double> m0, m1, m2;
};

// 1/(n + 1), for as many terms of the series as there can be: |ẑ|² > 64.
constexpr auto over = [] {
  std::array<double, 24> values{};
  for (std::size_t n = 0; n < values.size(); ++n)
    values[n] = 1 / (static_cast<double>(n) + 1);
  return values;
}();

// Both last arguments in ribbon lengths: nearer to an end than the root of smallest2, that distance is taken
// (the same for both ribbons that meet there, so their logarithms still cancel); smoothing is ε of WakeSheet.
Moments moments(double eta, double zeta, double smallest2, double smoothing) {
  const double before2 = std::max(eta * eta + zeta * zeta, smallest2);
  const double behind2 = std::max((eta - 1) * (eta - 1) + zeta * zeta, smallest2);
  const std::complex<double> z(eta, zeta);
  if (std::min(before2, behind2) > 64) {
    // The closed form cancels far away: sum the series in 1/ẑ instead, to the last bit.
    const double size2 = std::norm(z);
    const std::complex<double> w = std::conj(z) / size2;
    std::complex<double> power = w;
    Moments m{};
    double left2 = 1; // |ẑ|^(−2n)
    for (std::size_t n = 0; left2 > 1e-34; ++n, power *= w, left2 /= size2) {
      m.m0 += power * over[n];
      m.m1 += power * over[n + 1];
      m.m2 += power * over[n + 2];
    }
    return m;
  }
  // The angle that the ribbon fills jumps by 2π through it; on the ribbon itself the mean, zero, is taken.
  const double angle =
      -std::erf(std::abs(zeta) / smoothing) * std::atan2(zeta, eta * (eta - 1) + zeta * zeta);
  const std::complex<double> m0(0.5 * std::log(before2 / behind2), angle);
  const std::complex<double> m1 = z * m0 - 1.0;
  return {m0, m1, z * m1 - 0.5};
}

// ∫ τ^(−1/2)/(ẑ − τ) dτ over [0, 1]: strength that is infinite at the first end. m0 holds the ribbon's angle,
// rounded already; the jump that goes with it is rounded likewise.
std::complex<double> tip_moment(double eta, double zeta, double smallest2, const std::complex<double>& m0) {
  std::complex<double> z(eta, zeta);
  if (std::norm(z) < smallest2)
    z = std::sqrt(smallest2);
  // (1/√ẑ)·log((√ẑ + 1)/(√ẑ − 1)), with |√ẑ − 1| = |ẑ − 1|/|√ẑ + 1|.
  const std::complex<double> root = std::sqrt(z);
  const double behind2 = std::max(std::norm(z - 1.0), smallest2);
  const double size = std::log(std::norm(root + 1.0)) - 0.5 * std::log(behind2);
  const bool on_ribbon = zeta == 0 && eta > 0 && eta < 1;
  const double jump = -std::atan2(zeta, eta * (eta - 1) + zeta * zeta);
  const double angle = on_ribbon ? 0 : std::arg((root + 1.0) * std::conj(root - 1.0)) - (jump - m0.imag());
  return std::complex<double>(size, angle) / root;
}

} // namespace

WakeSheet::WakeSheet(const Row& row, Spacing spacing, const Vec3& direction) : direction_(direction) {
  const Vec3 starboard{0, 1, 0};
  axis1_ = normalized(starboard - dot(starboard, direction) * direction);
  axis2_ = cross(direction, axis1_);

  const auto strips = static_cast<Eigen::Index>(row.num_strips);
  const Strengths unit = spacing == Spacing::semicircle ? semicircle_strengths(strips, row.ends)
                                                        : uniform_strengths(strips, row.ends);
  for (std::size_t end = 0; end < 2; ++end) {
    tip_[end] = row.ends[end] == RowEnd::tip;
    root_strength_[end].assign(row.num_strips, 0);
    if (!on_body(row.ends[end]))
      continue;
    // What the circulation at the skin is: the strip's beside it and what is shed up to the skin.
    const bool other_is_skin = on_body(row.ends[1 - end]);
    const Eigen::Index whole = unit.shed.rows(),
                       half = spacing == Spacing::semicircle ? ribbons_per_strip / 2 : 1;
    const Eigen::RowVectorXd shed =
        other_is_skin ? Eigen::RowVectorXd(
                            (end == 0 ? unit.shed.topRows(half) : unit.shed.bottomRows(half)).colwise().sum())
                      : Eigen::RowVectorXd(unit.shed.topRows(whole).colwise().sum());
    for (Eigen::Index j = 0; j < strips; ++j) {
      const bool beside = j == (end == 0 ? 0 : strips - 1);
      root_strength_[end][static_cast<std::size_t>(j)] =
          other_is_skin ? (beside ? (end == 0 ? -1 : 1) : 0) - shed(j) : -shed(j);
    }
  }
  const std::size_t nodes = row.sheet_point.size();
  end_strength_ = Matrix(row.num_strips, nodes);
  mean_strength_ = Matrix(row.num_strips, nodes - 1);
  double across = 0;
  for (std::size_t i = 0; i + 1 < nodes; ++i) {
    const Vec3 &p = row.sheet_point[i], side = row.sheet_point[i + 1] - p;
    const double d1 = dot(side, axis1_), d2 = dot(side, axis2_), length = std::hypot(d1, d2);
    if (!(length > 0))
      throw Error("the wake leaves a trailing edge along itself: its direction must cross the span");
    across += length;
    ribbons_.push_back({dot(p, axis1_), dot(p, axis2_), length, d1 / length, d2 / length, dot(p, direction),
                        dot(row.sheet_point[i + 1], direction)});
    for (std::size_t j = 0; j < row.num_strips; ++j)
      mean_strength_(j, i) = unit.shed(static_cast<Eigen::Index>(i), static_cast<Eigen::Index>(j)) / length;
  }
  smallest_distance2_ = 1e-24 * across * across;
  smoothing_ = smoothing_share * across / static_cast<double>(row.num_strips);
  for (std::size_t i = 0; i < nodes; ++i) {
    if ((i == 0 && tip_[0]) || (i + 1 == nodes && tip_[1]) || row.sheet_slope[i] == 0)
      continue;
    // Strength is per metre across the wake, the node's slope per metre of arc.
    const std::size_t before = i == 0 ? 0 : i - 1, after = std::min(i + 1, nodes - 1);
    double across_neighbours = 0;
    for (std::size_t k = before; k < after; ++k)
      across_neighbours += ribbons_[k].length;
    const double stretch = across_neighbours / (row.sheet_arc[after] - row.sheet_arc[before]);
    for (std::size_t j = 0; j < row.num_strips; ++j)
      end_strength_(j, i) = unit.density(static_cast<Eigen::Index>(i), static_cast<Eigen::Index>(j)) /
                            (row.sheet_slope[i] * stretch);
  }
}

template <bool far>
void WakeSheet::add(const Vec3& point, std::span<double> x, std::span<double> y, std::span<double> z) const {
  const double p1 = dot(point, axis1_), p2 = dot(point, axis2_), along = dot(point, direction_);
  const std::size_t strips = x.size();
  const auto velocity_of = [&](const Ribbon& r, const std::complex<double>& end) {
    const double across = end.real() / (2 * pi), within = end.imag() / (2 * pi);
    return (within * r.t1 - across * r.t2) * axis1_ + (within * r.t2 + across * r.t1) * axis2_;
  };
  const auto add_strength = [&](const Vec3& v, std::size_t column, const Matrix& strength) {
    const double* unit = &strength.values[column * strips];
    for (std::size_t j = 0; j < strips; ++j) {
      x[j] += v.x * unit[j];
      y[j] += v.y * unit[j];
      z[j] += v.z * unit[j];
    }
  };
  Vec3 of_last_end;
  for (std::size_t i = 0; i < ribbons_.size(); ++i) {
    const Ribbon& r = ribbons_[i];
    const double r1 = p1 - r.a1, r2 = p2 - r.a2;
    const double eta = (r1 * r.t1 + r2 * r.t2) / r.length, zeta = (r2 * r.t1 - r1 * r.t2) / r.length;
    const Moments m = moments(eta, zeta, smallest_distance2_ / (r.length * r.length), smoothing_ / r.length);
    // Parabolas that are 1 at one of the first end, the middle and the last end, and 0 at the others.
    std::complex<double> first = m.m0 - 3.0 * m.m1 + 2.0 * m.m2, middle = 4.0 * (m.m1 - m.m2),
                         last = 2.0 * m.m2 - m.m1;
    const auto factor = [&](double fraction) {
      if (far)
        return 1.0;
      const double dx = along - (r.along_a + fraction * (r.along_b - r.along_a));
      const double de = (eta - fraction) * r.length, dz = zeta * r.length;
      const double distance = std::sqrt(dx * dx + de * de + dz * dz);
      return distance > 0 ? 0.5 * (1 + dx / distance) : 0.5;
    };
    first *= factor(0);
    middle *= factor(0.5);
    last *= factor(1);
    // By strength at the first end, mean strength and strength at the last end. The middle's strength follows
    // from these (Simpson's rule is exact for a parabola). At a tip it is c/√t + d, t from the tip: with end
    // strength γ and mean m, c/√(length) = m − γ and d = 2γ − m.
    std::complex<double> ends[3] = {first - 0.25 * middle, 1.5 * middle, last - 0.25 * middle};
    const bool first_tip = i == 0 && tip_[0], last_tip = i + 1 == ribbons_.size() && tip_[1];
    if (first_tip || last_tip) {
      const double near2 = smallest_distance2_ / (r.length * r.length);
      // Half of the root's strength lies within a quarter, its centre at a third of the ribbon.
      const std::complex<double> root = first_tip
                                            ? factor(1.0 / 3) * tip_moment(eta, zeta, near2, m.m0)
                                            : -factor(2.0 / 3) * tip_moment(1 - eta, -zeta, near2, -m.m0);
      const std::complex<double> even = first + middle + last;
      ends[0] = first_tip ? 0.0 : 2.0 * even - root;
      ends[1] = root - even;
      ends[2] = first_tip ? 2.0 * even - root : 0.0;
    }
    // A node has the first end of one ribbon and the last of the one before.
    add_strength(velocity_of(r, ends[0]) + of_last_end, i, end_strength_);
    add_strength(velocity_of(r, ends[1]), i, mean_strength_);
    of_last_end = velocity_of(r, ends[2]);
  }
  add_strength(of_last_end, ribbons_.size(), end_strength_);
}

void WakeSheet::add_velocity(const Vec3& point, std::span<double> x, std::span<double> y,
                             std::span<double> z) const {
  add<false>(point, x, y, z);
}

void WakeSheet::add_far_velocity(const Vec3& point, std::span<double> x, std::span<double> y,
                                 std::span<double> z) const {
  add<true>(point, x, y, z);
}

} // namespace vlm
