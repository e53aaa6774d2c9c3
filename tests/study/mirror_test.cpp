// The image of the still surface and of a wall against crafts that are drawn twice, and its symmetries.

#include <gtest/gtest.h>

#include "../support/wings.hpp"

#include <vlm/base/error.hpp>
#include <vlm/flow/influence_state.hpp>
#include <vlm/study/polar.hpp>

namespace {

using namespace wings;

vlm::Surface turned_wing(const std::string& name, double height, double incidence) {
  vlm::Surface wing = tapered(6, 0.5, 0.2, name);
  wing.position = {0, 0, height};
  wing.incidence = incidence;
  return wing;
}

// A wing over a wall sees what the lower half of two wings does that are each other's mirror image.
TEST(Mirror, AWallIsACraftDrawnTwice) {
  const double clearance = 0.8, incidence = 0.05;
  vlm::Craft single = craft_of({turned_wing("wing", 0, incidence)});
  single.still_surface = {vlm::Boundary::wall, {}, clearance, 0};
  const vlm::PolarPoint a =
      vlm::polar_point(vlm::make_responses(single, counts({{20, 6}}), 0, {}, pool()), {0});
  const vlm::Craft twice =
      craft_of({turned_wing("wing", 0, incidence), turned_wing("image", -2 * clearance, -incidence)});
  const vlm::PolarPoint b =
      vlm::polar_point(vlm::make_responses(twice, counts({{20, 6}, {20, 6}}), 0, {}, pool()), {0});
  EXPECT_NEAR(a.parts[0].lift / b.parts[0].lift, 1, 1e-3);
  EXPECT_NEAR(a.parts[0].induced_drag / b.parts[0].induced_drag, 1, 2e-3);
  EXPECT_NEAR(a.parts[0].pitching_moment / b.parts[0].pitching_moment, 1, 1e-3);
}

// Under the still surface the image circulates the same way: the same wing above it, turned the same way.
TEST(Mirror, TheStillSurfaceIsABiplaneOfTheSameSense) {
  const double depth = 0.8, incidence = 0.02;
  vlm::Craft single = craft_of({turned_wing("wing", 0, incidence)});
  single.still_surface = {vlm::Boundary::free, depth, {}, 0};
  const vlm::PolarPoint a =
      vlm::polar_point(vlm::make_responses(single, counts({{20, 6}}), 0, {}, pool()), {0});
  const vlm::Craft twice =
      craft_of({turned_wing("wing", 0, incidence), turned_wing("image", 2 * depth, incidence)});
  const vlm::Responses r = vlm::make_responses(twice, counts({{20, 6}, {20, 6}}), 0, {}, pool());
  for (std::size_t j = 0; j < 20; ++j) // by circulation: forces on a biplane differ in second order
    EXPECT_NEAR(a.strip_circulation[j] / r.strip_circulation(j, 0), 1, 1e-3) << j;
}

TEST(Mirror, BankRightsAWingAndMirrorsWithIt) {
  const auto banked = [](double bank) {
    vlm::Craft craft = craft_of({tapered(6, 0.5)});
    craft.still_surface = {vlm::Boundary::free, 1.0, {}, bank};
    return vlm::polar_point(vlm::make_responses(craft, counts({{20, 6}}), 0.05, {}, pool()), {0.05});
  };
  const vlm::PolarPoint level = banked(0), right = banked(0.15), left = banked(-0.15);
  // Starboard down, the deeper half lifts more and raises itself.
  EXPECT_LT(right.rolling_moment_coefficient, -1e-4);
  EXPECT_NEAR(right.rolling_moment_coefficient, -left.rolling_moment_coefficient, 1e-9);
  EXPECT_NEAR(right.side_force_coefficient, -left.side_force_coefficient, 1e-9);
  EXPECT_NEAR(right.lift_coefficient, left.lift_coefficient, 1e-9);
  EXPECT_LT(right.lift_coefficient,
            level.lift_coefficient); // the shallow tip loses more than the deep one gains
}

TEST(Mirror, OnlyAnUnbankedCraftIsSolvedInHalves) {
  vlm::Craft craft = craft_of({tapered(6, 0.5)});
  craft.still_surface = {vlm::Boundary::free, 1.0, {}, 0};
  EXPECT_TRUE(vlm::make_responses(craft, counts({{20, 6}}), 0.05, {}, pool()).system.split_by_symmetry());
  craft.still_surface.bank = 0.1;
  EXPECT_FALSE(vlm::make_responses(craft, counts({{20, 6}}), 0.05, {}, pool()).system.split_by_symmetry());
}

TEST(Mirror, AWakeThroughTheStillSurfaceIsRefused) {
  vlm::Craft craft = craft_of({tapered(6, 0.5)});
  craft.still_surface = {vlm::Boundary::free, 1.0, {}, 0};
  const vlm::Lattice lattice = vlm::make_lattice(craft, counts({{20, 6}}), 0.05);
  EXPECT_THROW(vlm::Influence(lattice, {1, 0, 0}), vlm::Error);
}

// The normal velocity on a wall vanishes, and so does the tangential one that circulation causes on a plane
// of constant pressure; with a fuselage and its sources as with wings.
TEST(Mirror, PlanesHaveTheirCondition) {
  for (const vlm::Boundary boundary : {vlm::Boundary::free, vlm::Boundary::wall}) {
    vlm::Craft craft = craft_of({tapered(6, 0.5)});
    craft.fuselage = body(-1, 4, 0.3, 0.3, 1, 1);
    craft.still_surface = {boundary, 1.0, 1.0, 0};
    if (boundary == vlm::Boundary::wall)
      craft.still_surface.depth.reset();
    const vlm::Lattice lattice = vlm::make_lattice(craft, counts({{20, 6}}), 0);
    const vlm::Influence influence(lattice, {1, 0, 0});
    std::vector<double> x(influence.state().row_size), y = x, z = x;
    std::vector<vlm::Vec3> from_sources(lattice.sources.size());
    const vlm::Vec3 on_plane{0.7, 0.4, boundary == vlm::Boundary::free ? 1.0 : -1.0};
    influence.state().wash_row({on_plane, {1, 0, 0}}, std::nullopt, x);
    influence.state().wash_row({on_plane, {0, 1, 0}}, std::nullopt, y);
    influence.state().wash_row({on_plane, {0, 0, 1}}, std::nullopt, z);
    influence.source_row(on_plane, from_sources);
    for (const std::size_t i : influence.state().place_in_row)
      EXPECT_NEAR(boundary == vlm::Boundary::free ? std::hypot(x[i], y[i]) : z[i], 0, 1e-12);
    for (const vlm::Vec3& v : from_sources)
      EXPECT_NEAR(boundary == vlm::Boundary::free ? std::hypot(v.x, v.y) : v.z, 0, 1e-12);
  }
}

} // namespace
