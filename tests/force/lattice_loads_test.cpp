#include <gtest/gtest.h>

#include <array>

#include <vlm/base/error.hpp>
#include <vlm/force/lattice_loads.hpp>

#include "../support/wings.hpp"

namespace {

using namespace wings;
using vlm::Load;
using vlm::Vec3;

void expect_sums_to_the_forms(const vlm::Craft& craft) {
  const std::array turns{vlm::TurnShape{1, std::nullopt}};
  const vlm::Responses r =
      vlm::make_responses(craft, counts_with_all(), 0.03, turns, pool(), vlm::Motions::all);
  const vlm::Condition condition{0.05, 0.04, {0.02, 0.01, -0.03}};
  const std::array turn{0.03};
  const double speed = 5.5;
  const vlm::LatticeLoads loads = vlm::lattice_loads(r, condition, turn, speed, craft.water.density, pool());
  const vlm::Lattice& lattice = r.system.lattice();
  std::vector<Load> parts(r.parts.size());
  ASSERT_EQ(parts.size(), 4U);
  for (std::size_t j = 0; j < lattice.strips.size(); ++j)
    parts[lattice.strips[j].surface] += loads.strips[j] + loads.legs[j][0] + loads.legs[j][1];
  ASSERT_EQ(loads.rings.size(), 12U);
  for (const Load& ring : loads.rings)
    parts.back() += ring;
  const std::vector<double> a = vlm::amplitudes(r, condition, turn);
  const double scale = speed * speed * vlm::value(r.craft.force[2], a);
  for (std::size_t i = 0; i < parts.size(); ++i) {
    const auto& [force, moment, far_drag] = r.parts[i];
    const Vec3 about = vlm::moment_about(craft.moment_point, parts[i]);
    EXPECT_NEAR(parts[i].force.x, speed * speed * vlm::value(force[0], a), 1e-10 * scale);
    EXPECT_NEAR(parts[i].force.y, speed * speed * vlm::value(force[1], a), 1e-10 * scale);
    EXPECT_NEAR(parts[i].force.z, speed * speed * vlm::value(force[2], a), 1e-10 * scale);
    EXPECT_NEAR(about.x, speed * speed * vlm::value(moment[0], a), 1e-10 * scale);
    EXPECT_NEAR(about.y, speed * speed * vlm::value(moment[1], a), 1e-10 * scale);
    EXPECT_NEAR(about.z, speed * speed * vlm::value(moment[2], a), 1e-10 * scale);
  }
}

TEST(LatticeLoads, SumToTheFormsOfEveryPart) {
  expect_sums_to_the_forms(craft_with_all());
}

TEST(LatticeLoads, SumToTheFormsWhereRootsAreCarriedThroughTheBody) {
  const vlm::Craft craft = craft_with_carried_roots();
  const vlm::Lattice lattice = vlm::make_lattice(craft, counts_with_all(), 0.03);
  ASSERT_EQ(lattice.rows[0].ends[1], vlm::RowEnd::carried);
  ASSERT_EQ(lattice.rows[1].ends[0], vlm::RowEnd::carried);
  expect_sums_to_the_forms(craft);
}

// A lone spheroid at an angle: by slender-body theory (Munk, NACA Report 184, 1924) the force of a ring is
// 2 q α dS/dx, upward where the body grows and the opposite where it shrinks. Its fineness of 10 is not
// slender: the factor k₂ − k₁ of a spheroid of 10 is 0.939 (the same report).
TEST(LatticeLoads, OfASlenderBodyFollowTheGrowthOfItsCuts) {
  vlm::Surface far = rectangle(1, "far");
  far.position = {0, 0, 400};
  vlm::Craft craft = craft_of({far});
  vlm::FuselageSize size;
  size.nose = -5, size.length = 10, size.width = 1, size.height = 1;
  size.nose_length = 5, size.tail_length = 5, size.tail_shape = vlm::EndShape::ellipse;
  craft.fuselage = vlm::shaped_fuselage(vlm::CutShape::elliptical, size);
  vlm::LatticeOptions options = counts({{4, 2}});
  options.body = {24, 12};
  const vlm::Responses r = vlm::make_responses(craft, options, 0, {}, pool());
  const double alpha = 0.02, density = craft.water.density;
  const vlm::LatticeLoads loads = vlm::lattice_loads(r, {alpha, 0, {}}, {}, 1, density, pool());
  double front = 0, back = 0;
  for (std::size_t k = 0; k < 12; ++k) {
    front += loads.rings[k].force.z;
    back += loads.rings[23 - k].force.z;
    EXPECT_GT(loads.rings[k].force.z, 0) << k;
  }
  const double greatest_cut = 0.25 * std::numbers::pi;
  EXPECT_NEAR(front / (0.5 * density * 2 * alpha * 0.939 * greatest_cut), 1, 0.02);
  EXPECT_NEAR(back / front, -1, 1e-10);
}

} // namespace
