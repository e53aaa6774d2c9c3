#include <vlm/force/lift_limit.hpp>

#include <cmath>
#include <optional>

#include <gtest/gtest.h>

#include "../support/wings.hpp"

namespace {

using namespace vlm;

Section limited(std::optional<double> most_lift) {
  Section section = naca_section("0012");
  section.max_lift_coefficient = most_lift;
  return section;
}

// A wing of 2 m with stations at 0, 1 and 2 m of its span.
Surface wing(std::optional<double> left, std::optional<double> middle, std::optional<double> right,
             Curve curve = Curve::straight, const std::string& name = "wing") {
  return wings::from_stations(name,
                              {{-1, 0, 0, 0.2, 0, limited(left)},
                               {0, 0, 0, 0.2, 0, limited(middle)},
                               {1, 0, 0, 0.2, 0, limited(right)}},
                              curve);
}

// The wing in ten even strips, their middles at 0.1, 0.3 ... 1.9 m.
std::vector<double> limits_of(const Surface& surface) {
  const Craft craft = wings::craft_of({surface});
  LatticeOptions options = wings::counts({{10, 1}});
  options.spacing = Spacing::uniform;
  return lift_limits(craft, make_lattice(craft, options));
}

TEST(LiftLimit, RunsStraightBetweenStations) {
  for (const Curve curve : {Curve::straight, Curve::smooth}) {
    const std::vector<double> limits = limits_of(wing(1.0, 1.2, 0.8, curve));
    const double wanted[] = {1.02, 1.06, 1.10, 1.14, 1.18, 1.16, 1.08, 1.00, 0.92, 0.84};
    ASSERT_EQ(limits.size(), 10U);
    for (std::size_t j = 0; j < 10; ++j)
      EXPECT_NEAR(limits[j], wanted[j], 1e-12) << j;
  }
}

TEST(LiftLimit, IsThatOfTheNearerStationIfOneAloneHasIt) {
  const std::vector<double> limits = limits_of(wing(1.1, {}, 0.9));
  for (const std::size_t j : {0U, 1U})
    EXPECT_EQ(limits[j], 1.1) << j;
  for (const std::size_t j : {3U, 4U, 5U, 6U})
    EXPECT_TRUE(std::isinf(limits[j]) && limits[j] > 0) << j;
  for (const std::size_t j : {8U, 9U})
    EXPECT_EQ(limits[j], 0.9) << j;
}

TEST(LiftLimit, StandsBesideEachStripOfEverySurface) {
  Surface tail = wing({}, {}, {}, Curve::straight, "tail");
  tail.position = {1, 0, 0};
  const Craft craft = wings::craft_of({wing(1.1, 1.1, 1.1), tail});
  const Lattice lattice = make_lattice(craft, wings::counts({{6, 2}, {4, 2}}));
  const std::vector<double> limits = lift_limits(craft, lattice);
  ASSERT_EQ(limits.size(), lattice.strips.size());
  for (std::size_t j = 0; j < limits.size(); ++j)
    if (lattice.strips[j].surface == 0)
      EXPECT_DOUBLE_EQ(limits[j], 1.1) << j;
    else
      EXPECT_TRUE(std::isinf(limits[j])) << j;
}

} // namespace
