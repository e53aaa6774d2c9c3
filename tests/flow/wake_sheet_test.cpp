#include <gtest/gtest.h>

#include <vlm/flow/influence.hpp>
#include <vlm/flow/wake_sheet.hpp>
#include <vlm/lattice/lattice.hpp>

#include "../support/wings.hpp"

namespace {

using namespace wings;
using vlm::Vec3;

constexpr double pi = std::numbers::pi;

vlm::Lattice lattice(const vlm::Surface& wing, int strips, vlm::Spacing spacing = vlm::Spacing::semicircle) {
  vlm::LatticeOptions options = counts({{strips, 2}});
  options.spacing = spacing;
  return vlm::make_lattice(craft_of({wing}), options);
}

// Velocity of the sheet for elliptic strip circulations of Γ0 = 1.
Vec3 velocity(const vlm::Lattice& l, const Vec3& point, bool far = false) {
  const vlm::WakeSheet sheet(l.rows[0], l.spacing, {1, 0, 0});
  const std::size_t n = l.strips.size();
  const auto along = [&](const Vec3& axis) {
    const vlm::View view{point, axis};
    std::vector<double> wash(n);
    far ? sheet.add_far_wash({&view, 1}, wash) : sheet.add_wash({&view, 1}, wash);
    double sum = 0;
    for (std::size_t j = 0; j < n; ++j)
      sum += std::sqrt(1 - std::pow(l.strips[j].span_fraction, 2)) * wash[j];
    return sum;
  };
  return {along({1, 0, 0}), along({0, 1, 0}), along({0, 0, 1})};
}

TEST(WakeSheet, MeetsTheUniformDownwashOfEllipticLoadingFarDownstream) {
  // Γ0/(2s) everywhere on the wake, semispan s (L. Prandtl 1918); legs of the lattice carry sin(h/2)/(h/2) of
  // it.
  const vlm::Lattice l = lattice(rectangle(2), 20);
  const double half_step = 0.5 * pi / 21;
  for (const double y : {0.0, 0.1, 0.5, 0.8, -0.3})
    EXPECT_NEAR(velocity(l, {1, y, 0}, true).z / (-0.5 * std::sin(half_step) / half_step), 1, 2e-3)
        << "y = " << y;
}

TEST(WakeSheet, FarDownstreamPointSeesTheFarField) {
  const vlm::Lattice l = lattice(tapered(4, 0.5, 0.3), 16);
  for (const Vec3 at : {Vec3{0, 0.3, 0.2}, {0, -1, 0.05}, {0, 2.5, -0.4}}) {
    const Vec3 near = velocity(l, at + Vec3{1e5, 0, 0}), far = velocity(l, at, true);
    EXPECT_LT(vlm::norm(near - far), 1e-8);
  }
}

TEST(WakeSheet, FarAwayIsTheVelocityOfTheLegs) {
  // Sheet and legs have the same total and the same first moment of vorticity: they differ by a higher
  // multipole.
  const vlm::Lattice l = lattice(rectangle(2), 12);
  const vlm::Row& row = l.rows[0];
  const auto legs = [&](const Vec3& point) {
    Vec3 v;
    for (std::size_t e = 0; e <= row.num_strips; ++e) {
      const auto gamma = [&](std::size_t j) { return std::sqrt(1 - std::pow(l.strips[j].span_fraction, 2)); };
      const double strength = (e > 0 ? gamma(e - 1) : 0) - (e < row.num_strips ? gamma(e) : 0);
      const std::size_t node = row.first_node + e * row.nodes_per_edge() + row.panels_per_strip;
      v += strength *
           vlm::ray_velocity(point - Vec3{l.node_x[node], l.node_y[node], l.node_z[node]}, {1, 0, 0});
    }
    return v;
  };
  const auto share = [&](double distance) {
    const Vec3 point{distance, 0.3 * distance, 0.8 * distance};
    return vlm::norm(velocity(l, point) - legs(point)) / vlm::norm(legs(point));
  };
  EXPECT_LT(share(5), 1e-3);
  EXPECT_LT(share(50), 1e-4);
}

TEST(WakeSheet, IsFiniteAndSmoothWhereRibbonsMeet) {
  const vlm::Lattice l = lattice(rectangle(2), 10);
  for (std::size_t i = 1; i + 1 < l.rows[0].sheet_point.size(); ++i) {
    const Vec3 node = l.rows[0].sheet_point[i] + Vec3{3, 0, 0};
    const double on = velocity(l, node).z;
    // Bent like x ln x there, no worse.
    for (const double step : {1e-12, 1e-9, 1e-7})
      for (const Vec3 off : {Vec3{0, step, 0}, {0, -step, 0}, {0, 0, step}, {0, step, step}})
        EXPECT_NEAR(velocity(l, node + off).z, on, 1e-3 * std::abs(on)) << "node " << i << ", " << step;
  }
}

TEST(WakeSheet, IsEvenAndOddAboutItsPlane) {
  const vlm::Lattice l = lattice(rectangle(2), 10);
  for (const double height : {1e-4, 0.02, 0.3}) {
    const Vec3 up = velocity(l, {2, 0.37, height}), down = velocity(l, {2, 0.37, -height});
    EXPECT_NEAR(up.z, down.z, 1e-13);
    EXPECT_NEAR(up.y, -down.y, 1e-13);
    EXPECT_LT(up.y, 0); // above a lifting wing's wake the water goes inboard
  }
}

TEST(WakeSheet, UniformStripsTendToTheSameSheet) {
  const Vec3 at{3, 0.4, 0.1};
  const double fine = velocity(lattice(rectangle(2), 80), at).z;
  const double coarse = velocity(lattice(rectangle(2), 20, vlm::Spacing::uniform), at).z;
  EXPECT_NEAR(coarse / fine, 1, 0.02);
  EXPECT_NEAR(velocity(lattice(rectangle(2), 80, vlm::Spacing::uniform), at).z / fine, 1, 0.005);
}

} // namespace
