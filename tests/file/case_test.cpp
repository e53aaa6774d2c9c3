#include <vlm/file/case.hpp>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <map>
#include <numbers>
#include <sstream>
#include <string>

#include <gtest/gtest.h>

#include <vlm/base/error.hpp>

namespace vlm {
namespace {

const std::filesystem::path folder = std::filesystem::path(VLM_TESTS_DIR) / "file";
constexpr double degree = std::numbers::pi / 180;

std::string contents(const std::filesystem::path& path) {
  std::ifstream file(path, std::ios::binary);
  std::ostringstream text;
  text << file.rdbuf();
  return text.str();
}

// The message of the error that reading ends in, the folder of the file left out.
std::string error_of(const std::filesystem::path& path) {
  try {
    read_case(path);
  } catch (const Error& error) {
    std::string message = error.what();
    const std::string where = path.parent_path().string() + "/";
    for (auto at = message.find(where); at != std::string::npos; at = message.find(where))
      message.erase(at, where.size());
    EXPECT_EQ(error.kind(), ErrorKind::input);
    return message;
  }
  return "no error";
}

Case parsed(const std::string& text) {
  return parse_case(text, folder / "test.toml");
}

std::string error_in(const std::string& text) {
  try {
    parsed(text);
  } catch (const Error& error) {
    return std::string(error.what()).substr((folder / "test.toml:").string().size());
  }
  return "no error";
}

// A case of one surface; more is put before its tables or after them.
std::string small_case(const std::string& before = "", const std::string& after = "") {
  return "title = \"Small\"\n" + before + R"(
[section.plate]
mean_line = "parabola"
camber_percent = 0
[[surface]]
name = "plate"
stations = [
  { y_mm = -500, leading_edge_mm = 0, chord_mm = 250, section = "plate" },
  { y_mm = 500, leading_edge_mm = 0, chord_mm = 250, section = "plate" },
]
)" + after;
}

// A case whose one surface has the section given.
std::string section_case(const std::string& section) {
  return "title = \"Section\"\nwater.density_kg_m3 = 1000\n[section.s]\n" + section + R"(
[[surface]]
name = "wing"
stations = [
  { y_mm = -500, leading_edge_mm = 0, chord_mm = 250, section = "s" },
  { y_mm = 500, leading_edge_mm = 0, chord_mm = 250, section = "s" },
]
)";
}

Section section_read(const std::string& section) {
  return parsed(section_case(section)).craft.surfaces[0].stations[0].section;
}

constexpr const char* full_case = R"(title = "Heron 880, lake rescue foil board"

[water]
kind = "sea"
temperature_c = 12.5
salinity_g_kg = 30
density_kg_m3 = 1025
kinematic_viscosity_m2_s = 1.25e-6
vapour_pressure_pa = 1400

[reference]
surface = "stabilizer"
moment_point_mm = [40, 0, -12.5]

[operation]
speed_m_s = 5.5
mass_kg = 92

[drag]
friction_line = "flat plate"
transition_percent = 35

[lattice]
strips = 30
panels_per_strip = 6
spacing = "uniform"
displaced = true
wake = "stream"
wake_angle_deg = 3

[section.root]
naca = "2412"
[section."the tip"]
mean_line = "uniform load"
design_lift_coefficient = 0.3
uniform_to_percent = 80
thickness_percent = 11
[section.tail]
mean_line = "parabola"
camber_percent = -1.5
camber_position_percent = 40

[[surface]]
name = "front wing"
position_mm = [-20, 0, 3]
incidence_deg = 1.5
curve = "smooth"
panels_per_strip = 12
stations = [
  { y_mm = -400, z_mm = -30, leading_edge_mm = 40, chord_mm = 60, twist_deg = -2, section = "the tip" },
  { y_mm = 0, leading_edge_mm = 0, chord_mm = 150, section = "root" },
  { y_mm = 400, z_mm = -30, leading_edge_mm = 40, chord_mm = 60, twist_deg = -2, section = "the tip" },
]

[[surface]]
name = "stabilizer"
position_mm = [600, 0, 20]
strips = 12
stations = [
  { y_mm = -200, leading_edge_mm = 0, chord_mm = 70, section = "tail" },
  { y_mm = 200, leading_edge_mm = 0, chord_mm = 70, section = "tail" },
]

[[twist_shape]]
name = "late"
fraction = [0, 0.6, 1]
value = [0, 0.2, 1]
curve = "smooth"

