#include <vlm/ride/speeds.hpp>

#include <cmath>

#include <gtest/gtest.h>

#include <vlm/base/error.hpp>
#include <vlm/file/case.hpp>
#include <vlm/ride/incidence_fit.hpp>
#include <vlm/ride/mast_track.hpp>

#include "../support/angles.hpp"
#include "../support/wings.hpp"

namespace {

using namespace vlm;

using angles::degree;

// The lake rescue board on a coarse lattice, in deep water with the wake along the body: one set-up serves
// all speeds, and the closed forms below hold.
Ride heron() {
  static const Case read = read_case(VLM_CASES_DIR "/lake-rescue/heron-880.toml");
  Case c = read;
  c.craft.fuselage.reset();
  c.craft.surfaces.pop_back();
  c.craft.still_surface = {};
  c.lattice.counts = {{12, 3}, {8, 3}};
  c.wake.along = WakeChoice::Along::body;
  return make_ride(c.craft, c.lattice, c.wake, c.drag, *c.loading);
}

std::vector<SpeedFigures> known(const Ride& ride, std::initializer_list<double> speeds) {
  std::vector<SpeedFigures> figures;
  for (const double speed : speeds)
    figures.push_back(speed_figures(ride.craft, trimmed_craft(ride, speed, wings::pool())));
  return figures;
}

SpeedFigures at(const Ride& ride, double speed) {
  return speed_figures(ride.craft, trimmed_craft(ride, speed, wings::pool()));
}

TEST(SpeedMarks, TakeOffIsWhereAStripReachesItsLimit) {
  const Ride ride = heron();
  const SpeedMarks marks = speed_marks(ride, known(ride, {5, 7}), {}, wings::pool());
  ASSERT_TRUE(marks.take_off.at) << marks.take_off.refusal;
  EXPECT_NEAR(*marks.take_off.at->share_of_limit, 1, 1e-4);
  EXPECT_GT(*at(ride, 0.99 * marks.take_off.at->speed).share_of_limit, 1);
  // Lift grows with V²: with limits up by a fifth, take-off comes at about 1/√1.2 of the speed; camber and
  // the tail's changing load keep it from being so exactly.
  Ride better = ride;
  for (Surface& surface : better.craft.surfaces)
    for (Station& station : surface.stations)
      if (station.section.max_lift_coefficient)
        *station.section.max_lift_coefficient *= 1.2;
  const SpeedMarks sooner = speed_marks(better, known(better, {5, 7}), {}, wings::pool());
  ASSERT_TRUE(sooner.take_off.at);
  EXPECT_NEAR(sooner.take_off.at->speed / marks.take_off.at->speed, 1 / std::sqrt(1.2), 0.02);
}

TEST(SpeedMarks, BestGlideAndLeastPowerAreLessThanAtEitherSide) {
  Ride ride = heron();
  ride.loading.drive = {};
  for (Surface& surface : ride.craft.surfaces) // no limit: slower than the least power is searched too
    for (Station& station : surface.stations)
      station.section.max_lift_coefficient.reset();
  const SpeedMarks marks = speed_marks(ride, known(ride, {4.5, 5.5, 7}), {}, wings::pool());
  ASSERT_TRUE(marks.best_glide.at) << marks.best_glide.refusal;
  ASSERT_TRUE(marks.least_power.at) << marks.least_power.refusal;
  EXPECT_FALSE(marks.take_off.at);
  EXPECT_NE(marks.take_off.refusal.find("max_lift_coefficient"), std::string::npos);
  EXPECT_FALSE(marks.top.at);
  const auto glide = [](const SpeedFigures& p) { return p.drag / p.lift; };
  const auto power = [](const SpeedFigures& p) { return p.power; };
  for (const double side : {0.98, 1.02}) {
    EXPECT_LT(glide(*marks.best_glide.at), glide(at(ride, side * marks.best_glide.at->speed)));
    EXPECT_LT(power(*marks.least_power.at), power(at(ride, side * marks.least_power.at->speed)));
  }
  // With D = a V² + b/V² least power is at 3^(-1/4) = 0.76 of the speed of least drag (textbook); friction
  // that falls with the Reynolds number, and camber, leave it near.
  EXPECT_NEAR(marks.least_power.at->speed / marks.best_glide.at->speed, std::pow(3, -0.25), 0.03);
}

TEST(SpeedMarks, TopSpeedUsesUpForceOrPower) {
  Ride ride = heron();
  ride.loading.drive.greatest_force = 110;
  SpeedMarks marks = speed_marks(ride, known(ride, {5, 7}), {}, wings::pool());
  ASSERT_TRUE(marks.top.at) << marks.top.refusal;
  EXPECT_NEAR(marks.top.at->drive_force, 110, 110 * 3e-5);
  ride.loading.drive.greatest_force.reset();
  ride.loading.drive.greatest_power = 900;
  marks = speed_marks(ride, known(ride, {5, 7}), {}, wings::pool());
  ASSERT_TRUE(marks.top.at) << marks.top.refusal;
  EXPECT_NEAR(marks.top.at->drag * marks.top.at->speed, 900, 900 * 5e-5);
  ride.loading.drive.greatest_power.reset();
  ride.loading.drive.greatest_force = 20;
  marks = speed_marks(ride, known(ride, {5, 7}), {}, wings::pool());
  EXPECT_FALSE(marks.top.at);
  EXPECT_NE(marks.top.refusal.find("cannot hold any speed"), std::string::npos) << marks.top.refusal;
}

TEST(IncidenceFit, PutsTheLoadWhereItIsWanted) {
  const Ride ride = heron();
  const double at_one[1] = {5.5};
  const double drawn = ride.craft.surfaces[1].incidence;
  const double wanted = trimmed_craft(ride, 5.5, wings::pool()).state.load_station - 0.03;
  const IncidenceFit one =
      fit_incidence(ride, 1, at_one, wanted, drawn - 5 * degree, drawn + 5 * degree, wings::pool());
  EXPECT_FALSE(one.at_bound);
  EXPECT_LT(one.incidence, drawn); // a tail that pushes down wants the rider further forward
  Ride set = ride;
  set.craft.surfaces[1].incidence = one.incidence;
  EXPECT_NEAR(trimmed_craft(set, 5.5, wings::pool()).state.load_station, wanted, 1e-6);

  // Over several speeds the mean miss is least: more at a little to either side.
  const std::vector<double> speeds{5, 6, 7};
  const IncidenceFit fit =
      fit_incidence(ride, 1, speeds, wanted, drawn - 5 * degree, drawn + 5 * degree, wings::pool());
  const auto miss = [&](double incidence) {
    Ride turned = ride;
    turned.craft.surfaces[1].incidence = incidence;
    double sum = 0;
    for (const double speed : speeds)
      sum += std::pow(trimmed_craft(turned, speed, wings::pool()).state.load_station - wanted, 2);
    return std::sqrt(sum / 3);
  };
  EXPECT_NEAR(miss(fit.incidence), fit.root_mean_square, 1e-7);
  EXPECT_GT(miss(fit.incidence + 0.1 * degree), fit.root_mean_square);
  EXPECT_GT(miss(fit.incidence - 0.1 * degree), fit.root_mean_square);

  const IncidenceFit bound =
      fit_incidence(ride, 1, at_one, wanted, drawn - 0.1 * degree, drawn + 5 * degree, wings::pool());
  EXPECT_TRUE(bound.at_bound);
  EXPECT_DOUBLE_EQ(bound.incidence, drawn - 0.1 * degree);
  EXPECT_THROW(fit_incidence(ride, 1, at_one, 0, 1, 0, wings::pool()), Error);
  EXPECT_THROW(fit_incidence(ride, 1, {}, 0, 0, 1, wings::pool()), Error);
}

TEST(MastTrack, KeepsTheRidersPlaceOnTheBoard) {
  const std::vector<double> reference{-0.12, -0.10}, other{-0.15, -0.11};
  const MastTrack track = mast_track(0.4, reference, other);
  // Rider at 0.28 and 0.30 of the board: the other mast stands at 0.43 and 0.41.
  ASSERT_EQ(track.positions.size(), 2U);
  EXPECT_NEAR(track.positions[0], 0.43, 1e-15);
  EXPECT_NEAR(track.positions[1], 0.41, 1e-15);
  EXPECT_NEAR(track.recommended, 0.42, 1e-15);
  EXPECT_NEAR(track.worst, 0.01, 1e-15);
  EXPECT_THROW(mast_track(0, reference, {}), Error);
}

} // namespace
