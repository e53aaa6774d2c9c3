// Loads and warnings of a craft that banks toward the still surface.

#include <atomic>
#include <cmath>
#include <optional>

#include <gtest/gtest.h>

#include "../support/angles.hpp"
#include "../support/wings.hpp"

#include <vlm/base/error.hpp>
#include <vlm/force/polar_point.hpp>
#include <vlm/study/reach_study.hpp>

namespace {

using namespace wings;

using angles::degree;

vlm::Craft under_water() {
  vlm::Craft craft = craft_of({tapered(6, 0.5)}); // span 6, tip chord 2/3
  craft.still_surface = {vlm::Boundary::free, 3, {}, 0};
  return craft;
}

std::vector<vlm::ReachPoint> points_of(const vlm::Craft& craft, const vlm::ReachStudy& study,
                                       int strips = 12) {
  std::vector<vlm::ReachPoint> points;
  std::vector<vlm::PanelCounts> each(craft.surfaces.size(), {strips, 4});
  vlm::run_reach_study(
      craft, counts(each), study, [&](const vlm::ReachPoint& p) { points.push_back(p); }, {}, pool());
  return points;
}

TEST(ReachStudy, HasTheLoadsOfASetUpOfItsOwn) {
  const vlm::ReachStudy study{{0.06, 0.03, {}}, {1.5, 2}, {0, 15 * degree}};
  const std::vector<vlm::ReachPoint> points = points_of(under_water(), study);
  ASSERT_EQ(points.size(), 4U);
  vlm::Craft craft = under_water();
  craft.still_surface.depth = 2;
  craft.still_surface.bank = 15 * degree;
  const vlm::Responses r = vlm::make_responses(craft, counts({{12, 4}}), 0.06, {}, pool(), vlm::Motions::all);
  const vlm::PolarPoint expected = vlm::polar_point(r, study.condition);
  EXPECT_EQ(points[3].reach.depth, 2);
  EXPECT_EQ(points[3].reach.bank, 15 * degree);
  ASSERT_EQ(points[3].strips.size(), 12U);
  for (std::size_t j = 0; j < 12; ++j) {
    EXPECT_EQ(points[3].strips[j].circulation, expected.strip_circulation[j]) << j;
    EXPECT_EQ(points[3].strips[j].level_circulation, points[2].strips[j].circulation) << j;
  }
}

// Towards a plane of constant pressure lift falls: the raised tip loses some, the lowered one gains.
TEST(ReachStudy, UnloadsTheTipThatRises) {
  const std::vector<vlm::ReachPoint> points = points_of(under_water(), {{0.06, 0, {}}, {2}, {30 * degree}});
  ASSERT_EQ(points[0].strips.size(), 12U);
  const vlm::StripReach *port = vlm::outermost_strip(points[0].reach.tips[0], points[0].strips),
                        *starboard = vlm::outermost_strip(points[0].reach.tips[1], points[0].strips);
  ASSERT_EQ(port, &points[0].strips.front());
  ASSERT_EQ(starboard, &points[0].strips.back());
  EXPECT_LT(port->circulation, 0.99 * port->level_circulation.value());
  EXPECT_GT(starboard->circulation, 1.001 * starboard->level_circulation.value());
  EXPECT_LT(port->depth, starboard->depth);
}

TEST(ReachStudy, MirrorsWithTheBank) {
  const std::vector<vlm::ReachPoint> points =
      points_of(under_water(), {{0.06, 0, {}}, {2}, {-20 * degree, 20 * degree}});
  for (std::size_t j = 0; j < 12; ++j) {
    EXPECT_NEAR(points[0].strips[j].circulation, points[1].strips[11 - j].circulation, 1e-9);
    EXPECT_NEAR(points[0].strips[j].depth, points[1].strips[11 - j].depth, 1e-12);
  }
}

// Level, at 0.06 rad: the root's leading edge is the highest place of this wing, whose edges run aft.
TEST(ReachStudy, WarnsOfAirByTheNamedLimits) {
  const vlm::Craft craft = under_water();
  const auto level = [&](double alpha, double depth) {
    return points_of(craft, {{alpha, 0, {}}, {depth}, {0}})[0];
  };
  EXPECT_EQ(vlm::worst(level(0.06, 2).warnings), vlm::Ventilation::none); // all deeper than 1.4 chords
  EXPECT_EQ(vlm::worst(level(0.06, 0.9).warnings), vlm::Ventilation::possible);
  const vlm::ReachPoint near = level(0.06, 0.4);
  ASSERT_EQ(near.warnings.size(), 1U);
  EXPECT_EQ(near.warnings[0].level, vlm::Ventilation::likely);
  EXPECT_EQ(near.warnings[0].criterion, vlm::VentilationCriterion::suction);
  EXPECT_LT(near.warnings[0].figure, vlm::likely_depth_in_chords);
  // Pushing down, its low pressure is below.
  EXPECT_EQ(vlm::worst(level(-0.06, 0.4).warnings), vlm::Ventilation::none);
}

TEST(ReachStudy, GoesOnWhereATipIsOutOfTheWater) {
  const double first = std::asin(1 / 3.0); // level tips, half span 3
  const std::vector<vlm::ReachPoint> points =
      points_of(under_water(), {{0, 0, {}}, {1}, {first + 0.01, first - 0.01}});
  ASSERT_EQ(points.size(), 2U);
  EXPECT_TRUE(points[0].strips.empty());
  EXPECT_NE(points[0].refusal.find("above the still surface"), std::string::npos) << points[0].refusal;
  ASSERT_EQ(points[0].warnings.size(), 1U);
  EXPECT_EQ(points[0].warnings[0].level, vlm::Ventilation::certain);
  EXPECT_LT(points[0].warnings[0].figure, 0);
  EXPECT_EQ(points[1].refusal, "");
  EXPECT_EQ(points[1].strips.size(), 12U);
}

TEST(ReachStudy, WarnsOfAMastThatIsYawed) {
  vlm::Craft craft = under_water();
  vlm::Surface mast =
      from_stations("mast", {{0, 0.5, 0, 1, 0, flat_section()}, {0, 6, 0, 1, 0, flat_section()}});
  mast.pierces = true;
  craft.surfaces.push_back(mast);
  const auto warned = [&](const vlm::Condition& condition) {
    std::optional<vlm::VentilationWarning> found;
    const std::vector<vlm::ReachPoint> points = points_of(craft, {condition, {3}, {0}}, 8);
    for (const vlm::VentilationWarning& w : points[0].warnings)
      if (w.criterion == vlm::VentilationCriterion::mast)
        found = w;
    return found;
  };
  EXPECT_FALSE(warned({0, 5.9 * degree, {}}));
  const auto yawed = warned({0, 6.1 * degree, {}});
  ASSERT_TRUE(yawed);
  EXPECT_NEAR(yawed->figure, 6.1 * degree, 1e-12);
  EXPECT_NEAR(yawed->place.z, 3, 1e-9);
  // Rolling starboard down at p b/2V = 0.12, p = 0.12·2/6 = 0.04 rad/s at 1 m/s, the mast 3 m above the
  // moment point moves to starboard at 0.12 m/s, into the water there: 6.84 degrees.
  const auto rolling = warned({0, 0, {0.12, 0, 0}});
  ASSERT_TRUE(rolling);
  EXPECT_NEAR(rolling->figure, std::atan(0.12), 1e-9);
}

TEST(ReachStudy, RefusesAGridThatIsNone) {
  const vlm::Craft craft = under_water();
  EXPECT_THROW(points_of(craft, {{}, {}, {0}}), vlm::Error);
  EXPECT_THROW(points_of(craft, {{}, {1}, {}}), vlm::Error);
  EXPECT_THROW(points_of(craft, {{}, {-1}, {0}}), vlm::Error);
  EXPECT_THROW(points_of(craft, {{}, {1}, {85 * degree}}), vlm::Error);
}

TEST(ReachStudy, StopsWhenCancelled) {
  const vlm::Craft craft = under_water();
  std::atomic<bool> cancel = false;
  vlm::RunControl control;
  control.cancel = &cancel;
  std::size_t done = 0;
  const vlm::StudySummary summary = vlm::run_reach_study(
      craft, counts({{8, 4}}), {{}, {2, 3}, {0, 0.1, 0.2}},
      [&](const vlm::ReachPoint&) { cancel = ++done == 4; }, control, pool());
  EXPECT_FALSE(summary.complete);
  EXPECT_EQ(summary.num_points, 4U);
}

} // namespace
