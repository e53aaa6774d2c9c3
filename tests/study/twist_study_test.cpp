#include <gtest/gtest.h>

#include <atomic>

#include <vlm/base/error.hpp>
#include <vlm/force/span_loading.hpp>
#include <vlm/study/polar.hpp>
#include <vlm/study/twist_study.hpp>

#include "../support/angles.hpp"
#include "../support/wings.hpp"

namespace {

using namespace wings;

using angles::degree;

// A wing of AR 7 and a straight-tapered stabilizer behind and above its wake.
vlm::Craft tandem() {
  vlm::Surface front = tapered(7, 0.5, 0.1, "front"), rear = tapered(6, 0.6, 0.1, "rear");
  for (vlm::Station& s : rear.stations)
    s.y *= 0.4, s.leading_edge *= 0.4, s.chord *= 0.4;
  rear.position = {5, 0, 0.15};
  rear.incidence = -1 * degree;
  return craft_of({front, rear});
}

vlm::TwistStudy study_of(std::vector<double> incidences, std::vector<double> twists, double lift) {
  vlm::TwistStudy s;
  s.surface = 1;
  s.shape = vlm::linear_twist();
  s.incidences = std::move(incidences);
  s.twists = std::move(twists);
  s.lift_coefficient = lift;
  return s;
}

std::vector<vlm::TwistPoint> run(const vlm::Craft& craft, const vlm::Responses& responses,
                                 const vlm::TwistStudy& study) {
  std::vector<vlm::TwistPoint> points;
  vlm::run_twist_study(
      craft, responses, study,
      [&](std::span<const vlm::TwistPoint> chunk) {
        points.insert(points.end(), chunk.begin(), chunk.end());
      },
      {}, pool());
  return points;
}

vlm::Craft with_setting(vlm::Craft craft, double incidence, double twist) {
  craft.surfaces[1].incidence = incidence;
  craft.surfaces[1].stations.front().twist += twist;
  craft.surfaces[1].stations.back().twist += twist;
  return craft;
}

// Of one limit throughout, the share is that of the peak, which the kernel finds.
TEST(TwistStudy, ShareOfALiftLimitIsThatOfThePeak) {
  vlm::Craft craft = tandem();
  const vlm::LatticeOptions options = counts({{8, 2}, {6, 2}});
  const vlm::TwistStudy study = study_of({-4 * degree, 3 * degree}, {-5 * degree, 4 * degree}, 0.9);
  const auto points = [&] {
    return vlm::TwistPoints(craft, vlm::twist_responses(craft, options, study, 3 * degree, pool()), study);
  };
  const vlm::TwistPoints free = points();
  EXPECT_EQ(free.share_of_limit(free[0]), std::nullopt);
  for (vlm::Surface& surface : craft.surfaces)
    for (vlm::Station& station : surface.stations)
      station.section.max_lift_coefficient = 0.8;
  const vlm::TwistPoints limited = points();
  for (std::size_t i = 0; i < limited.size(); ++i)
    EXPECT_NEAR(limited.share_of_limit(limited[i]).value(),
                std::abs(limited[i].peak_local_lift.value()) / 0.8, 1e-13);
}

TEST(TwistStudy, SuperpositionEqualsAFreshSolveOfEachPoint) {
  const vlm::Craft craft = tandem();
  const vlm::LatticeOptions options = counts({{12, 4}, {10, 4}});
  const vlm::TwistStudy study =
      study_of({-4 * degree, -1 * degree, 3 * degree}, {-5 * degree, 0.0, 4 * degree}, 0.4);
  const double wake = 3 * degree;
  for (const vlm::TwistPoint& p :
       run(craft, vlm::twist_responses(craft, options, study, wake, pool()), study)) {
    const vlm::Craft fresh = with_setting(craft, p.incidence, p.twist);
    const vlm::Responses r = vlm::make_responses(fresh, options, wake, {}, pool());
    const vlm::PolarPoint q = vlm::polar_point(r, {p.alpha.value()});
    EXPECT_NEAR(q.lift_coefficient, 0.4, 1e-10);
    EXPECT_NEAR(q.pitching_moment_coefficient, p.pitching_moment_coefficient.value(), 1e-10);
    EXPECT_NEAR(q.induced_drag_coefficient, p.induced_drag_coefficient.value(), 1e-10);
    EXPECT_NEAR(q.near_drag_excess.value(), p.near_drag_excess.value(), 1e-10);
    EXPECT_NEAR(q.parts[1].lift, p.surface_lift_coefficient.value(), 1e-10);
    EXPECT_NEAR(q.centre_of_lift.value(), p.centre_of_lift.value(), 1e-9);
    EXPECT_NEAR(q.neutral_point.value(), p.neutral_point.value(), 1e-9);
    const vlm::SpanLoading loading = vlm::span_loading(r.system.lattice(), q.strip_circulation, 1, 1);
    double peak = 0;
    for (const double local : loading.lift_coefficient)
      peak = std::abs(local) > std::abs(peak) ? local : peak;
    EXPECT_NEAR(peak, p.peak_local_lift.value(), 1e-10);
    EXPECT_NEAR(loading.lift_coefficient[p.peak_strip], p.peak_local_lift.value(), 1e-10);
    // Slopes of the fresh craft by central difference.
    const double h = 1e-5;
    const vlm::PolarPoint up = vlm::polar_point(r, {*p.alpha + h}),
                          down = vlm::polar_point(r, {*p.alpha - h});
    EXPECT_NEAR((up.lift_coefficient - down.lift_coefficient) / (2 * h), p.lift_slope.value(), 1e-8);
    EXPECT_NEAR(p.static_margin.value(), (*p.neutral_point - *p.centre_of_lift) / r.reference.chord, 1e-12);
  }
}

TEST(TwistStudy, ZeroLiftMomentIsTheMomentWhereLiftVanishes) {
  const vlm::Craft craft = tandem();
  const vlm::LatticeOptions options = counts({{12, 4}, {10, 4}});
  const vlm::TwistStudy study = study_of({-3 * degree}, {2 * degree}, 0.4);
  const vlm::Responses responses = vlm::twist_responses(craft, options, study, 0, pool());
  const vlm::TwistPoint p = run(craft, responses, study).front();
  const vlm::Responses r =
      vlm::make_responses(with_setting(craft, p.incidence, p.twist), options, 0, {}, pool());
  double low = -0.3, high = 0.3;
  for (int i = 0; i < 60; ++i)
    (vlm::polar_point(r, {0.5 * (low + high)}).lift_coefficient < 0 ? low : high) = 0.5 * (low + high);
  EXPECT_NEAR(vlm::polar_point(r, {low}).pitching_moment_coefficient, p.zero_lift_moment.value(), 1e-10);
}

// Twist and incidence as turned normals on the flat lattice, against panels on the turned surface: the
// difference is of second order, so halving the angles quarters it.
TEST(TwistStudy, MeetsTheDisplacedLatticeToSecondOrderInTheAngles) {
  const auto difference = [](double scale) {
    vlm::Craft craft = tandem();
    craft.surfaces[0].incidence = 2 * degree * scale;
    craft = with_setting(craft, -3 * degree * scale, 4 * degree * scale);
    for (vlm::Station& s : craft.surfaces[0].stations)
      s.section.mean_line = vlm::ParabolicMeanLine{0.03 * scale, 0.5};
    vlm::LatticeOptions flat = counts({{12, 4}, {10, 4}}), displaced = flat;
    displaced.displaced = true;
    const vlm::Matrix a = vlm::make_responses(craft, flat, 0, {}, pool()).strip_circulation;
    const vlm::Matrix b = vlm::make_responses(craft, displaced, 0, {}, pool()).strip_circulation;
    double greatest = 0;
    for (std::size_t j = 0; j < a.rows; ++j)
      greatest = std::max(greatest, std::abs(a(j, 0) - b(j, 0)));
    return greatest;
  };
  EXPECT_NEAR(std::log2(difference(1) / difference(0.5)), 2, 0.15);
  EXPECT_NEAR(std::log2(difference(0.5) / difference(0.25)), 2, 0.1);
}

// A wing with dihedral: incidence turns it about y, twist its sections about the sloping span.
TEST(TwistStudy, IncidenceOfAVeeMeetsTheDisplacedLatticeToSecondOrder) {
  const auto difference = [](double incidence) {
    vlm::Surface vee = tapered(6, 0.6);
    for (vlm::Station& s : vee.stations)
      s.z = 0.36 * std::abs(s.y);
    vee.incidence = incidence;
    vlm::LatticeOptions flat = counts({{12, 4}}), displaced = flat;
    displaced.displaced = true;
    const vlm::Matrix a = vlm::make_responses(craft_of({vee}), flat, 0, {}, pool()).strip_circulation;
    const vlm::Matrix b = vlm::make_responses(craft_of({vee}), displaced, 0, {}, pool()).strip_circulation;
    double greatest = 0;
    for (std::size_t j = 0; j < a.rows; ++j)
      greatest = std::max(greatest, std::abs(a(j, 0) - b(j, 0)));
    return greatest;
  };
  EXPECT_GE(std::log2(difference(4 * degree) / difference(2 * degree)), 1.9);
  EXPECT_GE(std::log2(difference(2 * degree) / difference(1 * degree)), 1.9);
}

TEST(TwistStudy, IncidenceOfALoneSurfaceIsAnAngleOfAttack) {
  // To first order, whatever its front view: here a vee, and one written from starboard to port.
  vlm::Surface vee = tapered(6, 0.6), backwards = rectangle(6);
  for (vlm::Station& s : vee.stations)
    s.z = 0.6 * std::abs(s.y);
  std::reverse(backwards.stations.begin(), backwards.stations.end());
  for (const vlm::Surface& wing : {vee, backwards}) {
    const std::vector<vlm::TurnShape> turn{{0, std::nullopt}};
    const vlm::Responses r = vlm::make_responses(craft_of({wing}), counts({{12, 4}}), 0, turn, pool());
    for (std::size_t j = 0; j < 12; ++j)
      EXPECT_NEAR(r.strip_circulation(j, 2), r.strip_circulation(j, 1), 1e-12);
    EXPECT_GT(r.craft.force[2](0, 2), 0); // up
  }
}

TEST(TwistStudy, WithoutLiftHasNoCentreAndNoMargin) {
  const vlm::Craft craft = tandem();
  const vlm::TwistStudy study = study_of({-1 * degree, 1 * degree}, {0.0}, 0);
  for (const vlm::TwistPoint& p :
       run(craft, vlm::twist_responses(craft, counts({{8, 2}, {8, 2}}), study, 0, pool()), study)) {
    EXPECT_FALSE(p.centre_of_lift || p.static_margin);
    EXPECT_TRUE(p.neutral_point && p.zero_lift_moment);
    EXPECT_NEAR(*p.zero_lift_moment, p.pitching_moment_coefficient.value(), 1e-10);
  }
}

TEST(TwistStudy, SolvesNothingPerPoint) {
  const vlm::Craft craft = tandem();
  const vlm::LatticeOptions options = counts({{8, 2}, {8, 2}});
  for (const std::size_t n : {2U, 60U}) {
    std::vector<double> angles;
    for (std::size_t i = 0; i < n; ++i)
      angles.push_back((-2 + 4.0 * static_cast<double>(i) / static_cast<double>(n)) * degree);
    const vlm::TwistStudy study = study_of(angles, angles, 0.4);
    const vlm::Responses responses = vlm::twist_responses(craft, options, study, 0, pool());
    std::size_t points = 0;
    const vlm::StudySummary summary = vlm::run_twist_study(
        craft, responses, study, [&](std::span<const vlm::TwistPoint> chunk) { points += chunk.size(); }, {},
        pool());
    EXPECT_EQ(points, n * n);
    EXPECT_EQ(summary.num_factorisations, 1U);
    EXPECT_EQ(summary.num_solves, 4U); // two components of the stream, incidence, twist
    EXPECT_EQ(responses.system.num_solves(), 4U);
  }
}

TEST(TwistStudy, StopsAfterTheChunkInHandAndKeepsIt) {
  const vlm::Craft craft = tandem();
  std::vector<double> angles;
  for (int i = 0; i < 100; ++i)
    angles.push_back(0.01 * i * degree);
  const vlm::TwistStudy study = study_of(angles, angles, 0.4);
  const vlm::Responses responses = vlm::twist_responses(craft, counts({{8, 2}, {8, 2}}), study, 0, pool());
  std::atomic<bool> cancel{false};
  vlm::RunControl control;
  control.cancel = &cancel;
  std::size_t points = 0;
  const vlm::StudySummary summary = vlm::run_twist_study(
      craft, responses, study,
      [&](std::span<const vlm::TwistPoint> chunk) {
        points += chunk.size();
        cancel = true;
      },
      control, pool());
  EXPECT_FALSE(summary.complete);
  EXPECT_EQ(summary.num_points, points);
  EXPECT_GT(points, 0U);
  EXPECT_LT(points, 10000U);
}

TEST(TwistStudy, LeastDragWithinLimitsIsTheLeastOfThoseThatKeepThem) {
  const vlm::Craft craft = tandem();
  std::vector<double> incidences, twists;
  for (int i = -20; i <= 20; ++i)
    incidences.push_back(0.25 * i * degree), twists.push_back(0.25 * i * degree);
  const vlm::TwistStudy study = study_of(incidences, twists, 0.4);
  const auto points =
      run(craft, vlm::twist_responses(craft, counts({{12, 4}, {10, 4}}), study, 0, pool()), study);
  vlm::TwistLimits limits;
  limits.least_margin = 0.35;
  vlm::LeastDrag least;
  // In pieces, as a study hands them over.
  for (std::size_t i = 0; i < points.size(); i += 100)
    least.take(std::span(points).subspan(i, std::min<std::size_t>(100, points.size() - i)), limits);
  ASSERT_TRUE(least.free && least.within_limits);
  EXPECT_GE(least.within_limits->static_margin.value(), 0.35);
  EXPECT_LT(least.free->static_margin.value(), 0.35);
  for (const vlm::TwistPoint& p : points) {
    EXPECT_GE(*p.induced_drag_coefficient, *least.free->induced_drag_coefficient);
    if (*p.static_margin >= 0.35) {
      EXPECT_GE(*p.induced_drag_coefficient, *least.within_limits->induced_drag_coefficient);
    }
  }
}

TEST(TwistStudy, SettingsThatCannotCarryTheLiftAreUndefinedAndTheStudyGoesOn) {
  // At 24.6 the craft would have to fly beyond 28 degrees unless the stabilizer, set far up, helps.
  const vlm::Craft craft = tandem();
  const vlm::LatticeOptions options = counts({{8, 2}, {8, 2}});
  const vlm::TwistStudy study = study_of({-40 * degree, 40 * degree}, {0.0}, 2.2);
  const auto points = run(craft, vlm::twist_responses(craft, options, study, 0, pool()), study);
  ASSERT_EQ(points.size(), 2U);
  EXPECT_FALSE(points[0].alpha || points[0].induced_drag_coefficient || points[0].static_margin ||
               points[0].peak_local_lift);
  EXPECT_TRUE(points[1].alpha && points[1].induced_drag_coefficient && points[1].static_margin);
  vlm::LeastDrag least;
  least.take(points, {});
  ASSERT_TRUE(least.free);
  EXPECT_EQ(least.free->incidence, 40 * degree);
}

TEST(Polar, FiguresOfNoLiftAreUndefinedAndTheSweepGoesOn) {
  std::vector<vlm::PolarPoint> points;
  const std::vector<double> angles{-2 * degree, 0, 2 * degree};
  vlm::polar(
      craft_of({rectangle(6)}), counts({{10, 4}}), vlm::at_angles(angles), 0.0,
      [&](std::span<const vlm::PolarPoint> p) { points.insert(points.end(), p.begin(), p.end()); }, {},
      pool());
  ASSERT_EQ(points.size(), 3U);
  EXPECT_FALSE(points[1].span_efficiency || points[1].centre_of_lift || points[1].parts[0].share);
  EXPECT_TRUE(points[1].neutral_point); // the lift of a change of angle is there
  EXPECT_TRUE(points[0].span_efficiency && points[2].span_efficiency && points[2].centre_of_lift);
}

TEST(Polar, MomentPointDoesNotMoveCentreOfLiftOrNeutralPoint) {
  vlm::Craft craft = tandem();
  const vlm::LatticeOptions options = counts({{12, 4}, {10, 4}});
  const vlm::PolarPoint a = vlm::polar_point(vlm::make_responses(craft, options, 0.05, {}, pool()), {0.05});
  craft.moment_point = {1.3, 0, -0.7};
  const vlm::PolarPoint b = vlm::polar_point(vlm::make_responses(craft, options, 0.05, {}, pool()), {0.05});
  EXPECT_NEAR(*a.centre_of_lift, *b.centre_of_lift, 1e-10);
  EXPECT_NEAR(*a.neutral_point, *b.neutral_point, 1e-10);
  EXPECT_GT(std::abs(a.pitching_moment_coefficient - b.pitching_moment_coefficient), 0.1);
}

TEST(Polar, LoadsOfSurfacesAddUpToTheCrafts) {
  // One tip broken off, so that all six components are there.
  vlm::Craft craft = tandem();
  vlm::Station& tip = craft.surfaces[0].stations.back();
  tip.y *= 0.8, tip.leading_edge *= 0.8;
  craft.moment_point = {0.2, 0.1, -0.3};
  const vlm::PolarPoint p =
      vlm::polar_point(vlm::make_responses(craft, counts({{12, 4}, {10, 4}}), 0.05, {}, pool()), {0.05});
  vlm::PartLoads sum;
  double share = 0;
  for (const vlm::PartLoads& s : p.parts) {
    sum.lift += s.lift;
    sum.induced_drag += s.induced_drag;
    sum.near_drag += s.near_drag;
    sum.side_force += s.side_force;
    sum.rolling_moment += s.rolling_moment;
    sum.pitching_moment += s.pitching_moment;
    sum.yawing_moment += s.yawing_moment;
    share += s.share.value();
  }
  EXPECT_NEAR(sum.lift, p.lift_coefficient, 1e-12);
  EXPECT_NEAR(sum.induced_drag, p.induced_drag_coefficient, 1e-12);
  EXPECT_NEAR(sum.near_drag - sum.induced_drag, p.near_drag_excess.value(), 1e-12);
  EXPECT_NEAR(sum.side_force, p.side_force_coefficient, 1e-12);
  EXPECT_NEAR(sum.rolling_moment, p.rolling_moment_coefficient, 1e-12);
  EXPECT_NEAR(sum.pitching_moment, p.pitching_moment_coefficient, 1e-12);
  EXPECT_NEAR(sum.yawing_moment, p.yawing_moment_coefficient, 1e-12);
  EXPECT_NEAR(share, 1, 1e-12);
  EXPECT_GT(std::abs(p.rolling_moment_coefficient), 1e-3);
  EXPECT_GT(std::abs(p.yawing_moment_coefficient), 1e-6);
}

TEST(OperatingWakeAngle, IsTheAngleThatCarriesTheLiftWithThatWake) {
  const vlm::Craft craft = tandem();
  const vlm::LatticeOptions options = counts({{12, 4}, {10, 4}});
  const vlm::OperatingWake wake = vlm::operating_wake(craft, options, {}, 0.4, pool());
  const double angle = wake.angle;
  EXPECT_EQ(wake.num_solves, 2 * wake.num_factorisations);
  EXPECT_GE(wake.num_factorisations, 2U);
  EXPECT_NEAR(
      vlm::polar_point(vlm::make_responses(craft, options, angle, {}, pool()), {angle}).lift_coefficient, 0.4,
      1e-5);
}

} // namespace
