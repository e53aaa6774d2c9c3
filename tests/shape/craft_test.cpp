#include <vlm/shape/craft.hpp>

#include <cmath>
#include <functional>

#include <gtest/gtest.h>

#include "../support/errors.hpp"

namespace {

using namespace vlm;

Station station(double y, double z = 0, double leading_edge = 0, double chord = 0.1) {
  return {y, z, leading_edge, chord, 0, naca_section("2412")};
}

Surface surface(const char* name, std::vector<Station> stations, Vec3 position = {}) {
  return {name, position, 0, Curve::straight, std::move(stations)};
}

Craft craft(std::vector<Surface> surfaces) {
  Craft result;
  result.title = "rescue board";
  result.reference_surface = surfaces.empty() ? "" : surfaces.front().name;
  result.surfaces = std::move(surfaces);
  return result;
}

std::string error_of(const Craft& checked) {
  return errors::error_of([&] { check(checked); });
}

const Surface front_wing = surface("front wing", {station(-0.4), station(0.4)});
const Surface stabilizer = surface("stabilizer", {station(-0.2), station(0.2)}, {0.6, 0, 0});

TEST(CraftCheck, AcceptsASurfaceBehindAnotherInItsPlane) {
  EXPECT_EQ(error_of(craft({front_wing, stabilizer})), "no error");
}

TEST(CraftCheck, RefusesSurfacesThatOverlapInOnePlane) {
  Surface near = stabilizer;
  near.position.x = 0.07;
  EXPECT_EQ(error_of(craft({front_wing, near})),
            "surfaces 'front wing' and 'stabilizer' cross or touch at y = 0 "
            "mm, z = 0 mm, x = 70 to 100 mm: move one "
            "of them, or make their ends meet exactly so that they join");
  near.position.x = 0.1; // edge on edge
  EXPECT_NE(error_of(craft({front_wing, near})).find("cross or touch"), std::string::npos);
  near.position.x = 0.1001;
  EXPECT_EQ(error_of(craft({front_wing, near})), "no error");
}

TEST(CraftCheck, RefusesSurfacesThatOverlapOnPartOfTheirSpanOnly) {
  // The wing's swept tips reach back to the stabilizer, its middle does not.
  const Surface swept = surface("front wing", {station(-0.4, 0, 0.6), station(0), station(0.4, 0, 0.6)});
  Surface wide = surface("stabilizer", {station(-0.5), station(0.5)}, {0.6, 0, 0});
  const std::string message = error_of(craft({swept, wide}));
  EXPECT_NE(message.find("y = -36"), std::string::npos) << message; // 333 to 400 mm
  wide.stations = {station(-0.3), station(0.3)};
  EXPECT_EQ(error_of(craft({swept, wide})), "no error");
}

TEST(CraftCheck, RefusesASurfaceThroughAnother) {
  Surface mast = surface("mast", {station(0.12, 0.5), station(0.12, -0.1)}, {0.03, 0, 0});
  EXPECT_EQ(error_of(craft({front_wing, mast})),
            "surfaces 'front wing' and 'mast' cross or touch at y = 120 mm, z "
            "= 0 mm, x = 30 to 100 mm: move one of "
            "them, or make their ends meet exactly so that they join");
  mast.position.x = 0.2; // passes behind
  EXPECT_EQ(error_of(craft({front_wing, mast})), "no error");
  mast.position.x = 0.03;
  mast.stations.back().z = 0; // ends on the wing
  EXPECT_NE(error_of(craft({front_wing, mast})).find("cross or touch"), std::string::npos);
  mast.stations.back().z = 0.001;
  EXPECT_EQ(error_of(craft({front_wing, mast})), "no error");
}

TEST(CraftCheck, FindsACrossingOfSmoothCurves) {
  Surface bent = surface("front wing", {station(-0.4, 0), station(0, 0.1), station(0.4, 0)});
  bent.curve = Curve::smooth;
  // Level at the crest: passes above the straight line from station to station.
  const Surface bar = surface("bar", {station(-0.12, 0.0935), station(-0.08, 0.0935)});
  EXPECT_NE(error_of(craft({bent, bar})).find("cross or touch"), std::string::npos);
  bent.curve = Curve::straight;
  EXPECT_EQ(error_of(craft({bent, bar})), "no error");
}

TEST(CraftCheck, AcceptsEndsThatJoin) {
  const Surface port = surface("port", {station(-0.4, 0.05), station(0)}),
                starboard = surface("starboard", {station(0), station(0.4, 0.05)});
  EXPECT_EQ(error_of(craft({port, starboard})), "no error");
  const std::vector<Joint> found = joints(craft({port, starboard}));
  ASSERT_EQ(found.size(), 1u);
  EXPECT_EQ(found[0].surface_a, 0u);
  EXPECT_EQ(found[0].surface_b, 1u);
  EXPECT_TRUE(found[0].end_a);
  EXPECT_FALSE(found[0].end_b);
}

TEST(Joints, MeetWithinAMicrometreAtBothEdges) {
  const Surface port = surface("port", {station(-0.4), station(0)});
  const auto joined = [&](Station first) {
    return !joints(craft({port, surface("starboard", {first, station(0.4)})})).empty();
  };
  EXPECT_TRUE(joined(station(0)));
  EXPECT_TRUE(joined(station(0.9e-6)));
  EXPECT_FALSE(joined(station(1.1e-6)));
  EXPECT_FALSE(joined(station(0, 0, 2e-6)));
  EXPECT_FALSE(joined(station(0, 0, 0, 0.1 + 2e-6)));
}

TEST(CraftCheck, SaysHowToJoinEndsThatMeetOnlyInTheFrontView) {
  const Surface port = surface("port", {station(-0.4), station(0)}),
                starboard = surface("starboard", {station(0, 0, 0.01, 0.12), station(0.4)});
  EXPECT_EQ(
      error_of(craft({port, starboard})),
      "surface 'port', station 2 and surface 'starboard', station 1 meet at y = 0 mm, z = 0 mm, but one "
      "chord "
      "lies at x = 0 to 100 mm, the other at x = 10 to 130 mm: give both the same leading edge and chord, so "
      "that they join, or move one away");
}

TEST(CraftCheck, RefusesJoinedSurfacesThatFoldBackOverEachOther) {
  const Surface port = surface("port", {station(-0.4), station(0)}),
                back = surface("back", {station(0), station(-0.2)});
  EXPECT_NE(error_of(craft({port, back})).find("'port' and 'back' cross or touch at y = -100 mm"),
            std::string::npos)
      << error_of(craft({port, back}));
}

TEST(CraftCheck, RefusesASurfaceThatCrossesItself) {
  const Surface loop =
      surface("loop", {station(-0.4), station(0.4), station(0.4, 0.2), station(0, 0.2), station(0, -0.2)});
  EXPECT_EQ(
      error_of(craft({loop})),
      "surface 'loop' crosses or touches itself at y = 0 mm, z = 0 mm, x = 0 to 100 mm: put its stations in "
      "order along the span, clear of each other");
  const Surface folded = surface("folded", {station(0), station(0.45), station(0.4)});
  EXPECT_NE(error_of(craft({folded})).find("'folded' crosses or touches itself"), std::string::npos);
}

TEST(CraftCheck, RefusesASmoothSurfaceThatCrossesItself) {
  Surface loop = surface("loop", {station(-0.4), station(0.3, 0.02), station(0.4, 0.12), station(0.3, 0.22),
                                  station(0.1, 0.24), station(0, 0.14), station(-0.02, -0.2)});
  loop.curve = Curve::smooth;
  EXPECT_NE(error_of(craft({loop})).find("'loop' crosses or touches itself"), std::string::npos);
  loop.stations.pop_back();
  EXPECT_EQ(error_of(craft({loop})), "no error");
  // Back along itself, but for steps of rounding to the side.
  Surface folded = surface("folded", {station(0.3), station(0.3 + 1e-12, 0.2), station(0.3 + 2e-12, 0.1)});
  folded.curve = Curve::smooth;
  EXPECT_NE(error_of(craft({folded})).find("turning by a right angle or more"), std::string::npos)
      << error_of(craft({folded}));
}

TEST(CraftCheck, AcceptsAClosedBox) {
  const Surface box =
      surface("box", {station(-0.4), station(0.4), station(0.4, 0.2), station(-0.4, 0.2), station(-0.4)});
  EXPECT_EQ(error_of(craft({box})), "no error");
  EXPECT_EQ(joints(craft({box})).size(), 1u);
}

// A fuselage 30 mm wide and 40 mm high from x = -100 to 700 mm.
Fuselage slim_body() {
  FuselageSize size;
  size.nose = -0.1;
  size.length = 0.8;
  size.width = 0.03;
  size.height = 0.04;
  size.nose_length = 0.1;
  size.tail_length = 0.2;
  return shaped_fuselage(CutShape::elliptical, size);
}

Craft on_slim_body(std::vector<Surface> surfaces) {
  Craft result = craft(std::move(surfaces));
  result.fuselage = slim_body();
  return result;
}

// Foot at z, leading edge at x = 30 mm.
Surface mast_from(double z) {
  Surface mast = surface("mast", {station(0, z), station(0, 0.8)}, {0.03, 0, 0});
  mast.pierces = true;
  return mast;
}

TEST(CraftCheck, LetsSurfacesMeetInsideTheFuselage) {
  EXPECT_EQ(error_of(on_slim_body({front_wing, stabilizer, mast_from(0)})), "no error");
  EXPECT_EQ(error_of(on_slim_body({front_wing, mast_from(-0.005)})), "no error");
  EXPECT_EQ(error_of(on_slim_body({front_wing, mast_from(0.02)})), "no error"); // foot on the skin
  // Halves whose root chords differ.
  EXPECT_EQ(error_of(on_slim_body({surface("port", {station(-0.4), station(0)}),
                                   surface("starboard", {station(0, 0, 0.01, 0.12), station(0.4)})})),
            "no error");
}

TEST(CraftCheck, RefusesSurfacesThatMeetOutsideTheFuselage) {
  Craft high = on_slim_body({front_wing, mast_from(0)});
  high.surfaces[0].position.z = 0.021; // a millimetre above the fuselage
  EXPECT_EQ(error_of(high),
            "surfaces 'front wing' and 'mast' cross or touch at y = 0 mm, z = 21 mm, x = 30 to "
            "100 mm: move one of them, or let a mast meet other surfaces inside a fuselage");
  Surface wide = stabilizer;
  wide.position.x = 0.07; // in the plane of the wing, along the whole span
  EXPECT_NE(error_of(on_slim_body({front_wing, wide})).find("cross or touch"), std::string::npos);
  Craft ahead = on_slim_body({front_wing, mast_from(0)});
  ahead.surfaces[0].position.x = ahead.surfaces[1].position.x = -0.15; // meet ahead of the nose as well
  EXPECT_NE(error_of(ahead).find("cross or touch"), std::string::npos);
}

TEST(CraftCheck, RefusesARootThickerThanTheFuselage) {
  Surface thick = stabilizer;
  thick.position.x = 0.635; // its middle where the fuselage is 8 mm high
  EXPECT_EQ(error_of(on_slim_body({front_wing, thick})).substr(0, 62),
            "surface 'stabilizer' is 12 mm thick where it meets the fuselag");
  Craft plate = on_slim_body({front_wing, mast_from(0)});
  for (FuselageCut& cut : plate.fuselage->cuts)
    cut.width *= 0.3;
  EXPECT_EQ(
      error_of(plate),
      "surface 'mast' is 12 mm thick where it meets the fuselage, at y = 0 mm, z = 20 mm, x = 30 to 130 mm, "
      "but the fuselage is 9 mm wide over the middle of that chord, at x = 80 mm: wanted a fuselage at "
      "least 12 mm wide there, or a thinner section");
  plate.surfaces[1].stations[0].section.thickness = plate.surfaces[1].stations[1].section.thickness = 0.08;
  EXPECT_EQ(error_of(plate), "no error"); // the wing's thickness lies along the fuselage's height
}

TEST(CraftCheck, RefusesASurfaceThatNeverLeavesTheFuselage) {
  EXPECT_EQ(
      error_of(on_slim_body({front_wing, surface("stub", {station(-0.01), station(0.01)}, {0.3, 0, 0})})),
      "surface 'stub' lies inside the fuselage from tip to tip, wanted one that leaves it: make its span "
      "longer, the fuselage slimmer, or leave the surface out");
  EXPECT_EQ(error_of(on_slim_body({front_wing, surface("fin", {station(0.01), station(0.1)}, {0.3, 0, 0})})),
            "no error");
}

TEST(CraftCheck, PassesOnWhatIsWrongWithTheFuselage) {
  Craft open = on_slim_body({front_wing});
  open.fuselage->cuts.back().height = 0.01;
  EXPECT_NE(error_of(open).find("where the body closes"), std::string::npos);
}

TEST(CraftCheck, WantsOneMastInTheMiddleThatRises) {
  EXPECT_EQ(error_of(craft({front_wing, mast_from(0.01)})), "no error");
  Surface second = mast_from(0.01);
  second.name = "rear mast";
  second.position.x = 0.3;
  EXPECT_EQ(error_of(craft({front_wing, mast_from(0.01), second})),
            "surfaces 'mast' and 'rear mast' both pierce the still surface, wanted one mast at most");
  Surface leaning = mast_from(0.01);
  leaning.stations[1].y = 0.002;
  EXPECT_EQ(error_of(craft({front_wing, leaning})),
            "surface 'mast', station 2: found it at y = 2 mm, wanted a mast in the plane y = 0");
  Surface hanging = mast_from(0.01);
  std::swap(hanging.stations[0], hanging.stations[1]);
  EXPECT_EQ(error_of(craft({front_wing, hanging})),
            "surface 'mast', station 2: found it no higher than station 1, wanted a mast whose stations rise "
            "from its foot");
}

TEST(CraftCheck, WantsWhatItsBoundaryNeeds) {
  const auto with = [](const StillSurface& still) {
    Craft changed = craft({front_wing});
    changed.still_surface = still;
    return error_of(changed);
  };
  EXPECT_EQ(with({Boundary::free, 0.4, {}, -1.3}), "no error");
  EXPECT_EQ(with({Boundary::wall, {}, 0.4, 0}), "no error");
  EXPECT_EQ(with({Boundary::free, {}, 0.4, 0}),
            "found a free surface and no depth of the craft, wanted its depth, or no boundary");
  EXPECT_EQ(with({Boundary::wall, 0.4, {}, 0}),
            "found a wall and no clearance of the craft, wanted its clearance, or no boundary");
  EXPECT_EQ(with({Boundary::none, -0.4, {}, 0}),
            "the depth of the craft is no number above 0, wanted metres below the still surface");
  EXPECT_EQ(with({Boundary::wall, {}, 0.0, 0}),
            "the clearance of the craft is no number above 0, wanted metres above the wall");
  EXPECT_EQ(with({Boundary::free, 0.4, {}, 1.5}),
            "found a bank of 85.9437 degrees, wanted less than 80 to either side");
  EXPECT_EQ(with({Boundary::free, 0.4, {}, std::nan("")}),
            "the bank of the craft is not finite, wanted a number");
}

TEST(CraftCheck, NamesWhatIsMissing) {
  EXPECT_EQ(error_of(craft({})), "the craft has no surface, wanted at least one");
  EXPECT_EQ(error_of(craft({front_wing, surface("", {station(-1, 1), station(1, 1)})})),
            "surface 2 has no name, wanted one of its own");
  EXPECT_EQ(error_of(craft({front_wing, stabilizer, front_wing})),
            "surfaces 1 and 3 are both named 'front wing', wanted different names");
  Craft lost = craft({front_wing, stabilizer});
  lost.reference_surface = "rear wing";
  EXPECT_EQ(error_of(lost),
            "reference surface: found no surface 'rear wing', wanted one of 'front wing', 'stabilizer'");
}

TEST(CraftCheck, RefusesFiguresThatAreNotFinite) {
  const double nan = std::nan("");
  const auto broken = [](const std::function<void(Craft&)>& change) {
    Craft changed = craft({front_wing, stabilizer});
    change(changed);
    return error_of(changed);
  };
  EXPECT_NE(broken([&](Craft& c) { c.moment_point.z = nan; }).find("moment point"), std::string::npos);
  EXPECT_NE(broken([&](Craft& c) { c.water.density = 0; }).find("density"), std::string::npos);
  EXPECT_NE(broken([&](Craft& c) { c.water.kinematic_viscosity = nan; }).find("viscosity"),
            std::string::npos);
  EXPECT_NE(broken([&](Craft& c) { c.water.vapour_pressure = -1; }).find("vapour"), std::string::npos);
  EXPECT_NE(broken([&](Craft& c) { c.surfaces[1].incidence = nan; }).find("'stabilizer': found an incidence"),
            std::string::npos);
  EXPECT_NE(broken([&](Craft& c) { c.surfaces[1].position.y = nan; }).find("'stabilizer': found a position"),
            std::string::npos);
  EXPECT_NE(broken([&](Craft& c) {
              c.surfaces[1].stations[1].section.mean_line = UniformLoadMeanLine{0.3, 1};
            }).find("'stabilizer', station 2: found a uniform load"),
            std::string::npos);
}

TEST(Reference, IsTheSizeOfTheReferenceSurface) {
  Craft both = craft({front_wing, stabilizer});
  both.reference_surface = "stabilizer";
  const Reference found = reference(both);
  EXPECT_NEAR(found.area, 0.04, 1e-15);
  EXPECT_NEAR(found.span, 0.4, 1e-15);
  EXPECT_NEAR(found.chord, 0.1, 1e-15);
}

} // namespace
