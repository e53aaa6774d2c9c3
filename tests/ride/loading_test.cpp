#include <vlm/ride/loading.hpp>

#include <cmath>
#include <functional>
#include <limits>

#include <gtest/gtest.h>

#include "../support/angles.hpp"
#include "../support/errors.hpp"

namespace {

using namespace vlm;

using angles::degree;
constexpr double fresh_density = 1000; // kg/m³

// A rider of 80 kg, the centre 1 m over a level deck 0.8 m up, and a board of 10 kg.
Loading loading() {
  Loading result;
  result.rider = {80, 1, 12};
  result.masses = {{"board", 10, {-0.1, 0, 0.75}, 0, 1}};
  result.deck = {0.8, 0, 0};
  return result;
}

std::string error_of(const std::function<void(Loading&)>& spoil) {
  Loading spoiled = loading();
  spoil(spoiled);
  return errors::error_of([&] { check(spoiled, fresh_density); });
}

void expect_near(const Vec3& found, const Vec3& wanted) {
  EXPECT_NEAR(found.x, wanted.x, 1e-14);
  EXPECT_NEAR(found.y, wanted.y, 1e-14);
  EXPECT_NEAR(found.z, wanted.z, 1e-14);
}

TEST(DeckPoint, OfALevelDeckLiesStraightAftAndUp) {
  expect_near(deck_point({0.8, 0, 0}, 0.3, 1.1), {0.3, 0, 1.9});
}

TEST(DeckPoint, MovesAftWithTheTopOfARakedMast) {
  // The mast axis of 45° meets a deck 0.8 m up 0.8 m aft.
  expect_near(deck_point({0.8, 0, 45 * degree}, -0.3), {0.5, 0, 0.8});
}

TEST(DeckPoint, ABowUpDeckHasItsAftEndLowAndLeansTheRiderAft) {
  // 3-4-5 triangle: cos = 0.8, sin = 0.6. Half a metre aft: 0.4 aft, 0.3 down. Half a metre over the deck:
  // 0.3 aft, 0.4 up.
  const Deck deck{0.8, std::asin(0.6), 0};
  expect_near(deck_point(deck, 0.5), {0.4, 0, 0.5});
  expect_near(deck_point(deck, -0.5), {-0.4, 0, 1.1});
  expect_near(deck_point(deck, 0, 0.5), {0.3, 0, 1.2});
}

TEST(FrontFootShare, IsTheLeverOfTheBackFoot) {
  const Stance stance{-0.36, 0.14};
  EXPECT_DOUBLE_EQ(front_foot_share(stance, -0.36), 1);
  EXPECT_DOUBLE_EQ(front_foot_share(stance, 0.14), 0);
  EXPECT_DOUBLE_EQ(front_foot_share(stance, -0.11), 0.5);
  EXPECT_DOUBLE_EQ(front_foot_share(stance, -0.46), 1.2); // ahead of the front foot: the back one must pull
}

TEST(Inertia, OfRiderAndBoardHeldRigidlyIsThatOfSteiner) {
  // Rider at (-0.1, 0, 1.8), board straight below at 0.75: the centre is 80/90 of the way up, and the two
  // swing about it as the reduced mass 80·10/90 kg at their distance of 1.05 m: 12 + 1 + 9.8 kg·m².
  const Inertia sum = inertia(loading(), -0.1, RiderHold::rigid);
  EXPECT_DOUBLE_EQ(sum.mass, 90);
  expect_near(sum.centre, {-0.1, 0, 0.75 + 1.05 * 80 / 90});
  EXPECT_NEAR(sum.pitch, 22.8, 1e-13);
}

TEST(Inertia, OfARiderWhoBearsNoMomentIsThatOfAMassOnTheDeck) {
  // Rider at (0.2, 0, 0.8): 0.3 aft and 0.05 over the board, distance² 0.0925 m². Own inertia of the board
  // alone: 1 + 80·10/90·0.0925 kg·m².
  const Inertia sum = inertia(loading(), 0.2, RiderHold::on_the_deck);
  expect_near(sum.centre, {-0.1 + 0.3 * 80 / 90, 0, 0.75 + 0.05 * 80 / 90});
  EXPECT_NEAR(sum.pitch, 1 + 80.0 * 10 / 90 * 0.0925, 1e-14);
}

TEST(Inertia, DoesNotDependOnWhereTheWaterIsDisplaced) {
  Loading wet = loading();
  wet.masses[0].displaced_volume = 0.004;
  EXPECT_EQ(inertia(wet, 0, RiderHold::rigid).pitch, inertia(loading(), 0, RiderHold::rigid).pitch);
}

TEST(CarriedMass, IsAllThatRidesLessTheWaterDisplaced) {
  Loading wet = loading();
  wet.masses.push_back({"foil", 6, {0, 0, 0}, 0.0025}); // 2.5 kg of water
  EXPECT_DOUBLE_EQ(carried_mass(wet, fresh_density), 93.5);
}

TEST(LoadingCheck, TakesWhatMakesSense) {
  EXPECT_EQ(error_of([](Loading& l) {
              l.stance = {-0.3, 0.2};
              l.drive = {Drive::Kind::pull, 10 * degree, 1, -0.8, {}, 300, {}};
            }),
            "no error");
}

TEST(LoadingCheck, NamesWhatIsWrong) {
  const double nan = std::nan(""), infinite = std::numeric_limits<double>::infinity();
  const auto expect = [](const std::string& wanted, const std::function<void(Loading&)>& spoil) {
    EXPECT_EQ(error_of(spoil), wanted);
  };
  expect("mass of the rider [kg]: found 0, wanted a number above 0", [](Loading& l) { l.rider.mass = 0; });
  expect("height of the rider's centre over the deck [m]: found -0.9, wanted a number not below 0",
         [](Loading& l) { l.rider.centre_height = -0.9; });
  expect("pitch inertia of the rider [kg m2]: found -1, wanted a number not below 0",
         [](Loading& l) { l.rider.pitch_inertia = -1; });
  expect("height of the deck over the origin [m]: found 0, wanted a number above 0",
         [](Loading& l) { l.deck.height = 0; });
  expect("angle of the deck [rad]: found 1, wanted one within 0.785398",
         [](Loading& l) { l.deck.angle = 1; });
  expect("angle of the deck [rad]: found 1e+300, wanted one within 0.785398",
         [](Loading& l) { l.deck.angle = 1e300; });
  expect("angle of the deck [rad]: found no finite number, wanted one within 0.785398",
         [&](Loading& l) { l.deck.angle = nan; });
  expect("rake of the mast [rad]: found -1, wanted one within 0.785398",
         [](Loading& l) { l.deck.mast_rake = -1; });
  expect("mass \"board\" [kg]: found -10, wanted a number not below 0",
         [](Loading& l) { l.masses[0].mass = -10; });
  expect("displaced volume of mass \"board\" [m3]: found -0.1, wanted a number not below 0",
         [](Loading& l) { l.masses[0].displaced_volume = -0.1; });
  expect("pitch inertia of mass \"board\" [kg m2]: found -1, wanted a number not below 0",
         [](Loading& l) { l.masses[0].pitch_inertia = -1; });
  EXPECT_NE(error_of([&](Loading& l) { l.masses[0].centre.z = nan; }).find("centre of mass \"board\" [m]: "),
            std::string::npos);
  expect("front foot [m]: found no finite number, wanted a finite number", [&](Loading& l) {
    l.stance = {infinite, 0.2};
  });
  expect("front foot [m aft of the mast axis]: found 0.2, wanted it ahead of the back foot, which is at "
         "0.2",
         [](Loading& l) {
           l.stance = {0.2, 0.2};
         });
  expect("angle of the drive [rad]: found 1.6, wanted one within 1.5708, so that it drives forward",
         [](Loading& l) { l.drive.angle = 1.6; });
  expect("station of the pull [m]: found no finite number, wanted a finite number",
         [&](Loading& l) { l.drive.station = infinite; });
  expect("greatest force of the drive [N]: found 0, wanted a number above 0",
         [](Loading& l) { l.drive.greatest_force = 0; });
  expect("greatest power of the drive [W]: found -5, wanted a number above 0",
         [](Loading& l) { l.drive.greatest_power = -5; });
  expect("mass carried, less the water displaced [kg]: found -10, wanted one above 0: it floats, so "
         "there is nothing to lift",
         [](Loading& l) { l.masses[0].displaced_volume = 0.1; });
}

// Pitched by the angle of attack, the rider stands upright all the same: the centre comes ahead of the deck's
// normal by its height times the pitch.
TEST(Inertia, OfARigidRiderIsThatOfOneWhoStandsUpright) {
  const Loading alone = [] {
    Loading l = loading();
    l.masses.clear();
    return l;
  }();
  const double pitch = 0.1, lean = 0.05;
  const Vec3 upright = inertia(alone, -0.1, RiderHold::rigid, pitch, lean).centre;
  EXPECT_NEAR(upright.x, -0.1 - std::sin(pitch) + lean * std::cos(pitch), 1e-15);
  EXPECT_NEAR(upright.z, 0.8 + std::cos(pitch) + lean * std::sin(pitch), 1e-15);
  const Vec3 on_deck = inertia(alone, -0.1, RiderHold::on_the_deck, pitch, lean).centre;
  EXPECT_NEAR(on_deck.x, -0.1, 1e-15);
}

} // namespace
