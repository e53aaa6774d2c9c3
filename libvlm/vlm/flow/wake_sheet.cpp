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

// Uniform cubic B-spline through samples at u = 1/2, 3/2, …, reflected at both ends.
Strengths semicircle_strengths(Eigen::Index strips) {
  const Eigen::Index edges = strips + 1;
  Eigen::MatrixXd basis = Eigen::MatrixXd::Zero(edges, edges);
  const auto reflected = [edges](Eigen::Index i) {
    return i < 0 ? -1 - i : i >= edges ? 2 * edges - 1 - i : i;
  };
  for (Eigen::Index e = 0; e < edges; ++e) {
    basis(e, reflected(e - 1)) += 1.0 / 6;
    basis(e, e) += 4.0 / 6;
    basis(e, reflected(e + 1)) += 1.0 / 6;
  }
  const Eigen::MatrixXd coefficients = basis.partialPivLu().solve(leg_strengths(strips));
  const Eigen::Index ribbons = ribbons_per_strip * edges;
  Eigen::MatrixXd value = Eigen::MatrixXd::Zero(ribbons + 1, edges), integral = value;
  for (Eigen::Index i = 0; i <= ribbons; ++i) {
    // Cubic B-spline about edge e at u, and its integral from far left; the reflected ones are folded in.
    const double u = static_cast<double>(i) / ribbons_per_strip;
    for (Eigen::Index e = -2; e < edges + 2; ++e) {
      const double t = u - (static_cast<double>(e) + 0.5), a = std::abs(t);
      const double b = a >= 2 ? 0 : a >= 1 ? std::pow(2 - a, 3) / 6 : (4 - 6 * a * a + 3 * a * a * a) / 6;
      const double tail = a >= 2   ? 0
                          : a >= 1 ? std::pow(2 - a, 4) / 24
                                   : 0.5 - (4 * a - 2 * a * a * a + 0.75 * a * a * a * a) / 6;
      value(i, reflected(e)) += b;
      integral(i, reflected(e)) += t > 0 ? 1 - tail : tail;
    }
  }
  return {value * coefficients, (integral.bottomRows(ribbons) - integral.topRows(ribbons)) * coefficients};
}

// Nodes at edges and middles. Circulation is that of the strip at its middle, the mean of both neighbours' at
// an edge and zero at the tips; strength is its slope between middles at an edge, between edges at a middle.
Strengths uniform_strengths(Eigen::Index strips) {
  Eigen::MatrixXd circulation = Eigen::MatrixXd::Zero(2 * strips + 1, strips), density = circulation;
  for (Eigen::Index j = 0; j < strips; ++j)
    circulation(2 * j + 1, j) = 1;
  for (Eigen::Index e = 1; e < strips; ++e) {
    circulation(2 * e, e - 1) = circulation(2 * e, e) = 0.5;
    density(2 * e, e - 1) = 1;
    density(2 * e, e) = -1;
  }
  for (Eigen::Index j = 0; j < strips; ++j)
    density.row(2 * j + 1) = circulation.row(2 * j) - circulation.row(2 * j + 2);
  return {density, circulation.topRows(2 * strips) - circulation.bottomRows(2 * strips)};
}

// ∫ τ^m/(ẑ − τ) dτ over [0, 1] for m = 0, 1, 2.
struct Moments {
  std::complex<double> m0, m1, m2;
};

// Both last arguments in ribbon lengths: nearer to an end than the root of smallest2, that distance is taken
// (the same for both ribbons that meet there, so their logarithms still cancel); smoothing is ε of WakeSheet.
Moments moments(double eta, double zeta, double smallest2, double smoothing) {
  const double before2 = std::max(eta * eta + zeta * zeta, smallest2);
  const double behind2 = std::max((eta - 1) * (eta - 1) + zeta * zeta, smallest2);
  const std::complex<double> z(eta, zeta);
  if (before2 > 64) {
    // The closed form cancels far away: sum the series in 1/ẑ instead.
    const std::complex<double> w = 1.0 / z;
    std::complex<double> power = w;
    Moments m{};
    for (int n = 0; n < 20; ++n, power *= w) {
      m.m0 += power / (n + 1.0);
      m.m1 += power / (n + 2.0);
      m.m2 += power / (n + 3.0);
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
  const Strengths unit =
      spacing == Spacing::semicircle ? semicircle_strengths(strips) : uniform_strengths(strips);
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
    if (i == 0 || i + 1 == nodes)
      continue;
    // Strength is per metre across the wake, the node's slope per metre of arc.
    const double stretch =
        (ribbons_[i - 1].length + ribbons_[i].length) / (row.sheet_arc[i + 1] - row.sheet_arc[i - 1]);
    for (std::size_t j = 0; j < row.num_strips; ++j)
      end_strength_(j, i) = unit.density(static_cast<Eigen::Index>(i), static_cast<Eigen::Index>(j)) /
                            (row.sheet_slope[i] * stretch);
  }
}

template <bool far>
void WakeSheet::add(const Vec3& point, std::span<double> x, std::span<double> y, std::span<double> z) const {
  const double p1 = dot(point, axis1_), p2 = dot(point, axis2_), along = dot(point, direction_);
  const std::size_t strips = x.size();
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
    const bool first_tip = i == 0, last_tip = i + 1 == ribbons_.size();
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
    const double* strength[3] = {&end_strength_.values[i * strips], &mean_strength_.values[i * strips],
                                 &end_strength_.values[(i + 1) * strips]};
    for (int n = 0; n < 3; ++n) {
      const double across = ends[n].real() / (2 * pi), within = ends[n].imag() / (2 * pi);
      const double v1 = within * r.t1 - across * r.t2, v2 = within * r.t2 + across * r.t1;
      const Vec3 v = v1 * axis1_ + v2 * axis2_;
      for (std::size_t j = 0; j < strips; ++j) {
        x[j] += v.x * strength[n][j];
        y[j] += v.y * strength[n][j];
        z[j] += v.z * strength[n][j];
      }
    }
  }
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
