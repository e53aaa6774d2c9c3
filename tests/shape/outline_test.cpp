#include <vlm/shape/outline.hpp>

#include <cmath>
#include <functional>
#include <numbers>

#include <gtest/gtest.h>

#include "../support/errors.hpp"

namespace {

using namespace vlm;
using std::numbers::pi;

Station station_at(double y, double z, double leading_edge, double chord, double twist = 0,
                   const char* naca = "0012") {
  return {y, z, leading_edge, chord, twist, naca_section(naca)};
}

// Front wing of the rescue board: bent, swept, tapered and twisted.
Surface bent_wing(Curve curve) {
  Surface half;
  half.name = "front wing";
  half.position = {-0.3, 0, 0.02};
  half.curve = curve;
  half.stations = {
      station_at(0, 0, 0, 0.16, 0, "2412"), station_at(0.17, -0.004, 0.011, 0.148, -0.005, "2412"),
      station_at(0.33, -0.025, 0.035, 0.11, -0.02, "4412"), station_at(0.47, -0.07, 0.08, 0.05, -0.05)};
  return mirrored(half);
}

std::string error_of(const Surface& surface) {
  return errors::error_of([&] { Outline outline(surface); });
}

TEST(Outline, OfStraightPiecesHasThePolylineLength) {
  Surface surface;
  surface.stations = {station_at(0, 0, 0, 1), station_at(3, 4, 0, 1), station_at(3, 10, 0, 1)};
  const Outline outline(surface);
  EXPECT_EQ(outline.length(), 11);
  EXPECT_EQ(outline.station_arcs(), (std::vector<double>{0, 5, 11}));
  EXPECT_NEAR(outline.at(2.5).direction.y, 0.6, 1e-15);
  EXPECT_NEAR(outline.at(2.5).direction.z, 0.8, 1e-15);
  EXPECT_NEAR(outline.at(8).direction.z, 1, 1e-15);
}

TEST(Outline, PassesThroughItsStations) {
  for (const Curve curve : {Curve::straight, Curve::smooth}) {
    const Surface surface = bent_wing(curve);
    const Outline outline(surface);
    for (std::size_t i = 0; i < surface.stations.size(); ++i) {
      const SpanPoint at = outline.at(outline.station_arcs()[i]);
      const Station& s = surface.stations[i];
      EXPECT_NEAR(at.leading_edge.x, -0.3 + s.leading_edge, 1e-14);
      EXPECT_NEAR(at.leading_edge.y, s.y, 1e-14);
      EXPECT_NEAR(at.leading_edge.z, 0.02 + s.z, 1e-14);
      EXPECT_NEAR(at.chord, s.chord, 1e-14);
      EXPECT_NEAR(at.twist, s.twist, 1e-14);
    }
  }
}

TEST(Outline, SmoothArcLengthTendsToTheCircle) {
  const auto error = [](int n) {
    Surface surface;
    surface.curve = Curve::smooth;
    for (int k = 0; k <= n; ++k)
      surface.stations.push_back(
          station_at(std::sin(pi / 3 * (2.0 * k / n - 1)), std::cos(pi / 3 * (2.0 * k / n - 1)), 0, 0.1));
    return std::abs(Outline(surface).length() - 2 * pi / 3);
  };
  EXPECT_LT(error(32), 1e-4);
  EXPECT_GT(std::log2(error(16) / error(32)), 1.8); // slopes of the curve are of second order
}

TEST(Outline, ArcLengthIsThatOfTheCurveItself) {
  // Equal steps of arc length are equal distances along the curve, up to the square of their bend.
  const Outline outline(bent_wing(Curve::smooth));
  constexpr int steps = 4000;
  double sum = 0;
  for (int k = 0; k < steps; ++k) {
    const Vec3 a = outline.at(outline.length() * k / steps).leading_edge;
    const Vec3 b = outline.at(outline.length() * (k + 1) / steps).leading_edge;
    const double step = std::hypot(b.y - a.y, b.z - a.z);
    EXPECT_NEAR(step * steps / outline.length(), 1, 1e-6) << k;
    sum += step;
  }
  EXPECT_NEAR(sum / outline.length(), 1, 1e-7);
}

TEST(Outline, DirectionIsTheUnitTangent) {
  const Outline outline(bent_wing(Curve::smooth));
  const double h = 1e-6;
  for (double s = 0.0113; s < outline.length() - h; s += 0.03) {
    const SpanPoint at = outline.at(s);
    const Vec3 ahead = outline.at(s + h).leading_edge, behind = outline.at(s - h).leading_edge;
    EXPECT_NEAR(norm(at.direction), 1, 1e-15);
    EXPECT_EQ(at.direction.x, 0);
    EXPECT_NEAR(at.direction.y, (ahead.y - behind.y) / (2 * h), 1e-8) << s;
    EXPECT_NEAR(at.direction.z, (ahead.z - behind.z) / (2 * h), 1e-8) << s;
  }
}

TEST(Outline, IsAsSymmetricAsItsStations) {
  for (const Curve curve : {Curve::straight, Curve::smooth}) {
    const Outline outline(bent_wing(curve));
    for (int k = 1; k < 200; ++k) {
      const double s = outline.length() * (k + 0.3) / 400;
      const SpanPoint port = outline.at(s), starboard = outline.at(outline.length() - s);
      EXPECT_NEAR(port.leading_edge.x, starboard.leading_edge.x, 1e-14);
      EXPECT_NEAR(port.leading_edge.y, -starboard.leading_edge.y, 1e-14);
      EXPECT_NEAR(port.leading_edge.z, starboard.leading_edge.z, 1e-14);
      EXPECT_NEAR(port.direction.y, starboard.direction.y, 1e-14);
      EXPECT_NEAR(port.direction.z, -starboard.direction.z, 2e-14);
      EXPECT_NEAR(port.chord, starboard.chord, 1e-14);
      EXPECT_NEAR(port.twist, starboard.twist, 1e-14);
      EXPECT_NEAR(outline.mean_line_slope(0.3).value(port.parameter),
                  outline.mean_line_slope(0.3).value(starboard.parameter), 1e-14);
    }
  }
}

TEST(Outline, HoldsItsTipsOutsideTheSpan) {
  const Outline outline(bent_wing(Curve::smooth));
  EXPECT_EQ(outline.at(-1e-9).leading_edge, outline.at(0).leading_edge);
  EXPECT_EQ(outline.at(outline.length() + 1e-9).chord, outline.at(outline.length()).chord);
  EXPECT_NEAR(norm(outline.at(outline.length() + 1e-9).direction), 1, 1e-15);
}

TEST(Outline, InterpolatesMeanLinesBetweenNeighbouringStations) {
  Surface surface;
  surface.stations = {station_at(0, 0, 0, 1, 0, "2412"), station_at(1, 0, 0, 1, 0, "4412"),
                      station_at(2, 0, 0, 1, 0, "0012")};
  const MeanLine two = naca_section("2412").mean_line;
  for (const double x : {0.1, 0.7, 1.0}) {
    const Outline straight(surface);
    EXPECT_NEAR(straight.mean_line_slope(x).value(straight.at(0.25).parameter),
                1.25 * mean_line_slope(two, x), 1e-15);
    EXPECT_NEAR(straight.mean_line_height(straight.at(1.5), x), mean_line_height(two, x), 1e-15);
  }
  surface.curve = Curve::smooth;
  const Outline smooth(surface);
  EXPECT_NEAR(smooth.mean_line_height(smooth.at(1), 0.4), 0.04, 1e-15);
  // Level at the crest in the middle, so above the straight line between stations.
  EXPECT_GT(smooth.mean_line_height(smooth.at(1.5), 0.4), 0.0201);
  EXPECT_LT(smooth.mean_line_height(smooth.at(1.5), 0.4), 0.04);
}

// Of two stations on either side, what the cubic through all gives.
TEST(Outline, InterpolatesSectionsOfSmoothCurvesAsThroughAllStations) {
  Surface surface;
  surface.curve = Curve::smooth;
  const std::vector<double> knots{0, 0.3, 1, 1.2, 2, 2.9};
  const char* sections[] = {"2412", "4415", "0010", "1408", "4421", "2409"};
  std::vector<double> heights, thickness;
  for (std::size_t i = 0; i < 6; ++i) {
    surface.stations.push_back(station_at(knots[i], 0, 0, 1, 0, sections[i]));
    heights.push_back(mean_line_height(naca_section(sections[i]).mean_line, 0.3));
    thickness.push_back(naca_section(sections[i]).thickness);
  }
  const Outline outline(surface);
  const Interpolant all_heights(knots, heights, Curve::smooth),
      all_thickness(knots, thickness, Curve::smooth);
  for (double s = 0; s <= 2.9; s += 0.05) {
    EXPECT_NEAR(outline.mean_line_height(outline.at(s), 0.3), all_heights.value(s), 1e-15) << s;
    EXPECT_NEAR(outline.thickness(s), all_thickness.value(s), 1e-15) << s;
  }
}

// The integral of the speed by Simpson's rule, piece by piece, up to where each place is said to be. (Within
// a few degrees of a right angle, where the speed nearly vanishes, lengths are good to 1e-7.)
TEST(Outline, FindsPlacesByTheLengthOfItsCurve) {
  Surface surface;
  surface.curve = Curve::smooth;
  surface.stations = {station_at(0, 0, 0, 1, 0, "2412"), station_at(0.4, 0.02, 0, 1, 0, "2412"),
                      station_at(0.5, 0.3, 0, 1, 0, "2412"), station_at(0.56, 0.6, 0, 1, 0, "2412"),
                      station_at(0.9, 0.64, 0, 1, 0, "2412")};
  const Outline outline(surface);
  const std::vector<double>& station = outline.station_parameters();
  for (double share = 0.013; share < 1; share += 0.037) {
    const double t = outline.at(share * outline.length()).parameter;
    double length = 0;
    for (std::size_t i = 0; i + 1 < station.size() && station[i] < t; ++i) {
      const int parts = 20000;
      const double step = (std::min(t, station[i + 1]) - station[i]) / parts;
      for (int k = 0; k <= parts; ++k)
        length += (k == 0 || k == parts ? 1
                   : k % 2 == 1         ? 4
                                        : 2) *
                  outline.speed(station[i] + (k == parts ? parts * step * (1 - 1e-15) : k * step)) * step / 3;
    }
    EXPECT_NEAR(length, share * outline.length(), 5e-14) << share;
  }
}

TEST(Outline, InterpolatesThicknessAndTrailingEdgeGapBetweenNeighbouringStations) {
  Surface surface;
  surface.stations = {station_at(0, 0, 0, 1, 0, "0012"), station_at(1, 0, 0, 1, 0, "0020"),
                      station_at(2, 0, 0, 1, 0, "0010")};
  surface.stations[1].section.trailing_edge_gap = 0.02;
  const Outline straight(surface);
  EXPECT_NEAR(straight.thickness(0.25), 0.14, 1e-15);
  EXPECT_NEAR(straight.thickness(1.5), 0.15, 1e-15);
  EXPECT_NEAR(straight.trailing_edge_gap(1.75), 0.005, 1e-15);
  surface.curve = Curve::smooth;
  EXPECT_NEAR(Outline(surface).thickness(1), 0.20, 1e-15);
  EXPECT_GT(Outline(surface).thickness(1.5), 0.151); // level at the crest
}

TEST(Outline, KinksAreWhereOutlineRiseOrTwistTurns) {
  Surface surface;
  for (int k = 0; k <= 6; ++k)
    surface.stations.push_back(station_at(k, 0, 0.1 * k, 1 - 0.1 * k, 0.01 * k));
  EXPECT_TRUE(Outline(surface).kinks().empty()); // one straight taper

  for (const auto turn : {+[](Station& s) { s.leading_edge += 0.01; }, +[](Station& s) { s.chord += 0.01; },
                          +[](Station& s) { s.twist += 0.001; }}) {
    Surface bent = surface;
    turn(bent.stations[3]);
    EXPECT_EQ(Outline(bent).kinks(), (std::vector<double>{2, 3, 4}));
  }
  Surface raised = surface;
  for (std::size_t k = 4; k <= 6; ++k)
    raised.stations[k].z = 0.2 * static_cast<double>(k - 3);
  EXPECT_EQ(Outline(raised).kinks().front(), 3); // the taper over arc length turns there too

  Surface cambered = surface;
  cambered.stations[3].section = naca_section("4412");
  EXPECT_TRUE(Outline(cambered).kinks().empty());
}

TEST(Outline, OfASmoothCurveHasNoKinks) {
  EXPECT_TRUE(Outline(bent_wing(Curve::smooth)).kinks().empty());
  EXPECT_EQ(Outline(bent_wing(Curve::straight)).kinks().size(), 5u);
}

TEST(Outline, RefusesStationsThatCannotBeASurfaceAndNamesThem) {
  const auto broken = [](const std::function<void(Surface&)>& change) {
    Surface surface = bent_wing(Curve::straight);
    change(surface);
    return error_of(surface);
  };
  EXPECT_EQ(broken([](Surface& s) { s.stations.resize(1); }),
            "surface 'front wing': found 1 stations, wanted at least two");
  EXPECT_EQ(broken([](Surface& s) { s.stations[2].chord = -0.12; }),
            "surface 'front wing', station 3: found a chord of -120 mm, wanted one above 0");
  EXPECT_EQ(broken([](Surface& s) { s.stations[1].twist = std::nan(""); }),
            "surface 'front wing', station 2: found a twist that is not finite, wanted a number");
  const std::string message = broken([](Surface& s) { s.stations[4] = s.stations[3]; });
  EXPECT_NE(message.find("surface 'front wing', station 5: found it where station 4 is"), std::string::npos)
      << message;
}

TEST(Outline, RefusesARightAngleInASmoothFrontView) {
  Surface surface;
  surface.name = "box";
  surface.stations = {station_at(0, 0, 0, 1), station_at(1, 0, 0, 1), station_at(1, 1, 0, 1)};
  EXPECT_EQ(error_of(surface), "no error");
  surface.curve = Curve::smooth;
  EXPECT_NE(error_of(surface).find("surface 'box', station 2: found the front view turning by a right angle"),
            std::string::npos);
}

} // namespace
