#include <gtest/gtest.h>

#include <algorithm>
#include <atomic>
#include <cmath>

#include <vlm/flow/velocity.hpp>
#include <vlm/force/polar_point.hpp>
#include <vlm/study/placement_study.hpp>

#include "../support/angles.hpp"
#include "../support/errors.hpp"
#include "../support/wings.hpp"

namespace {

using namespace wings;

using angles::degree;
using errors::error_of;

// A wing of AR 7 and a stabilizer of a sixth of its area behind and above its wake, a metre of mean chord.
vlm::Ride wing_and_stabilizer() {
  vlm::Surface front = tapered(7, 0.5, 0.1, "front"), rear = tapered(6, 0.6, 0.1, "rear");
  for (vlm::Station& s : rear.stations)
    s.y *= 0.4, s.leading_edge *= 0.4, s.chord *= 0.4;
  rear.position = {5, 0, 0.15};
  vlm::Ride ride;
  ride.craft = craft_of({front, rear});
  ride.lattice = counts({{16, 4}, {12, 3}});
  return ride;
}

vlm::PlacementStudy carrying(double lift, double laid) {
  vlm::PlacementStudy study;
  study.surface = 1;
  study.incidences = {0};
  study.speed = 2;
  study.lift = lift;
  study.wake_angle = laid;
  return study;
}

std::vector<vlm::PlacementPoint> run_placements(const vlm::Ride& ride, const vlm::PlacementStudy& study) {
  std::vector<vlm::PlacementPoint> points;
  vlm::run_placement_study(
      ride, study, [&](const vlm::PlacementPoint& p) { points.push_back(p); }, {}, pool());
  return points;
}

TEST(PlacementStudy, OfAnUnmovedSurfaceIsTheCraftAsDrawn) {
  const vlm::Craft craft = wing_and_stabilizer().craft;
  EXPECT_EQ(vlm::placed(craft, 1, {}), craft);
}

TEST(PlacementStudy, AMovedSurfaceIsTheOneDrawnThere) {
  const vlm::Ride ride = wing_and_stabilizer();
  vlm::PlacementStudy study = carrying(4000, 0.03);
  study.aft = {0, 0.75};
  study.up = {0, 0.25};
  study.area = {1, 1.44};
  study.incidences = {-0.02};
  const std::vector<vlm::PlacementPoint> points = run_placements(ride, study);
  ASSERT_EQ(points.size(), 8U);
  for (const vlm::PlacementPoint& p : points) {
    ASSERT_TRUE(p.solved());
    vlm::Craft drawn = ride.craft;
    vlm::Surface& rear = drawn.surfaces[1];
    rear.position = {5 + p.placement.aft, 0, 0.15 + p.placement.up};
    rear.incidence = -0.02;
    for (vlm::Station& s : rear.stations) {
      const double longer = std::sqrt(p.placement.area);
      s.y *= longer, s.leading_edge *= longer, s.chord *= longer;
    }
    const vlm::Responses r = vlm::make_responses(drawn, ride.lattice, 0.03, {}, pool());
    const vlm::PolarPoint q = vlm::polar_point(r, {p.state.alpha});
    const double unit = r.pressure_area * 4;
    EXPECT_NEAR(q.lift_coefficient * unit, 4000, 1e-6);
    EXPECT_NEAR(q.induced_drag_coefficient * unit, p.induced_drag, 1e-7);
    EXPECT_NEAR(q.parts[1].lift * unit, p.parts[1].lift, 1e-6);
    EXPECT_NEAR(*q.centre_of_lift, *p.centre_of_lift, 1e-9);
    EXPECT_NEAR(*q.neutral_point, *p.handling.neutral_point, 1e-9);
  }
}

// Static stability of a wing and a tail: the tail adds ½ρV² S c · V_H · a_t (1 − dε/dα) to the stiffness
// about the wing's aerodynamic centre, V_H = S_t l_t/(S c) (Etkin, Dynamics of Atmospheric Flight, 1972,
// §6.3; from memory), a_t the lift slope of the tail alone and ε the wing's downwash where the tail is. The
// formula leaves out how downwash varies over the tail, and the tail's upwash at the wing, which grows as
// they close up: within 3 %.
TEST(PlacementStudy, AddsTheStiffnessOfItsTailVolume) {
  vlm::Ride ride = wing_and_stabilizer();
  vlm::Craft wing = ride.craft, tail = ride.craft;
  wing.surfaces.resize(1);
  tail.surfaces.erase(tail.surfaces.begin());
  tail.reference_surface = "rear";
  const FlatFigures of_wing = flat_figures(wing, counts({{16, 4}})),
                    of_tail = flat_figures(tail, counts({{12, 3}}));

  vlm::PlacementStudy study = carrying(1, 0);
  study.aft = {-1.5, 0, 3};
  study.area = {0.6, 1, 1.5};
  const vlm::Responses alone = vlm::make_responses(wing, counts({{16, 4}}), 0, {}, pool());
  const double pressure = 0.5 * ride.craft.water.density * study.speed * study.speed;
  double least = 1e9, most = 0;
  for (const vlm::PlacementPoint& p : run_placements(ride, study)) {
    const vlm::Craft craft = vlm::placed(ride.craft, 1, p.placement);
    const vlm::OutlineFigures figures = vlm::outline_figures(craft.surfaces[1]);
    // Tapered straight: at 0.44 of the semispan is the mean chord's quarter point.
    const vlm::Vec3 place{figures.mean_chord_leading_edge.x + 0.25 * figures.mean_chord, 0.22 * figures.span,
                          craft.surfaces[1].position.z};
    const double arm = place.x - of_wing.aerodynamic_centre;
    const vlm::Cause upward{{0, 0, 1}, {}, {}, {}};
    const double turned = -vlm::velocity_at(alone.system.influence(), upward, alone.circulation.column(1),
                                            std::array{place}, pool())[0]
                               .z +
                          1;
    const double textbook = pressure * figures.area * arm * of_tail.lift_slope * (1 - turned);
    const double stiffness = (p.handling.neutral_point.value() - of_wing.aerodynamic_centre) *
                             flat_figures(craft, ride.lattice).lift_slope * pressure * 7;
    EXPECT_NEAR(stiffness / textbook, 1, 0.03) << p.placement.aft << " m aft, " << p.placement.area;
    EXPECT_NEAR(*p.volume, figures.area * arm / (7 * vlm::reference(craft).chord), 0.01 * *p.volume);
    least = std::min(least, textbook), most = std::max(most, textbook);
  }
  EXPECT_GT(most, 4 * least);
}

TEST(PlacementStudy, SaysWhyAPlaceCannotBeAndGoesOn) {
  vlm::Ride ride = wing_and_stabilizer();
  ride.craft.still_surface = {vlm::Boundary::free, 3, {}, 0};
  vlm::PlacementStudy study = carrying(4000, 0.03);
  study.aft = {-4.5, 0};
  study.up = {-0.15, 5};
  const std::vector<vlm::PlacementPoint> points = run_placements(ride, study);
  ASSERT_EQ(points.size(), 4U);
  EXPECT_NE(points[0].refusal.find("'rear'"), std::string::npos) << points[0].refusal; // in the wing
  EXPECT_NE(points[1].refusal.find("above the still surface"), std::string::npos) << points[1].refusal;
  EXPECT_TRUE(points[2].solved()) << points[2].refusal;
  EXPECT_EQ(points[2].placement.aft, 0);
  EXPECT_FALSE(points[3].solved());
}

TEST(PlacementStudy, RefusesASurfaceThatCannotBeMoved) {
  vlm::Craft craft = wing_and_stabilizer().craft;
  EXPECT_NE(error_of([&] { vlm::placed(craft, 2, {}); }).find("wanted one below 2"), std::string::npos);
  EXPECT_NE(error_of([&] { vlm::placed(craft, 1, {0, 0, 0}); }).find("% of that drawn"), std::string::npos);
  craft.fuselage = body(-1, 8, 0.3, 0.3, 0.5, 1);
  EXPECT_EQ(error_of([&] { vlm::placed(craft, 1, {1.9, 0, 1}); }), "no error");
  EXPECT_NE(error_of([&] {
              vlm::placed(craft, 1, {2.1, 0, 1});
            }).find("off the fuselage"),
            std::string::npos);
  vlm::Surface more = rectangle(1, "more");
  more.stations = {craft.surfaces[1].stations.back(), craft.surfaces[1].stations.back()};
  more.stations[1].y += 1;
  more.position = craft.surfaces[1].position;
  craft.surfaces.push_back(more);
  EXPECT_NE(error_of([&] {
              vlm::placed(craft, 1, {0.1, 0, 1});
            }).find("is joined to 'more'"),
            std::string::npos);
}

TEST(PlacementStudy, StopsAfterThePlaceInHand) {
  vlm::PlacementStudy study = carrying(4000, 0.03);
  study.aft = {0, 0.1, 0.2};
  std::atomic<bool> cancel = false;
  std::size_t done = 0;
  const vlm::StudySummary summary = vlm::run_placement_study(
      wing_and_stabilizer(), study, [&](const vlm::PlacementPoint&) { cancel = true; },
      {[&](std::size_t points, std::size_t) { done = points; }, &cancel}, pool());
  EXPECT_FALSE(summary.complete);
  EXPECT_EQ(summary.num_points, 1U);
  EXPECT_EQ(done, 1U);
}

TEST(PlacementStudy, MarksTheLeastDragOfThoseThatKeepTheLimits) {
  vlm::PlacementStudy study = carrying(1, 0);
  study.aft = {0, 0.1, 0.2};
  std::vector<vlm::PlacementPoint> points(3);
  const double drag[] = {5, 3, 4}, centre[] = {0.1, 0.2, 0.3};
  for (std::size_t i = 0; i < 3; ++i)
    points[i].state.drag = drag[i], points[i].centre_of_lift = centre[i];
  vlm::PlacementLimits limits;
  limits.centre_from = 0.25;
  vlm::PlacementMarks marks = vlm::placement_marks(study, points, limits);
  EXPECT_EQ(marks.least_drag, 1U);
  EXPECT_EQ(marks.within_limits, 2U);
  EXPECT_FALSE(marks.on_border);
  points[1].refusal = "none";
  marks = vlm::placement_marks(study, points, {});
  EXPECT_EQ(marks.least_drag, 2U);
  EXPECT_EQ(marks.within_limits, std::nullopt);
  EXPECT_TRUE(marks.on_border);
  points[2].handling.static_margin = std::nullopt;
  limits = {};
  limits.least_margin = -1;
  EXPECT_FALSE(vlm::keeps(limits, points[2])); // what is not defined
}

} // namespace