[[twist_shape]]
name = "outer"
fraction = [0, 0.8, 1]
value = [0, 0, -1]
)";

TEST(Case, EveryKeyIsReadToItsExactValue) {
  const Case read = parsed(full_case);
  EXPECT_EQ(read.text, full_case);
  EXPECT_EQ(read.path, folder / "test.toml");
  EXPECT_EQ(read.notes, std::vector<std::string>{});
  EXPECT_EQ(read.craft.title, "Heron 880, lake rescue foil board");
  EXPECT_EQ(read.water, (WaterChoice{WaterChoice::Kind::sea, 12.5, 30}));
  EXPECT_EQ(read.craft.water, (Water{1025, 1.25e-6, 1400}));
  EXPECT_EQ(read.craft.reference_surface, "stabilizer");
  EXPECT_EQ(read.craft.moment_point, (Vec3{0.04, 0, -0.0125}));
  EXPECT_EQ(read.operation.speed, 5.5);
  EXPECT_EQ(read.operation.mass, 92);
  EXPECT_EQ(read.operation.lift_coefficient, std::nullopt);
  EXPECT_EQ(read.drag, (DragChoice{FrictionLine::flat_plate, 0.35}));

  EXPECT_EQ(read.lattice.counts, (std::vector<PanelCounts>{{30, 12}, {12, 6}}));
  EXPECT_EQ(read.lattice.spacing, Spacing::uniform);
  EXPECT_TRUE(read.lattice.displaced);
  EXPECT_EQ(read.wake.along, WakeChoice::Along::stream);
  ASSERT_TRUE(read.wake.angle);
  EXPECT_DOUBLE_EQ(*read.wake.angle, 3 * degree);

  ASSERT_EQ(read.craft.surfaces.size(), 2U);
  const Surface& wing = read.craft.surfaces[0];
  EXPECT_EQ(wing.name, "front wing");
  EXPECT_EQ(wing.position, (Vec3{-0.02, 0, 0.003}));
  EXPECT_DOUBLE_EQ(wing.incidence, 1.5 * degree);
  EXPECT_EQ(wing.curve, Curve::smooth);
  ASSERT_EQ(wing.stations.size(), 3U);
  const Station& tip = wing.stations[2];
  EXPECT_EQ(tip.y, 0.4);
  EXPECT_EQ(tip.z, -0.03);
  EXPECT_EQ(tip.leading_edge, 0.04);
  EXPECT_EQ(tip.chord, 0.06);
  EXPECT_DOUBLE_EQ(tip.twist, -2 * degree);
  EXPECT_EQ(tip.section, (Section{"the tip", UniformLoadMeanLine{0.3, 0.8}, 0.11, 0}));
  const Station& root = wing.stations[1];
  EXPECT_EQ(root.z, 0);
  EXPECT_EQ(root.twist, 0);
  EXPECT_EQ(root.section.name, "root");
  EXPECT_EQ(root.section.mean_line, MeanLine(ParabolicMeanLine{0.02, 0.4}));
  EXPECT_DOUBLE_EQ(root.section.thickness, 0.12);

  const Surface& stabilizer = read.craft.surfaces[1];
  EXPECT_EQ(stabilizer.curve, Curve::straight);
  EXPECT_EQ(stabilizer.incidence, 0);
  EXPECT_EQ(stabilizer.stations[0].section, (Section{"tail", ParabolicMeanLine{-0.015, 0.4}, 0, 0}));

  ASSERT_EQ(read.twist_shapes.size(), 2U);
  EXPECT_EQ(read.twist_shapes[0], (TwistShape{"late", {0, 0.6, 1}, {0, 0.2, 1}, Curve::smooth}));
  EXPECT_EQ(read.twist_shapes[1], (TwistShape{"outer", {0, 0.8, 1}, {0, 0, -1}, Curve::straight}));
}

