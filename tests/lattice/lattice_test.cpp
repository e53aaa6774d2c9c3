#include <gtest/gtest.h>

#include <vlm/base/error.hpp>
#include <vlm/lattice/lattice.hpp>

#include "../support/wings.hpp"

namespace {

using namespace wings;
using vlm::Vec3;

std::string message(const vlm::Craft& craft, const vlm::LatticeOptions& options) {
  try {
    vlm::make_lattice(craft, options);
  } catch (const vlm::Error& e) {
    return e.what();
  }
  return "";
}

// The wing cut in two at y, as surfaces that meet there.
vlm::Craft cut_at(const vlm::Surface& whole, double y) {
  vlm::Surface port = whole, starboard = whole;
  port.name = "port", starboard.name = "starboard";
  port.stations.clear(), starboard.stations.clear();
  for (std::size_t i = 0; i < whole.stations.size(); ++i) {
    const vlm::Station& s = whole.stations[i];
    if (i > 0 && whole.stations[i - 1].y < y && s.y > y) {
      const vlm::Station& before = whole.stations[i - 1];
      const double t = (y - before.y) / (s.y - before.y);
      vlm::Station cut = before;
      cut.y = y;
      cut.z += t * (s.z - before.z);
      cut.leading_edge += t * (s.leading_edge - before.leading_edge);
      cut.chord += t * (s.chord - before.chord);
      port.stations.push_back(cut);
      starboard.stations.push_back(cut);
    }
    if (s.y <= y)
      port.stations.push_back(s);
    if (s.y >= y)
      starboard.stations.push_back(s);
  }
  return craft_of({port, starboard});
}

struct LiftAndDrag {
  double lift, far_drag, near_drag;
};

LiftAndDrag lift_and_drag(const vlm::Craft& craft, const vlm::LatticeOptions& options) {
  const vlm::Responses r = vlm::make_responses(craft, options, 0.1, {}, pool());
  const double c = std::cos(0.1), s = std::sin(0.1);
  const double x = vlm::at_turns(r.craft.force[0], {}).value(c, s),
               z = vlm::at_turns(r.craft.force[2], {}).value(c, s);
  return {z * c - x * s, vlm::at_turns(r.craft.far_drag, {}).value(c, s), x * c + z * s};
}

TEST(Lattice, WingCutAnywhereAndRejoinedKeepsLiftAndDrag) {
  for (const vlm::Surface& wing : {rectangle(6), tapered(6, 0.5)}) {
    const LiftAndDrag whole = lift_and_drag(craft_of({wing}), counts({{20, 8}}));
    for (const double y : {-2.9, -2.0, -1.0, -0.3, 0.0, 0.05, 0.5, 1.5, 2.5, 2.8}) {
      const LiftAndDrag cut = lift_and_drag(cut_at(wing, y), counts({{10, 8}, {10, 8}}));
      EXPECT_NEAR(cut.lift / whole.lift, 1, 1e-3) << "cut at y = " << y;
      EXPECT_NEAR(cut.far_drag / whole.far_drag, 1, 1e-3) << "cut at y = " << y;
    }
  }
}

TEST(Lattice, TwoHalvesWithAGapLoseLift) {
  // What the joint is for: the same halves a millimetre apart carry far less.
  vlm::Craft craft = cut_at(rectangle(6), 0);
  const double joined = lift_and_drag(craft, counts({{10, 8}, {10, 8}})).lift;
  craft.surfaces[1].position.y += 1e-3;
  EXPECT_LT(lift_and_drag(craft, counts({{10, 8}, {10, 8}})).lift, 0.97 * joined);
}

TEST(Lattice, BoundSegmentsCrossTheTrueSurfaceAtStripMiddles) {
  // Off the edges by the mean sagitta: inside the span, chord lines at strip middles run through the ends of
  // the outline.
  const vlm::Lattice lattice = vlm::make_lattice(craft_of({ellipse(8, 0.25)}), counts({{40, 2}}));
  for (std::size_t j = 4; j < 36; ++j) {
    const vlm::Strip& strip = lattice.strips[j];
    const double vortex = strip.leading_edge.x + strip.chord * 0.5 * (1 - std::cos(std::numbers::pi / 4));
    EXPECT_NEAR(lattice.force_point[strip.first_panel].x, vortex, 1e-4 * strip.chord);
  }
}

TEST(Lattice, SlopesHoldIncidenceTwistAndCamber) {
  vlm::Surface wing = rectangle(4);
  wing.incidence = 0.03;
  for (vlm::Station& s : wing.stations) {
    s.twist = -0.02;
    s.section.mean_line = vlm::ParabolicMeanLine{0.04, 0.5}; // slope 4·0.04·(1 − 2x)
  }
  const vlm::Lattice lattice = vlm::make_lattice(craft_of({wing}), counts({{6, 3}}));
  for (std::size_t p = 0; p < lattice.num_panels(); ++p) {
    EXPECT_NEAR(lattice.slope[p], 0.03 - 0.02 - 0.16 * (1 - 2 * lattice.control[p].x), 1e-12);
    EXPECT_EQ(lattice.normal[p], (Vec3{0, 0, 1}));
  }
}

TEST(Lattice, DisplacedPanelsLieOnTheTurnedMeanSurface) {
  vlm::Surface wing = rectangle(4);
  wing.incidence = 0.1;
  wing.position = {1, 0, 0.5};
  vlm::LatticeOptions options = counts({{6, 3}});
  options.displaced = true;
  const vlm::Lattice lattice = vlm::make_lattice(craft_of({wing}), options);
  for (std::size_t p = 0; p < lattice.num_panels(); ++p) {
    const Vec3 r = lattice.control[p] - wing.position;
    EXPECT_NEAR(r.z, -std::tan(0.1) * r.x, 1e-12); // nose up: the trailing edge is down
    EXPECT_NEAR(lattice.normal[p].x, std::sin(0.1), 1e-10);
    EXPECT_NEAR(lattice.normal[p].z, std::cos(0.1), 1e-10);
    EXPECT_EQ(lattice.slope[p], 0);
  }
}

TEST(Lattice, WithoutCountsHasTheDefaultOnes) {
  EXPECT_EQ(vlm::make_lattice(craft_of({rectangle(4)}), {}).num_panels(), 160U);
}

TEST(Lattice, RefusesWhatCannotBeCut) {
  EXPECT_EQ(message(craft_of({rectangle(4)}), counts({{20, 8}, {20, 8}})),
            "panel counts: found 2, wanted one for each of 1 surfaces");
  EXPECT_EQ(message(craft_of({rectangle(4)}), counts({{0, 8}})),
            "surface 'wing': found 0 strips of 8 panels, wanted at least 1 of each");
  EXPECT_EQ(message(cut_at(rectangle(4), 0.5), counts({{10, 8}, {10, 6}})),
            "surfaces 'port' and 'starboard' are joined but have 8 and 6 panels per strip: give both the "
            "same number");
  EXPECT_EQ(message(craft_of({tapered(4, 0.5)}), counts({{9, 4}})),
            "surface 'wing': 9 strips cannot be laid: a strip edge must lie on the kink or joint in the "
            "middle, so their "
            "number is even; the nearest count that can is 8 or 10");
  vlm::Craft head_on = cut_at(rectangle(4), 0.5);
  std::reverse(head_on.surfaces[1].stations.begin(), head_on.surfaces[1].stations.end());
  EXPECT_EQ(
      message(head_on, counts({{10, 8}, {10, 8}})),
      "surfaces 'port' and 'starboard' meet head on, both with their last station: write the stations of "
      "'starboard' in the opposite order, so that one surface runs on from the other");
}

TEST(Lattice, RefusesMoreUnknownsThanTheMachineHolds) {
  const std::string text = message(craft_of({rectangle(4)}), counts({{100000, 10000}}));
  EXPECT_EQ(text.rfind("the lattice has 1000000000 unknowns, which take 120000000000 bytes; this machine "
                       "has ",
                       0),
            0U)
      << text;
}

} // namespace
