#include <cmath>
#include <filesystem>
#include <string>

#include <gtest/gtest.h>

#include <vlm/file/case.hpp>

#include "../support/angles.hpp"

namespace vlm {
namespace {

using angles::degree;

// A case of one surface in water of 1000 kg/m³, with more tables behind it.
Case loaded(const std::string& tables, const std::string& operation = "") {
  return parse_case("title = \"Loaded\"\nwater.density_kg_m3 = 1000\n" + operation + R"(
[section.plate]
naca = "0012"
[[surface]]
name = "plate"
stations = [
  { y_mm = -500, leading_edge_mm = 0, chord_mm = 250, section = "plate" },
  { y_mm = 500, leading_edge_mm = 0, chord_mm = 250, section = "plate" },
]
)" + tables,
                    "loaded.toml");
}

constexpr const char* shortest = R"([rider]
mass_kg = 84
centre_height_mm = 1000
[deck]
height_mm = 850
)";

Drive drive_read(const std::string& keys) {
  return loaded(shortest + ("[drive]\n" + keys)).loading->drive;
}

TEST(Loading, EveryKeyIsReadToItsValue) {
  const Case read = loaded(R"([rider]
mass_kg = 82
centre_height_mm = 950
pitch_inertia_kg_m2 = 12.5
[[mass]]
name = "board"
mass_kg = 7.4
centre_mm = [-90, 0, 800]
[[mass]]
name = "mast and foil"
mass_kg = 6.9
centre_mm = [30, 0, 190]
displaced_volume_cm3 = 1800
pitch_inertia_kg_m2 = 0.5
[deck]
height_mm = 850
angle_deg = -1.5
mast_rake_deg = 2
[stance]
front_mm = -360
back_mm = 140
[drive]
kind = "pull"
height_mm = -60
angle_deg = 8
station_mm = -800
greatest_force_n = 400
)");
  ASSERT_TRUE(read.loading);
  EXPECT_EQ(read.loading->rider, (Rider{82, 0.95, 12.5}));
  EXPECT_EQ(read.loading->masses, (std::vector<Mass>{{"board", 7.4, {-0.09, 0, 0.8}, 0, 0},
                                                     {"mast and foil", 6.9, {0.03, 0, 0.19}, 0.0018, 0.5}}));
  const Deck& deck = read.loading->deck;
  EXPECT_EQ(deck.height, 0.85);
  EXPECT_DOUBLE_EQ(deck.angle, -1.5 * degree);
  EXPECT_DOUBLE_EQ(deck.mast_rake, 2 * degree);
  EXPECT_EQ(read.loading->stance, (Stance{-0.36, 0.14}));
  const Drive& drive = read.loading->drive;
  EXPECT_EQ(drive.kind, Drive::Kind::pull);
  EXPECT_EQ(drive.height, -0.06);
  EXPECT_DOUBLE_EQ(drive.angle, 8 * degree);
  EXPECT_EQ(drive.station, -0.8);
  EXPECT_EQ(drive.greatest_force, 400);
  EXPECT_EQ(drive.greatest_power, std::nullopt);
  EXPECT_EQ(read.notes, std::vector<std::string>{});
  ASSERT_TRUE(read.operation.mass);
  EXPECT_NEAR(*read.operation.mass, 82 + 7.4 + 6.9 - 1.8, 1e-12);
}

TEST(Loading, ShortestTakesTheDefaults) {
  const Case read = loaded(shortest);
  ASSERT_TRUE(read.loading);
  EXPECT_TRUE(read.loading->masses.empty());
  EXPECT_EQ(read.loading->deck, (Deck{0.85, 0, 0}));
  EXPECT_EQ(read.loading->stance, std::nullopt);
  EXPECT_EQ(read.loading->drive, Drive{});
  EXPECT_EQ(read.operation.mass, 84);
}

TEST(Loading, RiderOfUnknownInertiaIsARodAndANoteSaysSo) {
  // 84 kg on a rod of 2 m: m l²/12 = 28 kg·m² about its middle.
  const Case read = loaded(shortest);
  EXPECT_NEAR(read.loading->rider.pitch_inertia, 28, 1e-13);
  EXPECT_EQ(read.notes,
            std::vector<std::string>{"rider: no pitch_inertia_kg_m2 given, 28 kg·m² assumed, that of a "
                                     "uniform rod twice as tall as centre_height_mm"});
}

// Metres written for millimetres: a deck under water.
TEST(Loading, DeckBelowTheStillSurfaceIsNoted) {
  EXPECT_EQ(loaded(shortest, "water.depth_mm = 849\n").notes.size(), loaded(shortest).notes.size());
  EXPECT_EQ(loaded(shortest, "water.depth_mm = 900\n").notes.back(),
            "deck: its height, 850 mm, lies below the still surface, 900 mm over the origin; height_mm wants "
            "millimetres over the origin");
}

TEST(Loading, IsAbsentWithoutARider) {
  const Case read = loaded("", "operation.mass_kg = 92\n");
  EXPECT_EQ(read.loading, std::nullopt);
  EXPECT_EQ(read.operation.mass, 92);
}

TEST(Loading, LiftCoefficientOfTheOperationPrevailsOverTheMasses) {
  const Case read = loaded(shortest, "operation.lift_coefficient = 0.3\n");
  EXPECT_TRUE(read.loading);
  EXPECT_EQ(read.operation.mass, std::nullopt);
  EXPECT_EQ(read.operation.lift_coefficient, 0.3);
}

TEST(Loading, EveryKindOfDriveIsRead) {
  EXPECT_EQ(drive_read("kind = \"coasting\"\n").kind, Drive::Kind::coasting);
  EXPECT_EQ(drive_read("kind = \"wave\"\n").kind, Drive::Kind::wave);

  const Drive held = drive_read("kind = \"pull\"\nheight_mm = 1000\n");
  EXPECT_EQ(held.height, 1);
  EXPECT_EQ(held.angle, 0);
  EXPECT_EQ(held.station, std::nullopt);
  EXPECT_EQ(held.greatest_force, std::nullopt);

  const Drive motor =
      drive_read("kind = \"motor\"\nposition_mm = [45, 0, -5]\nangle_deg = -3\ngreatest_power_w = 2200\n");
  EXPECT_EQ(motor.kind, Drive::Kind::motor);
  EXPECT_EQ(motor.position, (Vec3{0.045, 0, -0.005}));
  EXPECT_DOUBLE_EQ(motor.angle, -3 * degree);
  EXPECT_EQ(motor.greatest_force, std::nullopt);
  EXPECT_EQ(motor.greatest_power, 2200);
}

TEST(Loading, OfTheLakeRescueBoardLeaves98KilogramsToTheLift) {
  const Case read = read_case(VLM_CASES_DIR "/lake-rescue/heron-880.toml");
  ASSERT_TRUE(read.operation.mass);
  EXPECT_NEAR(*read.operation.mass, 98, 1e-5);
}

} // namespace
} // namespace vlm
