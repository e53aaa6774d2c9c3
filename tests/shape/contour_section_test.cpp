#include <algorithm>
#include <cmath>
#include <numbers>

#include <gtest/gtest.h>

#include <vlm/base/error.hpp>
#include <vlm/shape/section.hpp>

#include "../support/errors.hpp"

namespace {

using namespace vlm;
using std::numbers::pi;

struct Points {
  std::vector<double> x, z;
};

enum class Thickness { vertical, normal };

// Contour from the trailing edge over the upper face to the nose and back below: a mean line with the
// thickness of the four-digit sections (NACA Report 460) added at right angles to the chord or to the mean
// line.
Points contour(const MeanLine& line, double thickness, Thickness added, double gap = 0, int panels = 60) {
  Points points;
  for (int k = -panels; k <= panels; ++k) {
    const double x = (1 - std::cos(pi * k / panels)) / 2;
    const double half = 5 * thickness *
                            (0.2969 * std::sqrt(x) - 0.1260 * x - 0.3516 * x * x + 0.2843 * x * x * x -
                             0.1015 * x * x * x * x) +
                        gap / 2 * x;
    const double side = k < 0 ? 1 : -1;
    const double lean = added == Thickness::normal ? std::atan(mean_line_slope(line, std::max(x, 1e-9))) : 0;
    points.x.push_back(x - side * half * std::sin(lean));
    points.z.push_back(mean_line_height(line, x) + side * half * std::cos(lean));
  }
  return points;
}

Points turned(const Points& points, double chord, double angle, double dx, double dz) {
  Points result;
  for (std::size_t i = 0; i < points.x.size(); ++i) {
    result.x.push_back(dx + chord * (points.x[i] * std::cos(angle) - points.z[i] * std::sin(angle)));
    result.z.push_back(dz + chord * (points.x[i] * std::sin(angle) + points.z[i] * std::cos(angle)));
  }
  return result;
}

Points reversed(Points points) {
  std::reverse(points.x.begin(), points.x.end());
  std::reverse(points.z.begin(), points.z.end());
  return points;
}

using errors::error_of;

std::string error_of(const Points& points) {
  return error_of([&] { contour_section("tip", points.x, points.z); });
}

ContourSection section_of(const Points& points) {
  return contour_section("tip", points.x, points.z);
}

const MeanLine camber = ParabolicMeanLine{0.02, 0.4};

TEST(ContourSection, FindsTheMeanLineOfVerticalThickness) {
  const ContourSection made = section_of(contour(camber, 0.12, Thickness::vertical));
  EXPECT_EQ(made.section.name, "tip");
  EXPECT_NEAR(made.section.thickness, 0.12, 2e-4);
  // Angles to the chord line that was found, which the nose's camber turns a little from the x axis.
  for (double x = 0.05; x < 1; x += 0.05)
    EXPECT_NEAR(mean_line_height(made.section.mean_line, x) + made.angle * (x - 1),
                mean_line_height(camber, x), 1e-5)
        << x;
  EXPECT_NEAR(zero_lift_angle(made.section.mean_line) + made.angle, zero_lift_angle(camber), 1e-6);
}

TEST(ContourSection, FindsTheZeroLiftAngleOfNormalThickness) {
  for (const char* digits : {"2412", "4412", "23012"}) {
    const Section drawn = naca_section(digits);
    const ContourSection made = section_of(contour(drawn.mean_line, drawn.thickness, Thickness::normal));
    // Half way between the faces is not quite the line that thickness was added to: 0.04 degrees per 2 % of
    // camber, the same for 30 to 400 points a face.
    EXPECT_NEAR(zero_lift_angle(made.section.mean_line) + made.angle, zero_lift_angle(drawn.mean_line),
                1.4e-3)
        << digits;
    EXPECT_NEAR(made.section.thickness, drawn.thickness, 5e-4) << digits;
  }
}

TEST(ContourSection, OfAContourWithoutCamberHasNone) {
  const ContourSection made = section_of(contour(ParabolicMeanLine{}, 0.12, Thickness::vertical));
  EXPECT_NEAR(greatest_camber(made.section.mean_line), 0, 1e-9);
  EXPECT_NEAR(made.angle, 0, 1e-9);
  EXPECT_NEAR(made.chord, 1, 1e-9);
  EXPECT_NEAR(made.section.trailing_edge_gap, 0.00252, 1e-5); // 5·0.12·(sum of the five constants)·2
}

TEST(ContourSection, IsTheSameEitherWayRound) {
  const Points points = contour(camber, 0.1, Thickness::normal);
  const ContourSection a = section_of(points), b = section_of(reversed(points));
  for (double x = 0; x <= 1; x += 0.01)
    EXPECT_NEAR(mean_line_height(a.section.mean_line, x), mean_line_height(b.section.mean_line, x), 1e-9)
        << x;
  EXPECT_NEAR(a.section.thickness, b.section.thickness, 1e-9);
}

TEST(ContourSection, BringsAnyChordAndAngleToOneAndZero) {
  const Points points = contour(camber, 0.12, Thickness::normal);
  const ContourSection plain = section_of(points);
  for (const double angle : {-0.6, 0.05, 1.2}) {
    const ContourSection made = section_of(turned(points, 85, angle, -12, 30));
    EXPECT_NEAR(made.chord, 85 * plain.chord, 1e-6);
    EXPECT_NEAR(made.angle, plain.angle + angle, 1e-8);
    EXPECT_NEAR(made.section.thickness, plain.section.thickness, 1e-8);
    for (double x = 0; x <= 1; x += 0.01)
      EXPECT_NEAR(mean_line_height(made.section.mean_line, x), mean_line_height(plain.section.mean_line, x),
                  1e-7);
  }
}

TEST(ContourSection, HasASoundMeanLineAtTheNoseWhereverThePointsFall) {
  // Points that straddle the nose, so that none lies on it.
  Points points = contour(camber, 0.12, Thickness::normal);
  const auto nose = static_cast<std::ptrdiff_t>(points.x.size() / 2);
  points.x.erase(points.x.begin() + nose);
  points.z.erase(points.z.begin() + nose);
  const ContourSection whole = section_of(contour(camber, 0.12, Thickness::normal)),
                       made = section_of(points);
  EXPECT_NEAR(made.chord, whole.chord, 1e-4);
  EXPECT_NEAR(zero_lift_angle(made.section.mean_line) + made.angle,
              zero_lift_angle(whole.section.mean_line) + whole.angle, 1e-4);
}

TEST(ContourSection, AcceptsANosePointListedTwice) {
  Points points = contour(camber, 0.12, Thickness::normal);
  const auto nose = static_cast<std::ptrdiff_t>(points.x.size() / 2);
  points.x.insert(points.x.begin() + nose, points.x[static_cast<std::size_t>(nose)]);
  points.z.insert(points.z.begin() + nose, points.z[static_cast<std::size_t>(nose)]);
  EXPECT_EQ(section_of(points).section, section_of(contour(camber, 0.12, Thickness::normal)).section);
}

TEST(ContourSection, KeepsABluntTrailingEdgeUpToThreePercent) {
  const ContourSection made = section_of(contour(camber, 0.12, Thickness::vertical, 0.025));
  EXPECT_NEAR(made.section.trailing_edge_gap, 0.02752, 1e-4);
  EXPECT_NEAR(mean_line_height(made.section.mean_line, 1), 0, 1e-15);
  const std::string message = error_of(contour(camber, 0.12, Thickness::vertical, 0.05));
  EXPECT_NE(message.find("trailing-edge gap of 5.2"), std::string::npos) << message;
  EXPECT_NE(message.find("at most 3 %"), std::string::npos) << message;
}

// Points of one face from the nose aft.
Points half(bool upper) {
  Points all = contour(camber, 0.12, Thickness::vertical);
  if (upper)
    all = reversed(all);
  const auto middle = static_cast<std::ptrdiff_t>(all.x.size() / 2);
  return {{all.x.begin() + middle, all.x.end()}, {all.z.begin() + middle, all.z.end()}};
}

Points joined(Points a, const Points& b) {
  a.x.insert(a.x.end(), b.x.begin(), b.x.end());
  a.z.insert(a.z.end(), b.z.begin(), b.z.end());
  return a;
}

TEST(ContourSection, RefusesFacesListedFromTheLeadingEdgeAndSaysTheOrder) {
  for (const Points& points :
       {joined(half(true), half(false)), joined(reversed(half(true)), reversed(half(false))),
        joined(half(true), reversed(half(false)))}) {
    const std::string message = error_of(points);
    EXPECT_NE(message.find("wanted the points in order round the contour: from the trailing edge"),
              std::string::npos)
        << message;
  }
}

TEST(ContourSection, RefusesAGapElsewhere) {
  Points points = contour(camber, 0.12, Thickness::vertical);
  points.x.erase(points.x.begin() + 10, points.x.begin() + 40);
  points.z.erase(points.z.begin() + 10, points.z.begin() + 40);
  const std::string message = error_of(points);
  EXPECT_NE(message.find("between point 10 and point 11"), std::string::npos) << message;
}

TEST(ContourSection, RefusesTooFewPoints) {
  const std::string message = error_of({{1, 0.5, 0, 0.5, 1}, {0, 0.06, 0, -0.06, 0}});
  EXPECT_NE(message.find("found 5 points"), std::string::npos) << message;
  EXPECT_NE(message.find("at least 10"), std::string::npos) << message;
}

TEST(ContourSection, RefusesAContourThatDoublesBack) {
  Points points = contour(camber, 0.12, Thickness::vertical);
  std::swap(points.x[20], points.x[21]);
  std::swap(points.z[20], points.z[21]);
  const std::string message = error_of(points);
  EXPECT_NE(message.find("doubles back"), std::string::npos) << message;
  EXPECT_NE(message.find("point 21"), std::string::npos) << message;
}

TEST(ContourSection, RefusesFacesThatCross) {
  Points points = contour(camber, 0.12, Thickness::vertical);
  for (std::size_t i = 0; i < 20; ++i)
    points.z[i] -= 0.03;
  EXPECT_NE(error_of(points).find("cross near"), std::string::npos) << error_of(points);
}

TEST(ContourSection, RefusesAnXThatRunsForward) {
  Points points = contour(camber, 0.12, Thickness::vertical);
  for (double& x : points.x)
    x = -x;
  EXPECT_NE(error_of(points).find("wanted x to run aft"), std::string::npos) << error_of(points);
}

TEST(ContourSection, RefusesPointsThatAreNotFiniteOrAllOne) {
  Points points = contour(camber, 0.12, Thickness::vertical);
  points.z[4] = std::nan("");
  EXPECT_NE(error_of(points).find("point 5 is not finite"), std::string::npos);
  const std::vector<double> zeros(12, 0.0);
  EXPECT_NE(error_of({zeros, zeros}).find("all points in one place"), std::string::npos);
}

} // namespace
