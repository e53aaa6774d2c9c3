#include <vlm/file/case.hpp>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>

#include <gtest/gtest.h>
#include <sys/stat.h>
#include <unistd.h>

#include <vlm/base/error.hpp>

#include "../support/angles.hpp"

namespace vlm {
namespace {

const std::filesystem::path folder = std::filesystem::path(VLM_TESTS_DIR) / "file";
using angles::degree;

std::string contents(const std::filesystem::path& path) {
  std::ifstream file(path, std::ios::binary);
  std::ostringstream text;
  text << file.rdbuf();
  return text.str();
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
system = "hierarchical"
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
  EXPECT_EQ(read.lattice.system, SystemKind::hierarchical);
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
  EXPECT_EQ(read.lattice, (LatticeOptions{{{20, 8}}, {}, Spacing::semicircle, false, {}}));
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

TEST(Case, GreatestLiftCoefficientIsReadOfEveryKindOfSection) {
  for (const std::string kind :
       {"naca = \"2412\"\n", "mean_line = \"parabola\"\ncamber_percent = 2\n", "contour = \"tip.txt\"\n",
        "mean_line = \"uniform load\"\ndesign_lift_coefficient = 0.3\nuniform_to_percent = 80\n"}) {
    EXPECT_EQ(section_read(kind).max_lift_coefficient, std::nullopt) << kind;
    EXPECT_EQ(section_read(kind + "max_lift_coefficient = 1.15\n").max_lift_coefficient, 1.15) << kind;
  }
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

// Text, over and over.
std::string repeated(const std::string& text, int times) {
  std::string result;
  for (int i = 0; i < times; ++i)
    result += text;
  return result;
}

TEST(Case, KeyOfManyNamesIsRefusedAsAnError) {
  const std::string wanted = "found a key of more than 4 names joined by dots, wanted fewer";
  const std::string names = repeated("a.", 400'000) + "a";
  EXPECT_EQ(error_in(names + " = 1\n"), "1:8: " + wanted);
  EXPECT_EQ(error_in("[" + names + "]\n"), "1:9: " + wanted);
  EXPECT_EQ(error_in("x = [{ \"'#\\\"\" = '\\', " + names + " = 1 }]\n"), "1:29: " + wanted);
  EXPECT_EQ(error_in("x = [\"\"\"\n\"\"\"\", {" + names + "}]\n"), "2:15: " + wanted);
  // As deep as keys and braces may go together.
  const std::string deep = repeated("{ a.a.a.a = ", 200) + "1" + repeated(" }", 200);
  EXPECT_NE(error_in("x = " + deep).find("x: found a key not known here"), std::string::npos);
}

TEST(Case, DotsOutsideKeysAreNotCounted) {
  const std::string dots(1000, '.');
  const Case read = parsed("# '\"" + dots + "\ntitle = \"" + dots.substr(0, 90) + "\" # " + dots + "\n" +
                           small_case().substr(small_case().find('\n')));
  EXPECT_EQ(read.craft.title, dots.substr(0, 90));
}

TEST(Case, MoreSectionsOrStationsThanCanBeReadInAMomentAreRefused) {
  std::string sections, surfaces;
  for (int i = 0; i < 25'000; ++i)
    sections += "[section.s" + std::to_string(i) + "]\ncontour = \"tip.txt\"\n";
  EXPECT_EQ(error_in("title = \"Many\"\n" + sections),
            "402:1: section.s200: found 25000 sections, wanted at most 200");

  for (int i = 1; i <= 3; ++i) {
    const std::string number = std::to_string(i);
    surfaces += "[[surface]]\nname = \"wing " + number + "\"\nposition_mm = [" + number +
                "000, 0, 0]\nstations = [\n";
    for (int k = 0; k < 1000; ++k)
      surfaces +=
          "{ y_mm = " + std::to_string(k) + ", leading_edge_mm = 0, chord_mm = 9, section = \"s\" },\n";
    surfaces += "]\n";
  }
  EXPECT_EQ(error_in("title = \"Many\"\nsection.s.naca = \"0012\"\n" + surfaces),
            "2016:12: surface[3].stations: found 3000 stations so far, wanted at most 2000 in all surfaces");
}

TEST(Case, ContourThatIsAPipeIsNotWaitedFor) {
  const std::filesystem::path pipe =
      std::filesystem::temp_directory_path() / ("vlm-pipe-" + std::to_string(getpid()));
  ASSERT_EQ(mkfifo(pipe.c_str(), 0600), 0);
  const std::string message = error_in(section_case("contour = \"" + pipe.string() + "\""));
  std::filesystem::remove(pipe);
  EXPECT_NE(message.find("found no plain file, wanted a text file of contour points"), std::string::npos)
      << message;
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
  EXPECT_EQ(read.craft.surfaces.size(), 3U);
  EXPECT_TRUE(read.craft.surfaces.back().pierces);
  EXPECT_TRUE(read.craft.fuselage.has_value());
  EXPECT_NEAR(reference(read.craft).area, 0.088, 1e-12);
}

TEST(Case, ContourInTheReferenceIsTheOneThatItsExampleIsTestedWith) {
  const std::string contour = contents(folder / "tip.txt");
  ASSERT_FALSE(contour.empty());
  EXPECT_NE(contents(folder / "../../docs/case.md").find("```text\n" + contour + "```\n"), std::string::npos);
}

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

} // namespace
} // namespace vlm
