// A stabilizer in, near and through the front wing's wake.

#include <cstdio>

#include <gtest/gtest.h>

#include <vlm/file/case.hpp>
#include <vlm/shape/outline.hpp>
#include <vlm/study/polar.hpp>

#include "../support/angles.hpp"
#include "../support/wings.hpp"

namespace {

using namespace wings;
using angles::degree;

// Front wing of AR 8, 125 mm mean chord, straight-tapered with a kink at the root, or an ellipse without.
// Stabilizer of a third of its span 600 mm behind, `height` [m] above the wake, which is laid along body x.
vlm::Craft tandem(double height, bool kinked) {
  vlm::Surface front = kinked ? tapered(8, 0.5, 0, "front") : ellipse(8, 0.25, "front", 60);
  vlm::Surface rear = kinked ? tapered(6, 0.7, 0.05, "rear") : rectangle(6, "rear");
  const auto scale = [](vlm::Surface& s, double factor) {
    for (vlm::Station& station : s.stations)
      station.y *= factor, station.leading_edge *= factor, station.chord *= factor;
  };
  scale(front, 0.125);
  scale(rear, 0.0556);
  rear.position = {0.6, 0, height};
  return craft_of({front, rear});
}

struct RearLift {
  double at_three_degrees; // in the wing's wake, craft at 3°
  double of_three_degrees; // of its own incidence, 3°
};

RearLift rear_lift(const vlm::Craft& craft, int front_strips, int rear_strips) {
  const std::vector<vlm::TurnShape> turn{{1, std::nullopt}};
  const vlm::Responses r =
      vlm::make_responses(craft, counts({{front_strips, 4}, {rear_strips, 4}}), 0, turn, pool());
  const std::vector<double> none{0};
  return {vlm::at_turns(r.parts[1].force[2], none).value(std::cos(3 * degree), std::sin(3 * degree)),
          2 * r.parts[1].force[2](0, 2) * 3 * degree};
}

// For every pair of counts that can be laid (even ones on a kink). Bare wake lines are off by up to 67 %
// here.
TEST(CoplanarWake, StabilizerLiftDoesNotDependOnStripCounts) {
  for (const bool kinked : {true, false})
    for (const double height : {0.0, 0.005, 0.020, 0.050}) {
      const vlm::Craft craft = tandem(height, kinked);
      const RearLift fine = rear_lift(craft, 120, 120);
      double worst = 0;
      for (int front = 20; front <= 41; front += kinked ? 2 : 1)
        for (int rear = 20; rear <= 41; rear += kinked ? 2 : 1)
          worst = std::max(worst,
                           std::abs(rear_lift(craft, front, rear).at_three_degrees - fine.at_three_degrees));
      EXPECT_LT(worst / fine.of_three_degrees, 1e-3) << height << (kinked ? " m, kinked" : " m, smooth");
      std::printf("height %2.0f mm, %s: within %.3f %% of 3 degrees of its lift slope\n", 1e3 * height,
                  kinked ? "kinked" : "smooth", 100 * worst / fine.of_three_degrees);
    }
}

// The angles at which the front wing's wake, laid along the stream, passes through some point of the
// stabilizer.
std::pair<double, double> crossing_range(const vlm::Craft& craft) {
  const vlm::Outline wing(craft.surfaces[0]), tail(craft.surfaces[1]);
  double low = 1, high = -1;
  for (int i = 0; i <= 50; ++i)
    for (const double x : {0.0, 1.0}) {
      const vlm::SpanPoint t = tail.at(tail.length() * i / 50);
      double nearest = 1e9, angle = 0;
      for (int j = 0; j <= 2000; ++j) {
        const vlm::SpanPoint w = wing.at(wing.length() * j / 2000);
        if (std::abs(w.leading_edge.y - t.leading_edge.y) < nearest) {
          nearest = std::abs(w.leading_edge.y - t.leading_edge.y);
          angle = std::atan2(t.leading_edge.z - w.leading_edge.z,
                             t.leading_edge.x + x * t.chord - w.leading_edge.x - w.chord);
        }
      }
      low = std::min(low, angle);
      high = std::max(high, angle);
    }
  return {low / degree, high / degree};
}

// In steps of 0.01° the wake is laid anew along the stream at each angle and passes through the stabilizer.
// No step, no kink: second differences within that range are at most 3 times those outside it.
TEST(CrossingWake, SweepThroughTheStabilizerShowsNoKink) {
  vlm::Case demo = vlm::read_case(VLM_CASES_DIR "/lake-rescue/heron-880.toml");
  demo.craft.surfaces.pop_back(); // the mast; the crossing is the two wings'
  demo.lattice.counts.pop_back();
  demo.craft.fuselage.reset();
  demo.craft.still_surface = {};
  const auto [low, high] = crossing_range(demo.craft);
  ASSERT_LT(low, high);
  ASSERT_GT(low, 0.5);
  ASSERT_LT(high, 6);
  std::vector<double> angles;
  for (int i = 0; i <= 700; ++i)
    angles.push_back(0.01 * i * degree);
  std::vector<vlm::PolarPoint> points;
  vlm::polar(
      demo.craft, demo.lattice, vlm::at_angles(angles), std::nullopt,
      [&](std::span<const vlm::PolarPoint> p) { points.insert(points.end(), p.begin(), p.end()); }, {},
      pool());
  ASSERT_EQ(points.size(), angles.size());
  const auto check_figure = [&](const char* name, auto figure) {
    double inside = 0, outside = 0;
    for (std::size_t i = 1; i + 1 < points.size(); ++i) {
      const double second = std::abs(figure(points[i - 1]) - 2 * figure(points[i]) + figure(points[i + 1]));
      const double angle = 0.01 * static_cast<double>(i);
      double& greatest = angle >= low && angle <= high ? inside : outside;
      greatest = std::max(greatest, second);
    }
    std::printf("%s: second differences %.2e from %.2f to %.2f degrees, %.2e outside\n", name, inside, low,
                high, outside);
    EXPECT_LE(inside, 3 * outside) << name;
    EXPECT_GT(inside, 0);
  };
  check_figure("lift", [](const vlm::PolarPoint& p) { return p.lift_coefficient; });
  check_figure("moment", [](const vlm::PolarPoint& p) { return p.pitching_moment_coefficient; });
  check_figure("neutral point", [](const vlm::PolarPoint& p) { return p.neutral_point.value(); });
}

} // namespace
