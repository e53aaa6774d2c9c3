// A range of crafts beside each other, against what follows from similarity alone.

#include <array>
#include <cmath>

#include <gtest/gtest.h>

#include "../support/wings.hpp"

#include <vlm/base/error.hpp>
#include <vlm/base/gravity.hpp>
#include <vlm/study/comparison.hpp>

namespace {

using namespace wings;

// A wing of mean chord 0.1 m and span 0.6 m and a tail of a third of its size, in heavy water.
vlm::Craft small_craft(const std::string& title, double wing_scale = 1, bool with_tail = true) {
  vlm::Surface wing = stretched(tapered(6, 0.5, 0.2), std::pow(0.1 * wing_scale, 2) * 6, std::nullopt);
  std::vector<vlm::Surface> surfaces{wing};
  if (with_tail) {
    vlm::Surface tail = stretched(rectangle(4, "tail"), 0.01, std::nullopt);
    tail.position = {0.6, 0, 0.03};
    tail.incidence = -0.02;
    surfaces.push_back(tail);
  }
  vlm::Craft craft = craft_of(surfaces);
  craft.title = title;
  craft.water.density = 1000;
  return craft;
}

vlm::Ride ride_of(const vlm::Craft& craft) {
  vlm::Loading loading;
  loading.rider = {60, 1, 10};
  loading.deck.height = 0.8;
  std::vector<vlm::PanelCounts> each(craft.surfaces.size(), {8, 3});
  return vlm::make_ride(craft, counts(each), {}, {}, loading);
}

std::vector<vlm::Ride> rides_of(const std::vector<vlm::Craft>& crafts) {
  std::vector<vlm::Ride> rides;
  for (const vlm::Craft& craft : crafts)
    rides.push_back(ride_of(craft));
  return rides;
}

double area(const vlm::Craft& craft) {
  return outline_figures(craft.surfaces.front()).area;
}

vlm::Comparison compared(const std::vector<vlm::Craft>& crafts, const vlm::ComparisonChoice& choice) {
  return vlm::compare(rides_of(crafts), choice, {}, pool());
}

TEST(EqualLift, CraftHasItsOwnAreaAgainstItself) {
  const vlm::Ride ride = ride_of(small_craft("one"));
  EXPECT_DOUBLE_EQ(equal_lift_area(ride, lift_at(ride, 5, 0.06, pool()), 5, 0.06, pool()), area(ride.craft));
}

// Of a flat wing alone lift goes with the area, all lengths stretched alike, without a fraction.
TEST(EqualLift, FlatWingStretchedGivesBackTheAreaItCameFrom) {
  const vlm::Ride first = ride_of(small_craft("one", 1, false)),
                  larger = ride_of(small_craft("larger", std::sqrt(1.2), false));
  const double lift = lift_at(first, 5, 0.06, pool());
  EXPECT_NEAR(lift_at(larger, 5, 0.06, pool()) / lift, 1.2, 1e-9);
  EXPECT_NEAR(equal_lift_area(larger, lift, 5, 0.06, pool()) / area(first.craft), 1, 1e-9);
}

// With a tail it is no longer in proportion: the craft of the area found must lift what was wanted.
TEST(EqualLift, CraftOfThatAreaLiftsTheSame) {
  const vlm::Ride first = ride_of(small_craft("one"));
  vlm::Ride other = first;
  other.craft.surfaces[1].incidence = 0.03;
  const double lift = lift_at(first, 5, 0.06, pool());
  const double found = equal_lift_area(other, lift, 5, 0.06, pool());
  EXPECT_LT(found, 0.99 * area(first.craft));
  other.craft.surfaces[0] = stretched(other.craft.surfaces[0], found, std::nullopt);
  EXPECT_NEAR(lift_at(other, 5, 0.06, pool()) / lift, 1, 1e-8);
}

TEST(EqualLift, LiftBeyondTenTimesTheAreaIsRefused) {
  const vlm::Ride ride = ride_of(small_craft("one", 1, false));
  EXPECT_THROW(equal_lift_area(ride, 20 * lift_at(ride, 5, 0.06, pool()), 5, 0.06, pool()), vlm::Error);
}

vlm::ComparedCraft sized(double area, double lift, std::optional<double> take_off) {
  vlm::ComparedCraft c;
  c.outline.area = area;
  c.lift = lift;
  if (take_off) {
    c.marks.emplace();
    c.marks->take_off.at.emplace();
    c.marks->take_off.at->speed = *take_off;
  }
  return c;
}

// Steps of lift 100, 100 and 300, mean 500/3: 300 is 1.8 times that, 100 is 1/1.67. Of take-off speed
// −0.5, −0.4 and −0.3, mean −0.4: none is beyond a factor of 1.5.
TEST(RangeSteps, GapIsFlaggedAgainstTheMeanStep) {
  std::array crafts{sized(0.12, 1000, 3.8), sized(0.06, 500, 5), sized(0.10, 700, 4.1),
                    sized(0.08, 600, 4.5)};
  vlm::set_steps(crafts);
  EXPECT_FALSE(crafts[1].step);
  EXPECT_EQ(crafts[3].step->smaller, 1U);
  EXPECT_EQ(crafts[2].step->smaller, 3U);
  EXPECT_EQ(crafts[0].step->smaller, 2U);
  EXPECT_EQ(crafts[0].step->lift, 300);
  EXPECT_TRUE(crafts[0].step->uneven_lift);
  EXPECT_TRUE(crafts[2].step->uneven_lift);
  for (const std::size_t i : {0U, 2U, 3U}) {
    EXPECT_LT(*crafts[i].step->take_off, 0);
    EXPECT_FALSE(crafts[i].step->uneven_take_off) << i;
  }
}

// One wing under other stabilizers: areas are equal but for rounding, whichever way that goes.
TEST(RangeSteps, EqualAreasHaveNoStepBetweenThem) {
  std::array alike{sized(0.08, 600, 4.5), sized(0.08 * (1 - 1e-15), 610, 4.4), sized(0.08, 590, 4.6)};
  vlm::set_steps(alike);
  for (const vlm::ComparedCraft& c : alike)
    EXPECT_FALSE(c.step);
  std::array crafts{sized(0.10, 700, 4.1), sized(0.08, 600, 4.5), sized(0.08 * (1 - 1e-15), 610, 4.4),
                    sized(0.06, 500, 5)};
  vlm::set_steps(crafts);
  EXPECT_EQ(crafts[0].step->smaller, 1U);
  EXPECT_EQ(crafts[1].step->smaller, 3U);
  EXPECT_EQ(crafts[2].step->smaller, 3U);
  EXPECT_FALSE(crafts[3].step);
}

TEST(RangeSteps, StepTheOtherWayIsUnevenAndAnUnknownTakeOffCountsForNothing) {
  std::array crafts{sized(0.06, 500, 5), sized(0.08, 700, std::nullopt), sized(0.10, 650, 4)};
  vlm::set_steps(crafts);
  EXPECT_FALSE(crafts[1].step->take_off);
  EXPECT_FALSE(crafts[2].step->take_off);
  EXPECT_TRUE(crafts[2].step->uneven_lift);
}

TEST(Comparison, FiguresOfEachCraftAreThoseOfItsOwnTrim) {
  const std::vector<vlm::Craft> crafts{small_craft("one"), small_craft("two", 1.1)};
  const vlm::Comparison c = compared(crafts, {5, {}, {5, 6}, 0.2, {}});
  ASSERT_EQ(c.crafts.size(), 2U);
  const std::vector<vlm::Ride> rides = rides_of(crafts);
  for (std::size_t i = 0; i < 2; ++i) {
    const vlm::TrimmedCraft t = trimmed_craft(rides[i], 5, pool());
    ASSERT_TRUE(c.crafts[i].balanced);
    EXPECT_NEAR(c.crafts[i].balanced->state.load_station, t.state.load_station, 1e-6);
    EXPECT_NEAR(*c.crafts[i].handling.neutral_point, *t.point.neutral_point, 1e-6);
    EXPECT_GT(*c.crafts[i].handling.roll_damping, 0);
    ASSERT_EQ(c.crafts[i].points.size(), 2U);
  }
  // At its own angle the first craft, coasting, lifts the weight.
  EXPECT_EQ(c.angle, c.crafts[0].balanced->state.alpha);
  EXPECT_NEAR(c.crafts[0].lift, 60 * vlm::standard_gravity, 1e-3);
  EXPECT_NEAR(*c.crafts[0].equal_area / area(crafts[0]), 1, 1e-9);
  // The rider keeps their place on the board.
  for (std::size_t k = 0; k < 2; ++k)
    EXPECT_NEAR(*c.crafts[1].place->positions[k] + c.crafts[1].points[k].state.load_station,
                0.2 + c.crafts[0].points[k].state.load_station, 1e-12);
  EXPECT_NEAR(c.crafts[0].place->worst, 0, 1e-12);
}

TEST(Comparison, HandlingWithoutLagIsThatOfHandling) {
  const vlm::Ride ride = ride_of(small_craft("one"));
  const vlm::RidingPoint point{5, 0.05, -0.1, 0.05};
  const vlm::HandlingFigures all =
      vlm::handling(ride.craft, ride.lattice, ride.drag, ride.loading, point, pool()).figures;
  const vlm::HandlingFigures steady =
      vlm::steady_handling(ride.craft, ride.lattice, ride.drag, ride.loading, point, pool());
  EXPECT_FALSE(steady.pitch_lag_damping);
  EXPECT_DOUBLE_EQ(*steady.pitch_stiffness, *all.pitch_stiffness);
  EXPECT_DOUBLE_EQ(*steady.roll_damping, *all.roll_damping);
  EXPECT_DOUBLE_EQ(*steady.static_margin, *all.static_margin);
}

TEST(Comparison, OneCraftOrTwoOfOneTitleAreRefused) {
  try {
    compared({small_craft("one")}, {5, {}, {5}, {}, {}});
    FAIL();
  } catch (const vlm::Error& error) {
    EXPECT_STREQ(error.what(), "a range with one craft: found one case, wanted two or more");
  }
  EXPECT_THROW(compared({small_craft("one"), small_craft("one", 1.1)}, {5, {}, {5}, {}, {}}), vlm::Error);
}

// 60 kg at 1.6 m/s ask the smaller craft for a lift coefficient of 7.7.
TEST(Comparison, CraftTooSlowToCarryTheRiderDoesNotEndTheOthers) {
  const vlm::Comparison c =
      compared({small_craft("one", 3), small_craft("two")}, {1.6, {}, {1.6, 4}, 0.0, {}});
  EXPECT_TRUE(c.crafts[0].balanced);
  EXPECT_FALSE(c.crafts[1].balanced);
  EXPECT_NE(c.crafts[1].refusal, "");
  EXPECT_FALSE(c.crafts[1].place->positions[0]);
  EXPECT_TRUE(c.crafts[1].place->positions[1]);
}

vlm::Stabilizer tail_of(double area, double aspect_ratio, double incidence) {
  vlm::Surface tail = stretched(rectangle(aspect_ratio, "other"), area, std::nullopt);
  tail.incidence = incidence;
  tail.position = {0.1, 0, 0};
  return {tail, {8, 3}};
}

TEST(StabilizerSwap, SameFamilyTakesNoChange) {
  const vlm::Ride ride = ride_of(small_craft("one"));
  const std::array family{tail_of(0.008, 4, -0.02), tail_of(0.012, 5, -0.01)};
  const auto swaps = vlm::swap_stabilizers(ride, family, family, 5, pool());
  ASSERT_EQ(swaps.size(), 2U);
  for (std::size_t i = 0; i < 2; ++i) {
    EXPECT_EQ(swaps[i].refusal, "");
    ASSERT_TRUE(swaps[i].fit && swaps[i].nearest);
    EXPECT_EQ(swaps[i].fit->member, i);
    EXPECT_EQ(swaps[i].fit->area_scale, 1);
    EXPECT_EQ(swaps[i].fit->incidence_change, 0);
    EXPECT_EQ(swaps[i].nearest->member, i);
    EXPECT_NEAR(swaps[i].nearest->by.load_station, 0, 1e-9);
    EXPECT_NEAR(swaps[i].nearest->by.neutral_point, 0, 1e-9);
  }
}

// The same outline at another size and incidence must be brought back to the old one.
TEST(StabilizerSwap, FindsTheSizeAndIncidenceThatWereTakenAway) {
  const vlm::Ride ride = ride_of(small_craft("one"));
  const std::array old_family{tail_of(0.010, 4, -0.02)}, new_family{tail_of(0.008, 4, 0.01)};
  const auto swaps = vlm::swap_stabilizers(ride, old_family, new_family, 5, pool());
  ASSERT_TRUE(swaps[0].fit) << swaps[0].refusal;
  EXPECT_NEAR(swaps[0].fit->area_scale, 1.25, 1e-4);
  EXPECT_NEAR(swaps[0].fit->incidence_change, -0.03, 1e-5);
  EXPECT_LT(swaps[0].nearest->by.neutral_point, -0.001); // smaller: the neutral point lies further ahead
}

TEST(StabilizerSwap, OtherOutlineChangedAsFoundBalancesAlike) {
  const vlm::Ride ride = ride_of(small_craft("one"));
  const std::array old_family{tail_of(0.010, 4, -0.02)}, new_family{tail_of(0.013, 6, 0)};
  const auto swaps = vlm::swap_stabilizers(ride, old_family, new_family, 5, pool());
  ASSERT_TRUE(swaps[0].fit) << swaps[0].refusal;
  vlm::Stabilizer changed = new_family[0];
  changed.surface = stretched(changed.surface, 0.013 * swaps[0].fit->area_scale, std::nullopt);
  changed.surface.incidence += swaps[0].fit->incidence_change;
  const vlm::Steadiness was = steadiness(with_stabilizer(ride, old_family[0]), 5, pool()),
                        is = steadiness(with_stabilizer(ride, changed), 5, pool());
  EXPECT_NEAR(is.load_station, was.load_station, 2e-6);
  EXPECT_NEAR(is.neutral_point, was.neutral_point, 2e-6);
  EXPECT_LT(swaps[0].fit->area_scale, 1); // more slender than the old one, and larger as drawn
}

TEST(StabilizerSwap, CraftWithoutOneIsRefused) {
  EXPECT_THROW(vlm::stabilizer_index(small_craft("one", 1, false)), vlm::Error);
}

} // namespace