TEST(Case, ShortestCaseTakesTheDefaults) {
  const Case read = parsed(small_case());
  EXPECT_EQ(read.water, (WaterChoice{WaterChoice::Kind::fresh, 20, 0}));
  EXPECT_EQ(read.craft.water, fresh_water(20));
  EXPECT_EQ(read.craft.reference_surface, "plate");
  EXPECT_EQ(read.craft.moment_point, Vec3{});
  EXPECT_EQ(read.operation.speed, std::nullopt);
  EXPECT_EQ(read.operation.mass, std::nullopt);
  EXPECT_EQ(read.operation.lift_coefficient, std::nullopt);
  EXPECT_EQ(read.drag, (DragChoice{FrictionLine::ittc1957, 0}));
  EXPECT_EQ(read.lattice, (LatticeOptions{{{20, 8}}, {}, Spacing::semicircle, false}));
  EXPECT_EQ(read.wake.along, WakeChoice::Along::stream);
  EXPECT_EQ(read.wake.angle, std::nullopt);
  EXPECT_TRUE(read.twist_shapes.empty());
  EXPECT_EQ(read.craft.surfaces[0].position, Vec3{});
  EXPECT_EQ(read.craft.surfaces[0].stations[0].section, (Section{"plate", ParabolicMeanLine{0, 0.5}, 0, 0}));
  EXPECT_EQ(read.notes,
            std::vector<std::string>{"water: no temperature_c given, fresh water of 998.2041 kg/m³ "
                                     "(20 °C) assumed"});
}

TEST(Case, SeaIsTheStandardOneUnlessGiven) {
  const Case standard = parsed(small_case("water.kind = \"sea\"\n"));
  EXPECT_EQ(standard.water, (WaterChoice{WaterChoice::Kind::sea, 15, 35.16504}));
  EXPECT_EQ(standard.craft.water, sea_water(15, 35.16504));
  EXPECT_EQ(standard.notes, (std::vector<std::string>{
                                "water: no temperature_c given, sea water of 1025.973 kg/m³ (15 °C) assumed",
                                "water: no salinity_g_kg given, 35.16504 g/kg assumed"}));
  const Case bay =
      parsed(small_case("water = { kind = \"sea\", temperature_c = 8, salinity_g_kg = 18.5 }\n"));
  EXPECT_EQ(bay.craft.water, sea_water(8, 18.5));
  EXPECT_EQ(bay.notes, std::vector<std::string>{});
}

TEST(Case, FigureOfTheWaterIsReplacedAlone) {
  const Water lake = fresh_water(8);
  const auto water = [](const std::string& key) {
    return parsed(small_case("water = { temperature_c = 8, " + key + " }\n")).craft.water;
  };
  EXPECT_EQ(water("density_kg_m3 = 1001"), (Water{1001, lake.kinematic_viscosity, lake.vapour_pressure}));
  EXPECT_EQ(water("kinematic_viscosity_m2_s = 1.4e-6"), (Water{lake.density, 1.4e-6, lake.vapour_pressure}));
  EXPECT_EQ(water("vapour_pressure_pa = 1100"), (Water{lake.density, lake.kinematic_viscosity, 1100}));
}

TEST(Case, DensityOfTheSeaWithTheViscosityOfALakeIsNoted) {
  EXPECT_EQ(
      parsed(small_case("water.density_kg_m3 = 1025\n")).notes,
      std::vector<std::string>{"water: density_kg_m3 = 1025 is not that of fresh water of 20 °C, 998.2041 "
                               "kg/m³, of which its viscosity or vapour pressure is taken: check kind "
                               "and temperature_c"});
}

TEST(Case, BodyWakeAndLiftCoefficientAreRead) {
  const Case read = parsed(small_case("lattice.wake = \"body\"\noperation.lift_coefficient = 0\n"));
  EXPECT_EQ(read.wake.along, WakeChoice::Along::body);
  EXPECT_EQ(read.wake.angle, std::nullopt);
  EXPECT_EQ(read.operation.lift_coefficient, 0);
}

TEST(Case, BoundOfAnIntervalBelongsToIt) {
  EXPECT_EQ(error_in(small_case("water.density_kg_m3 = 900\n")), "no error");
  EXPECT_EQ(error_in(small_case("water.density_kg_m3 = 1300.0\n")), "no error");
  EXPECT_EQ(error_in(small_case("operation.speed_m_s = 100\n")), "no error");
  EXPECT_EQ(error_in(small_case("lattice = { strips = 250, panels_per_strip = 200 }\n")), "no error");
}

TEST(Case, OnePanelTooManyIsRefusedWithTheSizeOfTheMatrix) {
  EXPECT_EQ(error_in(small_case("lattice = { strips = 251, panels_per_strip = 200 }\n")),
            "7:1: surface[1]: found 50200 panels in all, as many unknowns and a matrix of 20160320000 bytes, "
            "wanted at "
            "most 50000: lower strips or panels_per_strip");
}

