#include <cmath>
#include <string>

#include <gtest/gtest.h>

#include <vlm/base/error.hpp>
#include <vlm/file/case.hpp>

#include "../support/angles.hpp"

namespace vlm {
namespace {

using angles::degree;

// A wing of the section "s", what is in the water with it, and the water.
Case with_tables(const std::string& tables) {
  return parse_case("title = \"Heron\"\n[section.s]\nnaca = \"0010\"\n[[surface]]\nname = \"front wing\"\n"
                    "position_mm = [10, 0, 0]\nstations = [\n"
                    "  { y_mm = -400, leading_edge_mm = 0, chord_mm = 100, section = \"s\" },\n"
                    "  { y_mm = 400, leading_edge_mm = 0, chord_mm = 100, section = \"s\" },\n]\n" +
                        tables,
                    "heron.toml");
}

std::string error_with(const std::string& tables) {
  try {
    with_tables(tables);
  } catch (const Error& error) {
    return error.what();
  }
  return "no error";
}

const std::string body = "[fuselage]\nnose_mm = -60\nlength_mm = 740\nwidth_mm = 28\n";
const std::string mast =
    "[mast]\nposition_mm = [20, 0, 5]\nlength_mm = 800\nchord_mm = 120\nsection = \"s\"\n";

TEST(CaseFuselage, OfASizeHasTheEndsOfItsWidthAndIsRound) {
  const Case read = with_tables(body);
  ASSERT_TRUE(read.craft.fuselage);
  FuselageSize size;
  size.nose = -0.06;
  size.length = 0.74;
  size.width = size.height = 0.028;
  size.nose_length = 2 * 0.028;
  size.tail_length = 4 * 0.028;
  EXPECT_EQ(*read.craft.fuselage, shaped_fuselage(CutShape::elliptical, size));
  EXPECT_EQ(read.lattice.body, BodyCounts{});
}

TEST(CaseFuselage, OfASizeIsReadInFull) {
  const Case read =
      with_tables(body + "shape = \"rounded rectangle\"\nheight_mm = 40\ncentre_mm = 3\ncorner_mm = 9\n"
                         "nose = \"cone\"\nnose_length_mm = 80\ntail = \"ellipse\"\n"
                         "tail_length_mm = 200\nrings = 30\naround = 16\n");
  FuselageSize size;
  size.nose = -0.06;
  size.centre = 0.003;
  size.length = 0.74;
  size.width = 0.028;
  size.height = 0.04;
  size.corner = 0.009;
  size.nose_shape = EndShape::cone;
  size.nose_length = 0.08;
  size.tail_shape = EndShape::ellipse;
  size.tail_length = 0.2;
  EXPECT_EQ(*read.craft.fuselage, shaped_fuselage(CutShape::rounded_rectangle, size));
  EXPECT_EQ(read.lattice.body, (BodyCounts{30, 16}));
}

TEST(CaseFuselage, OfCutsIsReadAsDrawn) {
  const Case read = with_tables("[fuselage]\nshape = \"rounded rectangle\"\ncuts = [\n"
                                "  { x_mm = -60, centre_mm = 2 },\n"
                                "  { x_mm = 20, width_mm = 28, height_mm = 34, corner_mm = 8 },\n"
                                "  { x_mm = 500, width_mm = 24, centre_mm = -1.5 },\n"
                                "  { x_mm = 680, width_mm = 0, height_mm = 0 },\n]\n");
  const Fuselage drawn{CutShape::rounded_rectangle,
                       {{-0.06, 0, 0, 0.002, 0},
                        {0.02, 0.028, 0.034, 0, 0.008},
                        {0.5, 0.024, 0.024, -0.0015, 0},
                        {0.68, 0, 0, 0, 0}}};
  EXPECT_EQ(*read.craft.fuselage, drawn);
}

TEST(CaseFuselage, CountsAmongThePanels) {
  EXPECT_EQ(
      error_with("[lattice]\nstrips = 1000\npanels_per_strip = 49\n" + body + "rings = 200\naround = 8\n"),
      "heron.toml:4:1: surface[1]: found 50600 panels in all, as many unknowns and a matrix of 20482880000 "
      "bytes, wanted at most 50000: lower strips or panels_per_strip");
}

TEST(CaseMast, StandsOnItsFootAndLeansAft) {
  const Case read =
      with_tables(body + mast + "rake_deg = 5\ntop_chord_mm = 100\nstrips = 15\npanels_per_strip = 6\n");
  ASSERT_EQ(read.craft.surfaces.size(), 2U);
  const Surface& found = read.craft.surfaces[1];
  EXPECT_EQ(found.name, "mast");
  EXPECT_TRUE(found.pierces);
  EXPECT_EQ(found.position, (Vec3{0.02, 0, 0.005}));
  ASSERT_EQ(found.stations.size(), 2U);
  EXPECT_EQ(found.stations[0].z, 0);
  EXPECT_EQ(found.stations[0].leading_edge, 0);
  EXPECT_EQ(found.stations[0].chord, 0.12);
  EXPECT_DOUBLE_EQ(found.stations[1].z, 0.8 * std::cos(5 * degree));
  EXPECT_DOUBLE_EQ(found.stations[1].leading_edge, 0.8 * std::sin(5 * degree));
  EXPECT_EQ(found.stations[1].chord, 0.1);
  EXPECT_EQ(found.stations[1].section.name, "s");
  EXPECT_EQ(read.lattice.counts, (std::vector<PanelCounts>{{}, {15, 6}}));
  ASSERT_EQ(read.notes.size(), 2U); // of the water: the section is used
  EXPECT_EQ(read.notes[1],
            "mast: its foot, x 20 to 140 mm, does not stand over the origin, which all figures \"aft of the "
            "mast axis\" are measured from; to move the mast along the fuselage see docs/case.md");
}

TEST(CaseMast, OfStationsIsReadAsDrawn) {
  const Case read =
      with_tables(body + "[mast]\nname = \"high mast\"\nposition_mm = [20, 0, 0]\nstations = [\n"
                         "  { height_mm = 0, leading_edge_mm = 0, chord_mm = 120, section = \"s\" },\n"
                         "  { height_mm = 900, leading_edge_mm = 10, chord_mm = 110, twist_deg = 1, "
                         "section = \"s\" },\n]\n");
  const Surface& found = read.craft.surfaces[1];
  EXPECT_EQ(found.name, "high mast");
  EXPECT_TRUE(found.pierces);
  EXPECT_EQ(found.stations[1].y, 0);
  EXPECT_EQ(found.stations[1].z, 0.9);
  EXPECT_EQ(found.stations[1].leading_edge, 0.01);
  EXPECT_EQ(found.stations[1].chord, 0.11);
  EXPECT_DOUBLE_EQ(found.stations[1].twist, degree);
}

TEST(CaseMast, LeavesTheOnlySurfaceTheReference) {
  EXPECT_EQ(with_tables(body + mast).craft.reference_surface, "front wing");
}

TEST(CaseWater, IsBoundlessUnlessADepthIsGiven) {
  EXPECT_EQ(with_tables("").craft.still_surface, StillSurface{});
  EXPECT_EQ(with_tables("[water]\ndepth_mm = 600\n").craft.still_surface,
            (StillSurface{Boundary::free, 0.6, {}, 0}));
  EXPECT_EQ(with_tables("[water]\ndepth_mm = 600\nboundary = \"none\"\n").craft.still_surface,
            (StillSurface{Boundary::none, 0.6, {}, 0}));
}

TEST(CaseWater, OfATankHasAWallAndMayHaveADepthAndABank) {
  EXPECT_EQ(with_tables("[water]\nboundary = \"wall\"\nclearance_mm = 900\n").craft.still_surface,
            (StillSurface{Boundary::wall, {}, 0.9, 0}));
  const StillSurface both =
      with_tables("[water]\nboundary = \"wall\"\nclearance_mm = 900\ndepth_mm = 600\nbank_deg = -12\n")
          .craft.still_surface;
  EXPECT_EQ(both.boundary, Boundary::wall);
  EXPECT_EQ(both.depth, 0.6);
  EXPECT_DOUBLE_EQ(both.bank, -12 * degree);
}

} // namespace
} // namespace vlm
