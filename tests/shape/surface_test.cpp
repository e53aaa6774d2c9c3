#include <vlm/shape/surface.hpp>

#include <cmath>
#include <numbers>

#include <gtest/gtest.h>

#include <vlm/base/error.hpp>

#include "../support/errors.hpp"

namespace {

using namespace vlm;

Station front_station(double y, double z, double leading_edge, double chord, double twist = 0) {
  return {y, z, leading_edge, chord, twist, naca_section("2412")};
}

// Starboard half of the rescue board's front wing.
Surface half_wing() {
  Surface half;
  half.name = "front wing";
  half.position = {-0.3, 0, 0.02};
  half.stations = {front_station(0, 0, 0, 0.16), front_station(0.2, 0, 0.01, 0.15, -0.01),
                   front_station(0.45, -0.05, 0.06, 0.06, -0.03)};
  return half;
}

using errors::error_of;

TEST(Mirrored, AddsThePortHalfAheadOfTheStarboardOne) {
  const Surface half = half_wing(), whole = mirrored(half);
  ASSERT_EQ(whole.stations.size(), 5u);
  for (std::size_t i = 0; i < 3; ++i) {
    EXPECT_EQ(whole.stations[2 + i], half.stations[i]);
    Station port = whole.stations[2 - i];
    port.y = -port.y;
    EXPECT_EQ(port, half.stations[i]);
  }
  EXPECT_EQ(whole.position, half.position);
  EXPECT_FALSE(std::signbit(whole.stations[2].y));
}

TEST(Mirrored, TakesTheCentrePlaneOfTheCraft) {
  Surface half = half_wing();
  half.position.y = 0.1;
  for (Station& s : half.stations)
    s.y -= 0.1;
  const Surface whole = mirrored(half);
  EXPECT_EQ(whole.position.y, 0);
  EXPECT_NEAR(whole.stations.front().y, -0.45, 1e-16);
  EXPECT_EQ(whole.stations.front().y, -whole.stations.back().y);
}

TEST(Mirrored, RefusesAHalfThatDoesNotLieToStarboard) {
  Surface half = half_wing();
  half.stations[0].y = 0.005;
  EXPECT_NE(error_of([&] { mirrored(half); }).find("'front wing', station 1: found it at y = 5 mm"),
            std::string::npos);
  half = half_wing();
  half.stations[2].y = -0.45;
  EXPECT_NE(error_of([&] { mirrored(half); }).find("station 3: found it at y = -450 mm"), std::string::npos);
}

TEST(OutlineFigures, OfATrapezoidAreInClosedForm) {
  Surface half;
  half.position = {0.5, 0, 0.1};
  half.stations = {front_station(0, 0, 0, 0.2), front_station(0.6, 0, 0.12, 0.08)};
  const OutlineFigures f = outline_figures(mirrored(half));
  const double taper = 0.4;
  EXPECT_NEAR(f.span, 1.2, 1e-15);
  EXPECT_NEAR(f.area, 0.168, 1e-15);
  EXPECT_NEAR(f.developed_area, 0.168, 1e-15);
  EXPECT_NEAR(f.aspect_ratio, 1.44 / 0.168, 1e-12);
  EXPECT_NEAR(f.mean_chord, 2.0 / 3 * 0.2 * (1 + taper + taper * taper) / (1 + taper), 1e-15);
  // The mean chord lies at (1 + 2·taper)/(3·(1 + taper)) of the semispan.
  EXPECT_NEAR(f.mean_chord_leading_edge.x, 0.5 + 0.12 * (1 + 2 * taper) / (3 * (1 + taper)), 1e-15);
  EXPECT_NEAR(f.mean_chord_leading_edge.y, 0, 1e-15);
  EXPECT_NEAR(f.mean_chord_leading_edge.z, 0.1, 1e-15);
}

TEST(OutlineFigures, AreProjectedButForTheDevelopedArea) {
  Surface half;
  const double dihedral = 0.3;
  half.stations = {front_station(0, 0, 0, 0.1),
                   front_station(0.5 * std::cos(dihedral), 0.5 * std::sin(dihedral), 0, 0.1)};
  const OutlineFigures f = outline_figures(mirrored(half));
  EXPECT_NEAR(f.span, std::cos(dihedral), 1e-15);
  EXPECT_NEAR(f.area, 0.1 * std::cos(dihedral), 1e-15);
  EXPECT_NEAR(f.developed_area, 0.1, 1e-15);
  EXPECT_NEAR(f.mean_chord_leading_edge.z, 0.25 * std::sin(dihedral), 1e-15);
}

TEST(OutlineFigures, OfAnUprightSurfaceAreSeenFromTheSide) {
  Surface mast;
  mast.stations = {front_station(0, 0, 0, 0.12), front_station(0.001, 0.7, 0, 0.14)};
  const OutlineFigures f = outline_figures(mast);
  EXPECT_NEAR(f.span, 0.7, 1e-15);
  EXPECT_NEAR(f.area, 0.7 * 0.13, 1e-15);
}

TEST(OutlineFigures, OfASmoothCurveScaleWithItsSize) {
  Surface wing = mirrored(half_wing());
  wing.curve = Curve::smooth;
  const OutlineFigures f = outline_figures(wing);
  const OutlineFigures wide = outline_figures(stretched(wing, std::nullopt, 2 * f.span));
  EXPECT_NEAR(wide.area / f.area, 4, 1e-12);
  EXPECT_NEAR(wide.mean_chord / f.mean_chord, 2, 1e-12);
}

TEST(OutlineFigures, OfASmoothEllipseTendToTheEllipse) {
  const auto error = [](int n) {
    Surface wing;
    wing.curve = Curve::smooth;
    for (int k = 0; k <= n; ++k) { // a little inside the tips, where the chord is above 0
      const double y = -0.9 * std::cos(std::numbers::pi * k / n);
      wing.stations.push_back(front_station(y, 0, 0, std::sqrt(1 - y * y)));
    }
    const double half = 0.9 * std::sqrt(1 - 0.81) + std::asin(0.9);
    return std::abs(outline_figures(wing).area - half);
  };
  EXPECT_LT(error(40), 1e-5);
  EXPECT_GT(std::log2(error(20) / error(40)), 2);
}

TEST(Stretched, MeetsAreaAndSpanTogether) {
  for (const Curve curve : {Curve::straight, Curve::smooth}) {
    Surface wing = mirrored(half_wing());
    wing.curve = curve;
    const Surface target = stretched(wing, 0.12, 1.05);
    const OutlineFigures f = outline_figures(target);
    EXPECT_NEAR(f.area, 0.12, 1e-13);
    EXPECT_NEAR(f.span, 1.05, 1e-13);
    EXPECT_EQ(target.position, wing.position);
    for (std::size_t i = 0; i < wing.stations.size(); ++i) {
      EXPECT_EQ(target.stations[i].twist, wing.stations[i].twist);
      EXPECT_NEAR(target.stations[i].leading_edge * wing.stations[i].chord,
                  wing.stations[i].leading_edge * target.stations[i].chord, 1e-16);
    }
  }
}

TEST(Stretched, ByOneAloneKeepsTheAspectRatio) {
  const Surface wing = mirrored(half_wing());
  const OutlineFigures now = outline_figures(wing),
                       by_area = outline_figures(stretched(wing, 0.2, std::nullopt)),
                       by_span = outline_figures(stretched(wing, std::nullopt, 1.2));
  EXPECT_NEAR(by_area.area, 0.2, 1e-14);
  EXPECT_NEAR(by_area.aspect_ratio, now.aspect_ratio, 1e-12);
  EXPECT_NEAR(by_span.span, 1.2, 1e-14);
  EXPECT_NEAR(by_span.aspect_ratio, now.aspect_ratio, 1e-12);
}

TEST(Stretched, WithoutATargetChangesNothing) {
  const Surface wing = mirrored(half_wing());
  EXPECT_EQ(stretched(wing, std::nullopt, std::nullopt), wing);
}

TEST(Stretched, RefusesATargetNotAboveZero) {
  const Surface wing = mirrored(half_wing());
  EXPECT_NE(error_of([&] { stretched(wing, 0.0, std::nullopt); }).find("'front wing': found a target area"),
            std::string::npos);
  EXPECT_NE(error_of([&] { stretched(wing, std::nullopt, std::nan("")); }).find("found a target span"),
            std::string::npos);
}

} // namespace
