// How far crafts reach to the still surface, against closed forms and against what a lattice takes.

#include <cmath>

#include <gtest/gtest.h>

#include "../support/angles.hpp"
#include "../support/wings.hpp"

#include <vlm/base/error.hpp>
#include <vlm/file/case.hpp>
#include <vlm/lattice/lattice.hpp>
#include <vlm/ride/reach.hpp>
#include <vlm/shape/outline.hpp>

namespace {

using namespace wings;

using angles::degree;

vlm::Craft at_depth(const vlm::Surface& wing, double depth, double bank = 0) {
  vlm::Craft craft = craft_of({wing});
  craft.still_surface = {vlm::Boundary::free, depth, {}, bank};
  return craft;
}

// Straight from the middle, at height 0, to tips at a height.
vlm::Surface bent(double half_span, double tip_height) {
  return from_stations("wing", {{-half_span, tip_height, 0, 0.2, 0, flat_section()},
                                {0, 0, 0, 0.2, 0, flat_section()},
                                {half_span, tip_height, 0, 0.2, 0, flat_section()}});
}

// The root t = tan(bank/2) of depth = height cos(bank) + half_span sin(bank), with cos and sin written in t:
// (depth + height) t² − 2 half_span t + depth − height = 0.
double breach_by_half_angle(double half_span, double height, double depth) {
  return 2 * std::atan((half_span - std::sqrt(half_span * half_span + height * height - depth * depth)) /
                       (depth + height));
}

TEST(Reach, OfAFlatWingFallsWithTheSineOfTheBank) {
  const double half = 0.45, depth = 0.3, bank = 20 * degree;
  const vlm::Reach r = vlm::reach(at_depth(bent(half, 0), depth, bank), 0);
  ASSERT_EQ(r.tips.size(), 2U);
  EXPECT_NEAR(r.tips[0].highest.depth, depth - half * std::sin(bank), 1e-15); // port rises, starboard down
  EXPECT_NEAR(r.tips[1].highest.depth, depth + half * std::sin(bank), 1e-15);
  EXPECT_NEAR(r.tips[0].breach.starboard_down.value(), std::asin(depth / half), 1e-14);
  EXPECT_FALSE(r.tips[0].breach.port_down);
  EXPECT_NEAR(r.tips[1].breach.port_down.value(), -std::asin(depth / half), 1e-14);
  EXPECT_FALSE(r.tips[1].breach.starboard_down);
  EXPECT_NEAR(vlm::least_depth(r).value(), half * std::sin(bank), 1e-15);
}

TEST(Reach, OfRaisedAndDroopedTipsBreachesByTheHalfAngle) {
  const double half = 0.45, depth = 0.25;
  for (const double height : {-0.12, -0.05, 0.05, 0.12}) {
    const vlm::Reach r = vlm::reach(at_depth(bent(half, height), depth, 10 * degree), 0);
    const double c = std::cos(10 * degree), s = std::sin(10 * degree);
    EXPECT_NEAR(r.tips[0].highest.depth, depth - height * c - half * s, 1e-15) << height;
    const double expected = breach_by_half_angle(half, height, depth);
    EXPECT_NEAR(r.tips[0].breach.starboard_down.value(), expected, 1e-13) << height;
    EXPECT_NEAR(r.surfaces[0].breach.starboard_down.value(), expected, 1e-13) << height;
    EXPECT_NEAR(r.surfaces[0].breach.port_down.value(), -expected, 1e-13) << height;
  }
}

TEST(Reach, OfDroopedTipsWhenLevelIsThatOfTheMiddle) {
  const vlm::Reach r = vlm::reach(at_depth(bent(0.45, -0.1), 0.25), 0);
  EXPECT_NEAR(r.surfaces[0].highest.point.y, 0, 1e-15);
  EXPECT_NEAR(r.surfaces[0].highest.depth, 0.25, 1e-15);
  EXPECT_NEAR(r.tips[1].highest.depth, 0.35, 1e-15);
  EXPECT_NEAR(vlm::least_depth(r).value(), 0, 1e-15);
}

// Nose-up, what lies ahead of the origin comes up and what lies aft goes down, by x sin(alpha).
TEST(Reach, AnAngleOfAttackPitchesTheTips) {
  vlm::Surface wing = bent(0.45, 0);
  wing.position = {-0.5, 0, 0};
  const double alpha = 6 * degree;
  const vlm::Reach ahead = vlm::reach(at_depth(wing, 0.3), alpha);
  EXPECT_NEAR(ahead.tips[0].highest.depth, 0.3 - 0.5 * std::sin(alpha), 1e-15);
  EXPECT_FALSE(ahead.tips[0].highest.trailing);
  EXPECT_NEAR(ahead.tips[0].breach.starboard_down.value(),
              breach_by_half_angle(0.45, 0.5 * std::sin(alpha), 0.3), 1e-13);
  const vlm::Reach nose_down = vlm::reach(at_depth(wing, 0.3), -alpha);
  EXPECT_NEAR(nose_down.tips[0].highest.depth, 0.3 + 0.3 * std::sin(alpha), 1e-15);
  EXPECT_TRUE(nose_down.tips[0].highest.trailing);
}

TEST(Reach, IsMirroredWithTheBank) {
  vlm::Case heron = vlm::read_case(VLM_CASES_DIR "/lake-rescue/heron-880.toml");
  heron.craft.still_surface.depth = 0.15;
  heron.craft.still_surface.bank = 17 * degree;
  const vlm::Reach right = vlm::reach(heron.craft, 0.06);
  heron.craft.still_surface.bank = -17 * degree;
  const vlm::Reach left = vlm::reach(heron.craft, 0.06);
  ASSERT_EQ(right.tips.size(), 4U); // the mast has none
  ASSERT_EQ(right.surfaces.size(), 2U);
  for (std::size_t i = 0; i < 4; i += 2) {
    EXPECT_NEAR(right.tips[i].highest.depth, left.tips[i + 1].highest.depth, 1e-12) << i;
    EXPECT_NEAR(right.tips[i].breach.starboard_down.value(), -right.tips[i + 1].breach.port_down.value(),
                1e-12);
  }
  for (std::size_t i = 0; i < 2; ++i) {
    EXPECT_NEAR(right.surfaces[i].highest.depth, left.surfaces[i].highest.depth, 1e-12) << i;
    EXPECT_NEAR(right.surfaces[i].highest.point.y, -left.surfaces[i].highest.point.y, 1e-6) << i;
    EXPECT_NEAR(right.surfaces[i].breach.starboard_down.value(), -right.surfaces[i].breach.port_down.value(),
                1e-12);
  }
}

// A gull wing: its front view is highest between middle and tip. On a smooth curve that place lies between
// stations; dense samples of the curve come within the square of their spacing, 1e-9.
TEST(Reach, FindsTheLeastDeepPlaceBetweenStations) {
  std::vector<vlm::Station> stations;
  const double y[] = {-0.5, -0.37, -0.21, 0, 0.21, 0.37, 0.5}, z[] = {-0.1, 0.03, 0.06, 0, 0.06, 0.03, -0.1};
  for (int i = 0; i < 7; ++i)
    stations.push_back({y[i], z[i], 0.3 * std::abs(y[i]), 0.1, 0, flat_section()});
  const vlm::Surface gull = from_stations("gull", stations, vlm::Curve::smooth);
  const double depth = 0.2, bank = 13 * degree, alpha = 0.04;
  const vlm::Reach r = vlm::reach(at_depth(gull, depth, bank), alpha);
  const vlm::Outline outline(gull);
  double least = 1;
  for (int i = 0; i <= 20'000; ++i)
    least = std::min(
        least, vlm::depth_of(outline.at(outline.length() * i / 20'000).leading_edge, alpha, depth, bank));
  EXPECT_NEAR(r.surfaces[0].highest.depth, least, 1e-9);
  EXPECT_LE(r.surfaces[0].highest.depth, least + 1e-15);
  EXPECT_LT(r.surfaces[0].highest.depth, r.tips[0].highest.depth - 0.01);
  // At the bank of breach the least deep place lies in the plane, to rounding.
  const vlm::Reach at = vlm::reach(at_depth(gull, depth, r.surfaces[0].breach.starboard_down.value()), alpha);
  EXPECT_NEAR(at.surfaces[0].highest.depth, 0, 1e-14);
}

// A high middle comes out before tips that would, at a far greater bank, come out of deeper water.
TEST(Reach, TellsTheFirstOfSeveralBreaches) {
  const vlm::Surface wing = from_stations("wing", {{-1.1, 0, 0, 0.1, 0, flat_section()},
                                                   {-0.3, 0.99, 0, 0.1, 0, flat_section()},
                                                   {0.3, 0.99, 0, 0.1, 0, flat_section()},
                                                   {1.1, 0, 0, 0.1, 0, flat_section()}});
  const vlm::Reach r = vlm::reach(at_depth(wing, 1), 0);
  EXPECT_NEAR(r.surfaces[0].breach.starboard_down.value(), breach_by_half_angle(0.3, 0.99, 1), 1e-12);
  EXPECT_NEAR(r.tips[0].breach.starboard_down.value(), std::asin(1 / 1.1), 1e-12);
}

TEST(Reach, OfAWingOutOfTheWaterWhenLevelIsNoBankAtAll) {
  const vlm::Reach r = vlm::reach(at_depth(bent(0.45, 0.3), 0.25), 0);
  EXPECT_NEAR(r.tips[0].highest.depth, -0.05, 1e-15);
  EXPECT_EQ(r.surfaces[0].breach.starboard_down, 0);
  EXPECT_EQ(r.surfaces[0].breach.port_down, 0);
  EXPECT_NEAR(vlm::least_depth(r).value(), 0.3, 1e-15);
}

TEST(Reach, OfADeepWingNeverEnds) {
  const vlm::Reach r = vlm::reach(at_depth(bent(0.45, 0), 0.45), 0);
  EXPECT_FALSE(r.surfaces[0].breach.starboard_down); // at 90 degrees only
  EXPECT_FALSE(vlm::first_to_breach(r, true));
}

TEST(Reach, NamesWhatComesOutFirst) {
  vlm::Surface small = bent(0.2, 0.05);
  small.name = "tail";
  small.position = {1, 0, 0};
  vlm::Craft craft = craft_of({bent(0.45, 0), small});
  craft.still_surface = {vlm::Boundary::free, 0.1, {}, 0};
  const auto first = vlm::first_to_breach(vlm::reach(craft, 0), true);
  ASSERT_TRUE(first);
  EXPECT_EQ(first->surface, 0U); // asin(0.1/0.45) = 12.8 degrees; the tail by the half angle at 15.0
  craft.still_surface.depth = 0.055;
  EXPECT_EQ(vlm::first_to_breach(vlm::reach(craft, 0), false)->surface, 1U); // 7.0 degrees and 1.4
}

TEST(Reach, CountsNoEndThatIsJoinedOrInTheFuselage) {
  const vlm::Surface port =
      from_stations("port", {{-0.5, 0, 0, 0.1, 0, flat_section()}, {0, 0, 0, 0.1, 0, flat_section()}});
  const vlm::Surface starboard =
      from_stations("starboard", {{0, 0, 0, 0.1, 0, flat_section()}, {0.5, 0, 0, 0.1, 0, flat_section()}});
  vlm::Craft craft = craft_of({port, starboard});
  craft.still_surface = {vlm::Boundary::free, 0.3, {}, 0};
  const vlm::Reach joined = vlm::reach(craft, 0);
  ASSERT_EQ(joined.tips.size(), 2U);
  EXPECT_FALSE(joined.tips[0].last);
  EXPECT_TRUE(joined.tips[1].last);

  vlm::Craft half = craft_of({starboard});
  half.fuselage = body(-0.2, 0.6, 0.05, 0.05, 0.1, 0.2);
  half.still_surface = craft.still_surface;
  const vlm::Reach on_body = vlm::reach(half, 0);
  ASSERT_EQ(on_body.tips.size(), 1U);
  EXPECT_TRUE(on_body.tips[0].last);
}

// The lattice refuses a wing out of the water. It looks at 401 places along the span: at the tips, which are
// among them, it must agree to rounding.
TEST(Reach, AgreesWithWhatALatticeTakes) {
  vlm::Case heron = vlm::read_case(VLM_CASES_DIR "/lake-rescue/heron-880.toml");
  const double alpha = 0.05;
  for (const double depth : {0.15, 0.3}) {
    heron.craft.still_surface.depth = depth;
    const vlm::Reach level = vlm::reach(heron.craft, alpha);
    const auto first = vlm::first_to_breach(level, true);
    ASSERT_TRUE(first);
    for (const double sign : {-1.0, 1.0}) {
      heron.craft.still_surface.bank = sign * (first->breach.starboard_down.value() - 1e-6);
      EXPECT_NO_THROW(vlm::make_lattice(heron.craft, heron.lattice, alpha)) << depth;
      heron.craft.still_surface.bank = sign * (first->breach.starboard_down.value() + 1e-6);
      EXPECT_THROW(vlm::make_lattice(heron.craft, heron.lattice, alpha), vlm::Error) << depth;
    }
    heron.craft.still_surface.bank = 0;
  }
}

TEST(Reach, NeedsADepth) {
  EXPECT_THROW(vlm::reach(craft_of({bent(0.45, 0)}), 0), vlm::Error);
  EXPECT_THROW(vlm::reach(at_depth(bent(0.45, 0), 0.3), std::nan("")), vlm::Error);
}

} // namespace
