// Loads due to the rate of angle of attack: the lag of the downwash.

#include <gtest/gtest.h>

#include "../support/wings.hpp"

#include <vlm/flow/velocity.hpp>
#include <vlm/force/alpha_rate.hpp>

namespace {

using namespace wings;

struct Rate {
  double lift, pitch;
  std::vector<double> lift_parts;
};

Rate rate_of(const vlm::Craft& craft, const vlm::LatticeOptions& options,
             const vlm::Condition& condition = {}) {
  const vlm::Responses responses = vlm::make_responses(craft, options, 0, {}, pool());
  const std::vector<vlm::Derivative> d = vlm::alpha_rate_derivatives(responses, condition, pool());
  return {d.at(0).value, d.at(1).value, d.at(0).parts};
}

double pitch_damping(const vlm::Craft& craft, const vlm::LatticeOptions& options) {
  const std::vector<vlm::Derivative> all =
      vlm::derivatives(vlm::make_responses(craft, options, 0, {}, pool(), vlm::Motions::all), {});
  const auto found = std::find_if(
      all.begin(), all.end(), [](const auto& d) { return d.name == "pitching moment due to pitch rate"; });
  return found->value;
}

vlm::Surface small_tail(double x, double z) {
  vlm::Surface tail = rectangle(4, "tail");
  for (vlm::Station& station : tail.stations)
    station.chord *= 0.3, station.y *= 0.3;
  tail.position = {x, 0, z};
  return tail;
}

// B. Etkin, Dynamics of Atmospheric Flight (1972): the tail sees the downwash of a time l/V ago, so its
// damping due to the rate of angle of attack is that due to pitch rate times dε/dα, with the lever from where
// the wake leaves.
TEST(AlphaRate, DampsAsTheTailDoesInPitchTimesTheDownwash) {
  const double distance = 60;
  vlm::Craft craft = craft_of({rectangle(6), small_tail(distance, 1)});
  craft.moment_point = {1, 0, 0}; // the wing's trailing edge
  vlm::Craft tail = craft_of({craft.surfaces[1]});
  tail.moment_point = craft.moment_point;
  const vlm::PanelCounts wing_counts{20, 6}, tail_counts{10, 4};

  const vlm::FlowSystem wing(vlm::make_lattice(craft_of({craft.surfaces[0]}), counts({wing_counts})),
                             {1, 0, 0}, pool());
  const vlm::Cause cause{{1, 0, 0.001}, {}, {}, {}};
  const vlm::Matrix circulation = wing.solve({&cause, 1});
  const std::vector<vlm::Vec3> at{{distance + 0.15, 0, 1}};
  const double downwash =
      vlm::downwash_angle(wing.influence(), cause, circulation.column(0), at, pool()).front() / 0.001;

  const vlm::Reference size = vlm::reference(craft), tail_size = vlm::reference(tail);
  const double scale =
      tail_size.area * tail_size.chord * tail_size.chord / (size.area * size.chord * size.chord);
  const double expected = pitch_damping(tail, counts({tail_counts})) * scale * downwash;
  const Rate rate = rate_of(craft, counts({wing_counts, tail_counts}));
  EXPECT_LT(rate.pitch, 0);
  EXPECT_GT(rate.lift, 0);
  // Downwash at one point for that of the whole tail, and the wing's share in it of bound vortices.
  EXPECT_NEAR(rate.pitch / expected, 1, 0.01);
}

TEST(AlphaRate, OfALoneWingIsNothing) {
  const Rate rate = rate_of(craft_of({tapered(6, 0.5, 0.3)}), counts({{12, 4}}), {0.1});
  EXPECT_EQ(rate.lift, 0);
  EXPECT_EQ(rate.pitch, 0);
}

// Cut in two by a fuselage it is one wing still. The fuselage joins its halves' wakes at the stabilizer as if
// it were not there. It does not see them itself, so the stabilizer misses what a body in downwash adds at
// its root, as a wing does that is turned on a body rather than with it.
TEST(AlphaRate, IsLittleChangedByASlenderFuselage) {
  vlm::Surface wing = rectangle(6), tail = small_tail(4, 0);
  const auto with_fuselage = [](const std::vector<vlm::Surface>& surfaces) {
    vlm::Craft craft = craft_of(surfaces);
    craft.fuselage = body(-0.8, 5.6, 0.1, 0.1, 0.7, 1);
    return craft;
  };
  EXPECT_EQ(rate_of(with_fuselage({wing}), counts({{12, 4}})).lift, 0);
  const vlm::LatticeOptions options = counts({{20, 6}, {12, 4}});
  const Rate with = rate_of(with_fuselage({wing, tail}), options),
             bare = rate_of(craft_of({wing, tail}), options);
  EXPECT_NEAR(with.lift / bare.lift, 1, 0.035);
  EXPECT_NEAR(with.pitch / bare.pitch, 1, 0.035);
  ASSERT_EQ(with.lift_parts.size(), 3U);
  EXPECT_GT(with.lift_parts[2], 0); // carried over from the tail
  EXPECT_LT(with.lift_parts[2], 0.2 * with.lift_parts[1]);
}

TEST(AlphaRate, FallsToTheSurfaceBehindWhicheverIsNamedFirst) {
  const vlm::Surface wing = tapered(6, 0.5, 0.3), tail = small_tail(4, 0.2);
  vlm::Craft craft = craft_of({wing, tail}), swapped = craft_of({tail, wing});
  craft.reference_surface = swapped.reference_surface = "wing";
  const vlm::PanelCounts many{12, 4}, few{8, 4};
  const Rate a = rate_of(craft, counts({many, few}), {0.05}),
             b = rate_of(swapped, counts({few, many}), {0.05});
  EXPECT_NEAR(a.lift, b.lift, 1e-10);
  EXPECT_NEAR(a.pitch, b.pitch, 1e-10);
  EXPECT_NEAR(a.lift_parts[1], a.lift, 0.1 * a.lift);
}

// Coefficients do not know the size of the craft, nor its water.
TEST(AlphaRate, DoesNotChangeWithScale) {
  vlm::Craft craft = craft_of({tapered(6, 0.5, 0.3), small_tail(4, 0.2)}), large = craft;
  craft.still_surface.boundary = large.still_surface.boundary = vlm::Boundary::free;
  craft.still_surface.depth = 0.7, large.still_surface.depth = 0.7 * 5;
  for (vlm::Surface& surface : large.surfaces) {
    surface.position = 5 * surface.position;
    for (vlm::Station& station : surface.stations)
      station.chord *= 5, station.y *= 5, station.leading_edge *= 5;
  }
  large.water = vlm::sea_water(10, 35);
  const vlm::LatticeOptions options = counts({{12, 4}, {8, 4}});
  const Rate a = rate_of(craft, options, {0.05}), b = rate_of(large, options, {0.05});
  EXPECT_NEAR(a.lift, b.lift, 1e-9 * a.lift);
  EXPECT_NEAR(a.pitch, b.pitch, 1e-9 * std::abs(a.pitch));
}

} // namespace