TEST(Case, MirroredHalfIsTheWholeSurface) {
  std::string whole = full_case;
  const std::string port =
      "  { y_mm = -400, z_mm = -30, leading_edge_mm = 40, chord_mm = 60, twist_deg = -2, "
      "section = \"the tip\" },\n";
  std::string half = whole;
  half.erase(half.find(port), port.size());
  half.insert(half.find("curve = \"smooth\""), "mirror = true\n");
  EXPECT_EQ(parsed(half).craft, parsed(whole).craft);
}

TEST(Case, HalfSurfaceIsReadAsItStandsAndNoted) {
  const std::string text = section_case("naca = \"0012\"");
  const std::string half = std::string(text).replace(text.find("-500"), 4, "0");
  const Case read = parsed(half);
  EXPECT_EQ(read.craft.surfaces[0].stations.size(), 2U);
  EXPECT_EQ(read.notes,
            std::vector<std::string>{"surface \"wing\": starboard half only; write mirror = true for both "
                                     "halves, or mirror = false if this is meant"});
  EXPECT_EQ(parsed(std::string(half).insert(half.find("stations"), "mirror = false\n")).notes,
            std::vector<std::string>{});
}

TEST(Case, UprightSurfaceOnTheCentrePlaneIsNoHalf) {
  const Case read = parsed(R"(title = "Mast"
water.density_kg_m3 = 1000
section.mast.naca = "0012"
[[surface]]
name = "mast"
stations = [
  { y_mm = 0, z_mm = 10, leading_edge_mm = -60, chord_mm = 120, section = "mast" },
  { y_mm = 0, z_mm = 850, leading_edge_mm = -60, chord_mm = 120, section = "mast" },
]
)");
  EXPECT_EQ(read.notes, std::vector<std::string>{});
}

TEST(Case, SurfaceIsStretchedToTheTargetsOfBothHalves) {
  const Case read = parsed(R"(title = "Stretched"
water.density_kg_m3 = 1000
section.flat.naca = "0012"
[[surface]]
name = "wing"
mirror = true
area_cm2 = 900
span_mm = 800
stations = [
  { y_mm = 0, leading_edge_mm = 0, chord_mm = 100, section = "flat" },
  { y_mm = 500, leading_edge_mm = 0, chord_mm = 100, section = "flat" },
]
)");
  const OutlineFigures figures = outline_figures(read.craft.surfaces[0]);
  EXPECT_NEAR(figures.area, 0.09, 1e-15);
  EXPECT_NEAR(figures.span, 0.8, 1e-15);
  EXPECT_EQ(read.notes,
            std::vector<std::string>{"surface \"wing\": stretched from 1000 cm² and 1000 mm span to "
                                     "900 cm² and 800 mm span"});
}

TEST(Case, SectionThatNoStationUsesIsNoted) {
  const Case read = parsed(section_case("naca = \"0012\"\n[section.spare]\nnaca = \"0009\"\n"));
  EXPECT_EQ(read.notes, std::vector<std::string>{"section \"spare\": no station uses it"});
}

TEST(Case, ContourIsReadBesideTheCase) {
  const Case read = parsed(section_case("contour = \"tip.txt\""));
  const Section& section = read.craft.surfaces[0].stations[0].section;
  EXPECT_EQ(section.name, "s");
  EXPECT_NEAR(section.trailing_edge_gap, 0.005, 1e-12);
  EXPECT_NEAR(greatest_camber(section.mean_line), 0, 1e-12);
  EXPECT_EQ(read.notes,
            std::vector<std::string>{"section \"s\": blunt trailing edge of 0.5 % of the chord kept"});
}

TEST(Case, ContourInMillimetresWithForeignLineEndsIsBroughtToUnitChord) {
  const Case read = parsed(section_case("contour = \"millimetres.txt\""));
  const Section& section = read.craft.surfaces[0].stations[0].section;
  EXPECT_EQ(section.trailing_edge_gap, 0);
  EXPECT_NEAR(greatest_camber(section.mean_line), 0, 1e-12);
  EXPECT_EQ(read.notes,
            std::vector<std::string>{"section \"s\": contour of chord 200 at 0° to its x axis brought "
                                     "to chord 1 at 0°"});
}

TEST(Case, FiveDigitDesignationIsRead) {
  const Section section = section_read("naca = \"23012\"");
  EXPECT_TRUE(std::holds_alternative<CubicMeanLine>(section.mean_line));
  EXPECT_DOUBLE_EQ(section.thickness, 0.12);
}

TEST(Case, PlaceInALineCountsLettersNotBytes) {
  EXPECT_EQ(error_in("title = \"Möwe\"; x = 1\n"), "1:15: not TOML 1.0: Error while parsing key-value pair: "
                                                   "expected a comment or whitespace, saw ';'");
}

TEST(Case, LongForeignTextIsCutAndItsControlLettersAreEscaped) {
  const std::string message =
      error_in(small_case("lattice.spacing = \"\\u0007" + std::string(500, 'x') + "\"\n"));
  EXPECT_EQ(message, "2:19: lattice.spacing: found \"\\x07" + std::string(59, 'x') +
                         "…\", wanted one of \"semicircle\", \"uniform\"");
}

TEST(Case, DeepNestingIsRefusedAsAnError) {
  EXPECT_NE(error_in("title = " + std::string(100'000, '[')), "no error");
}

TEST(Case, EndlessFileIsRefused) {
  EXPECT_EQ(error_of("/dev/zero"), "zero: found more than 1000000 bytes, wanted a case file (TOML 1.0)");
}

TEST(Case, FileCutShortAnywhereIsReadOrRefusedWithItsPath) {
  const std::string text = full_case;
  int num_refused = 0;
  for (std::size_t size = 0; size < text.size(); ++size) {
    try {
      parsed(text.substr(0, size));
    } catch (const Error& error) {
      ++num_refused;
      EXPECT_EQ(std::string(error.what()).rfind((folder / "test.toml:").string(), 0), 0U) << error.what();
    }
  }
  EXPECT_GT(num_refused, 1000);
}

TEST(Case, ExampleInTheReferenceIsACase) {
  const std::string page = contents(folder / "../../docs/case.md");
  const std::string fence = "```toml\n";
  const std::size_t begin = page.find(fence) + fence.size();
  const Case read = parsed(page.substr(begin, page.find("```\n", begin) - begin));
  EXPECT_EQ(read.craft.surfaces.size(), 2U);
  EXPECT_NEAR(reference(read.craft).area, 0.088, 1e-12);
}

TEST(Case, ContourInTheReferenceIsTheOneThatItsExampleIsTestedWith) {
  const std::string contour = contents(folder / "tip.txt");
  ASSERT_FALSE(contour.empty());
  EXPECT_NE(contents(folder / "../../docs/case.md").find("```\n" + contour + "```\n"), std::string::npos);
}

TEST(Case, DirectoryIsRefused) {
  EXPECT_EQ(error_of(folder / "bad"), "bad: found a directory, wanted a case file (TOML 1.0)");
}

TEST(Case, MissingFileIsRefused) {
  EXPECT_EQ(error_of(folder / "none.toml"), "none.toml: found no such file, wanted a case file (TOML 1.0)");
}

// What each wrong case must be refused with, after its path; of a wrong contour, with the name of that file.
TEST(Case, DragTableIsReadInAnyOrderAndNoted) {
  const std::string text = section_case(R"(naca = "2412"
drag_table = [
  { lift_coefficient = 0.6, reynolds = 1e6, drag_coefficient = 0.0096 },
  { lift_coefficient = -0.2, reynolds = 300000, drag_coefficient = 0.0107 },
  { lift_coefficient = 0.6, reynolds = 300000, drag_coefficient = 0.0124 },
  { lift_coefficient = -0.2, reynolds = 1e6, drag_coefficient = 0.0083 },
])");
  const Case read = parsed(text);
  EXPECT_EQ(read.craft.surfaces[0].stations[1].section.polar,
            (SectionPolar{{-0.2, 0.6}, {3e5, 1e6}, {0.0107, 0.0083, 0.0124, 0.0096}}));
  ASSERT_EQ(read.notes.size(), 1U);
  EXPECT_EQ(read.notes[0], "section \"s\": drag table for lift coefficients -0.2 to 0.6 and Reynolds numbers "
                           "300000 to 1000000; beyond them the nearest value holds");
}

const std::map<std::string, std::string> expected_errors = {
    {"area_is_zero.toml", "30:12: surface[1].area_cm2: found 0, wanted a number from 0.001 to 10000000000"},
    {"contour_comma.toml", "contour_comma.txt:2: found \"0,9500 0,00807\", wanted two numbers, x and z, with "
                           "blanks between them and decimal points"},
    {"contour_faces.toml",
     "contour_faces.txt: point 16 starts anew at the other end of the chord: found the two faces listed one "
     "after the other, both from the same edge; wanted the points in order round the contour: from the "
     "trailing edge over one face to the leading edge, and over the other back to the trailing edge"},
    {"contour_few.toml", "contour_few.txt: found 5 points of a contour, wanted at least 10"},
    {"contour_gap.toml", "contour_gap.txt: found a trailing-edge gap of 5 % of the chord between the first "
                         "and the last point, wanted at most 3 %"},
    {"contour_heading.toml", "contour_heading.txt:1: found \"Tip section, 12 % thick\", wanted two numbers, "
                             "x and z, with blanks between them and decimal points; put # before a heading"},
    {"contour_is_a_directory.toml",
     "21:11: section.centre.contour: ../bad: found a directory, wanted a text file of contour points"},
    {"contour_missing.toml", "21:11: section.centre.contour: contour_missing.txt: found no such file, wanted "
                             "a text file of contour points"},
    {"curve_unknown.toml",
     "30:9: surface[1].curve: found \"smoth\", wanted one of \"straight\", \"smooth\" (nearest: \"smooth\")"},
    {"density_in_g_cm3.toml", "4:17: water.density_kg_m3: found 0.998, wanted a number from 900 to 1300"},
    {"density_not_finite.toml",
     "4:17: water.density_kg_m3: found no finite number, wanted a number from 900 to 1300"},
    {"displaced_is_text.toml", "14:13: lattice.displaced: found \"no\", wanted true or false"},
    {"drag_table_drag_is_zero.toml",
     "26:68: section.centre.drag_table[4].drag_coefficient: found 0, wanted a number from 1e-05 to 10"},
    {"drag_table_drag_missing.toml",
     "26:3: section.centre.drag_table[4].drag_coefficient: found nothing, wanted a number from 1e-05 to 10"},
    {"drag_table_empty.toml", "22:14: section.centre.drag_table: found an array of 0, wanted an array of 1 "
                              "to 1000 tables, one for each point of the grid"},
    {"drag_table_not_a_full_grid.toml",
     "22:14: section.centre.drag_table: found no entry for lift_coefficient = 0.6, reynolds = 1000000, "
     "wanted a full grid: every lift coefficient at every Reynolds number"},
    {"drag_table_pair_twice.toml", "27:3: section.centre.drag_table[5]: found lift_coefficient = 0, reynolds "
                                   "= 1000000 a second time, wanted each pair once"},
    {"drag_table_reynolds_in_millions.toml",
     "23:38: section.centre.drag_table[1].reynolds: found 0.3, wanted a number from 1000 to 1000000000"},
    {"friction_line_unknown.toml", "14:17: drag.friction_line: found \"ITTC 57\", wanted one of \"ITTC "
                                   "1957\", \"flat plate\" (nearest: \"ITTC 1957\")"},
    {"incidence_too_large.toml", "30:17: surface[1].incidence_deg: found 90, wanted a number from -45 to 45"},
    {"mass_beside_lift_coefficient.toml",
     "12:20: operation.lift_coefficient: found it beside mass_kg, wanted one of the two"},
    {"mirror_off_the_centre_plane.toml",
     "26:1: surface[1]: surface 'front wing', station 1: found it at y = 5 mm of the craft, wanted the first "
     "station on the centre plane y = 0, where the halves meet"},
    {"mirror_to_port.toml", "26:1: surface[1]: surface 'front wing', station 2: found it at y = -250 mm of "
                            "the craft, wanted y > 0 behind the first station: give the starboard half"},
    {"moment_point_of_two_numbers.toml",
     "7:19: reference.moment_point_mm: found an array of 2, wanted an array of 3 numbers, x, y and z"},
    {"panels_none.toml", "15:20: lattice.panels_per_strip: found 0, wanted a whole number from 1 to 200"},
    {"panels_too_many_in_all.toml",
     "26:1: surface[1]: found 270000 panels in all, as many unknowns and a matrix of 583200000000 bytes, "
     "wanted at most 50000: lower strips or panels_per_strip"},
    {"reference_missing_with_two_surfaces.toml",
     "6:1: reference.surface: found nothing, wanted one of \"front wing\", \"stabilizer\""},
    {"reference_unknown.toml", "7:11: reference.surface: found \"front wings\", wanted one of \"front "
                               "wing\", \"stabilizer\" (nearest: \"front wing\")"},
    {"salinity_in_fresh_water.toml",
     "4:17: water.salinity_g_kg: found it with fresh water, wanted it beside kind = \"sea\" only"},
    {"salinity_in_parts_of_one_million.toml",
     "5:17: water.salinity_g_kg: found 35165.04, wanted a number from 0 to 42"},
    {"section_camber_missing.toml",
     "22:1: section.tip.camber_percent: found nothing, wanted a number from -50 to 50"},
    {"section_camber_position_at_the_edge.toml",
     "25:27: section.tip.camber_position_percent: found 100, wanted a number from 1 to 99"},
    {"section_key_of_another_kind.toml",
     "22:1: section.centre.thickness_percent: found a key not known here, wanted one of naca, "
     "drag_table"},
    {"section_naca_unknown.toml",
     "21:8: section.centre.naca: found NACA section '99', wanted four digits (2412; 0012 if without camber) "
     "or five with second and third digit 10, 20, 30, 40, 50, 21, 31, 41 or 51 (23012, 23112)"},
    {"section_not_a_table.toml", "21:10: section.centre: found \"2412\", wanted a table"},
    {"section_of_no_kind.toml",
     "20:1: section.centre: found nothing, wanted one of naca, contour, mean_line"},
    {"section_of_two_kinds.toml",
     "20:1: section.centre: found naca beside mean_line, wanted one of naca, contour, mean_line"},
    {"section_uniform_load_to_the_trailing_edge.toml",
     "23:22: section.centre.uniform_to_percent: found 100, wanted at most 95, for at 100 the slope is "
     "infinite at the trailing edge"},
    {"spacing_unknown.toml",
     "16:11: lattice.spacing: found \"cosine\", wanted one of \"semicircle\", \"uniform\""},
    {"speed_is_text.toml", "10:13: operation.speed_m_s: found \"5.5\", wanted a number from 0.01 to 100"},
    {"speed_is_zero.toml", "10:13: operation.speed_m_s: found 0, wanted a number from 0.01 to 100"},
    {"station_chord_missing.toml",
     "33:3: surface[1].stations[3].chord_mm: found nothing, wanted a number from 0.001 to 1000000"},
    {"station_chord_negative.toml",
     "33:50: surface[1].stations[3].chord_mm: found -60, wanted a number from 0.001 to 1000000"},
    {"station_place_infinite.toml",
     "33:12: surface[1].stations[3].y_mm: found no finite number, wanted a number from -1000000 to 1000000"},
    {"station_section_unknown.toml", "31:62: surface[1].stations[1].section: found \"center\", wanted one of "
                                     "\"centre\", \"tip\" (nearest: \"centre\")"},
    {"stations_hold_a_number.toml", "40:3: surface[2].stations[1]: found -200, wanted a table"},
    {"stations_in_one_place.toml", "33:3: surface[1].stations[3]: found the y_mm and z_mm of the station "
                                   "before, wanted stations apart in the front view"},
    {"stations_missing.toml",
     "36:1: surface[2].stations: found nothing, wanted an array of 2 to 1000 tables, one for each station"},
    {"stations_only_one.toml", "39:12: surface[2].stations: found an array of 1, wanted an array of 2 to "
                               "1000 tables, one for each station"},
    {"stations_out_of_order.toml", "33:3: surface[1].stations[3]: found a turn back at the station before, "
                                   "wanted stations in order along the span"},
    {"strips_not_whole.toml", "14:10: lattice.strips: found 20.0, wanted a whole number from 1 to 1000"},
    {"strips_too_many.toml", "14:10: lattice.strips: found 1000000, wanted a whole number from 1 to 1000"},
    {"surface_missing.toml",
     "1:1: surface: found nothing, wanted an array of 1 to 100 tables: write [[surface]]"},
    {"surface_name_missing.toml",
     "26:1: surface[1].name: found nothing, wanted a text of one line in quotes, 1 to 40 bytes"},
    {"surface_name_twice.toml",
     "37:8: surface[2].name: found \"front wing\", wanted a name of its own, for surface[1] has this one"},
    {"surface_not_an_array.toml",
     "26:1: surface: found a table, wanted an array of 1 to 100 tables: write [[surface]]"},
    {"surfaces_cross.toml",
     " surfaces 'front wing' and 'stabilizer' cross or touch at y = -100 mm, z = 0 mm, x = 80 to 150 mm: "
     "move one of them, or make their ends meet exactly so that they join"},
    {"syntax_decimal_comma.toml",
     "4:20: not TOML 1.0: Error while parsing key-value pair: expected a comment or whitespace, saw ','"},
    {"syntax_key_twice.toml", "11:13: not TOML 1.0: Error while parsing key-value pair: cannot redefine "
                              "existing floating-point 'speed_m_s'"},
    {"syntax_station_over_two_lines.toml",
     "31:14: not TOML 1.0: Error while parsing inline table: expected key or closing '}', saw '\\n'"},
    {"syntax_unclosed_text.toml", "1:19: not TOML 1.0: Error while parsing string: unescaped control "
                                  "characters other than TAB (U+0009) are explicitly prohibited"},
    {"temperature_in_kelvin.toml", "4:17: water.temperature_c: found 288.15, wanted a number from 0 to 30"},
    {"title_missing.toml", "1:1: title: found nothing, wanted a text of one line in quotes, 1 to 100 bytes"},
    {"title_of_two_lines.toml",
     "1:9: title: found \"Heron\\x0a880\", wanted a text of one line in quotes, 1 to 100 bytes"},
    {"transition_beyond_the_trailing_edge.toml",
     "14:22: drag.transition_percent: found 120, wanted a number from 0 to 100"},
    {"transition_without_unit.toml",
     "14:1: drag.transition: found a key not known here, wanted one of friction_line, transition_percent "
     "(nearest: transition_percent)"},
    {"twist_shape_ends_before_the_tip.toml",
     "46:12: twist_shape[1].fraction: found 0.9 at the end, wanted 1, the tip"},
    {"twist_shape_falls_back.toml",
     "46:21: twist_shape[1].fraction[3]: found 0.5, wanted at least 1e-06 more than the fraction before"},
    {"twist_shape_name_twice.toml",
     "50:8: twist_shape[2].name: found \"late\", wanted a name of its own, for twist_shape[1] has this one"},
    {"twist_shape_named_linear.toml",
     "45:8: twist_shape[1].name: found \"linear\", wanted another name, for this shape is built in"},
    {"twist_shape_starts_off_the_root.toml",
     "46:13: twist_shape[1].fraction[1]: found 0.1, wanted 0, the root, as the first fraction"},
    {"twist_shape_values_too_few.toml",
     "47:9: twist_shape[1].value: found an array of 2, wanted an array of 3 numbers, one for each fraction"},
    {"unknown_key_far_from_any.toml", "3:1: colour: found a key not known here, wanted one of title, water, "
                                      "reference, operation, drag, lattice, section, surface, twist_shape"},
    {"unknown_key_in_station.toml",
     "33:54: surface[1].stations[3].twist: found a key not known here, wanted one of y_mm, z_mm, "
     "leading_edge_mm, chord_mm, twist_deg, section (nearest: twist_deg)"},
    {"unknown_key_in_surface.toml",
     "29:1: surface[1].mirrored: found a key not known here, wanted one of name, position_mm, incidence_deg, "
     "mirror, curve, area_cm2, span_mm, strips, panels_per_strip, stations (nearest: mirror)"},
    {"unknown_table.toml",
     "9:2: operations: found a key not known here, wanted one of title, water, reference, operation, drag, "
     "lattice, section, surface, twist_shape (nearest: operation)"},
    {"vapour_pressure_in_kilopascal.toml",
     "5:22: water.vapour_pressure_pa: found 2.34, wanted a number from 100 to 100000"},
    {"viscosity_in_mm2_s.toml",
     "5:28: water.kinematic_viscosity_m2_s: found 1.0034, wanted a number from 1e-07 to 1e-05"},
    {"wake_angle_with_body_wake.toml",
     "18:18: lattice.wake_angle_deg: found it beside wake = \"body\", wanted it with wake = \"stream\" only"},
    {"water_of_no_kind.toml",
     "4:8: water.kind: found \"salt\", wanted one of \"fresh\", \"sea\" (nearest: \"sea\")"},
};

TEST(WrongCase, EachIsRefusedWithItsLine) {
  for (const auto& [name, message] : expected_errors) {
    const std::string prefix = message.rfind("contour_", 0) == 0 ? "" : name + ":";
    EXPECT_EQ(error_of(folder / "bad" / name), prefix + message);
  }
}

TEST(WrongCase, NoneIsLeftOut) {
  for (const auto& entry : std::filesystem::directory_iterator(folder / "bad")) {
    if (entry.path().extension() == ".toml") {
      EXPECT_TRUE(expected_errors.contains(entry.path().filename().string())) << entry.path();
    }
  }
}

} // namespace
} // namespace vlm
