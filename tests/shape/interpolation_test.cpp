#include <vlm/shape/interpolation.hpp>

#include <algorithm>
#include <cmath>
#include <random>

#include <gtest/gtest.h>

namespace {

using vlm::Curve;
using vlm::Interpolant;

const std::vector<double> places = {0, 1, 3, 4, 7};
const std::vector<double> values = {2, 5, 5, -1, 0};

TEST(Interpolant, PassesThroughItsPointsExactly) {
  for (const Curve curve : {Curve::straight, Curve::smooth})
    for (std::size_t k = 0; k < places.size(); ++k)
      EXPECT_EQ(Interpolant(places, values, curve).value(places[k]), values[k]);
}

TEST(Interpolant, HoldsItsEndsOutsideTheRange) {
  for (const Curve curve : {Curve::straight, Curve::smooth}) {
    const Interpolant f(places, values, curve);
    EXPECT_EQ(f.value(-5), 2);
    EXPECT_EQ(f.value(9), 0);
    EXPECT_EQ(f.slope(-5), 0);
    EXPECT_EQ(f.slope(9), 0);
  }
}

TEST(Interpolant, IsAStraightLineThroughTwoPoints) {
  for (const Curve curve : {Curve::straight, Curve::smooth}) {
    const Interpolant f({1, 4}, {2, -4}, curve);
    for (const double x : {1.0, 1.3, 2.5, 3.9, 4.0}) {
      EXPECT_NEAR(f.value(x), 4 - 2 * x, 1e-14);
      EXPECT_NEAR(f.slope(x), -2, 1e-14);
    }
  }
}

TEST(Interpolant, HasTheSlopeOfThePieceAheadAtACorner) {
  const Interpolant f({0, 1, 2}, {0, 3, 1}, Curve::straight);
  EXPECT_DOUBLE_EQ(f.slope(0.5), 3);
  EXPECT_DOUBLE_EQ(f.slope(1), -2);
  EXPECT_DOUBLE_EQ(f.slope(2), -2); // the last knot has no piece ahead
}

TEST(Interpolant, SmoothSlopeIsTheDerivativeOfTheValue) {
  const Interpolant f(places, values, Curve::smooth);
  const double h = 1e-5; // error h² times the third derivative, and rounding over h
  for (double x = 0.05; x < 6.9; x += 0.1)
    EXPECT_NEAR(f.slope(x), (f.value(x + h) - f.value(x - h)) / (2 * h), 2e-9) << x;
}

TEST(Interpolant, SmoothSlopeHasNoJumpAtAKnot) {
  const Interpolant f(places, values, Curve::smooth);
  for (const double knot : {1.0, 3.0, 4.0})
    EXPECT_NEAR(f.slope(knot - 1e-9), f.slope(knot + 1e-9), 1e-6);
}

TEST(Interpolant, SmoothCurveAddsNoBumpToRandomPoints) {
  std::mt19937 random(7);
  std::uniform_real_distribution<double> step(0.05, 1), height(-1, 1);
  for (int round = 0; round < 300; ++round) {
    std::vector<double> x{0}, y{height(random)};
    for (int k = 0; k < 6; ++k) {
      x.push_back(x.back() + step(random));
      y.push_back(height(random));
    }
    const Interpolant f(x, y, Curve::smooth);
    for (std::size_t k = 0; k + 1 < x.size(); ++k) {
      const double sense = y[k + 1] > y[k] ? 1 : -1;
      double last = y[k];
      for (int i = 1; i <= 20; ++i) {
        const double next = f.value(x[k] + (x[k + 1] - x[k]) * i / 20);
        ASSERT_GE(sense * (next - last), -1e-14);
        last = next;
      }
    }
  }
}

TEST(Interpolant, SmoothCurveThroughPointsOfALineIsThatLine) {
  const Interpolant f({0, 0.3, 1, 1.1}, {1, 1.6, 3, 3.2}, Curve::smooth);
  for (double x = 0; x < 1.1; x += 0.07)
    EXPECT_NEAR(f.value(x), 1 + 2 * x, 1e-14);
}

TEST(Interpolant, SmoothErrorFallsFasterThanSecondOrderOnAMonotoneCurve) {
  const auto error = [](int n) {
    std::vector<double> x, y;
    for (int k = 0; k <= n; ++k) {
      x.push_back(1.0 * k / n);
      y.push_back(std::exp(x.back()));
    }
    const Interpolant f(x, y, Curve::smooth);
    double worst = 0;
    for (double at = 0; at < 1; at += 0.001)
      worst = std::max(worst, std::abs(f.value(at) - std::exp(at)));
    return worst;
  };
  // The slopes are of second order, so the values are of third.
  EXPECT_GT(std::log2(error(20) / error(40)), 2.8);
}

TEST(Interpolant, MirroredPointsGiveMirroredValues) {
  std::vector<double> mirrored_places, mirrored_values(values.rbegin(), values.rend());
  for (auto x = places.rbegin(); x != places.rend(); ++x)
    mirrored_places.push_back(7 - *x);
  for (const Curve curve : {Curve::straight, Curve::smooth}) {
    const Interpolant f(places, values, curve), g(mirrored_places, mirrored_values, curve);
    for (double x = 0; x <= 7; x += 0.03125)
      EXPECT_NEAR(f.value(x), g.value(7 - x), 1e-14);
  }
}

TEST(Interpolated, AgreesWithTheInterpolantOfTheSamePoints) {
  for (const Curve curve : {Curve::straight, Curve::smooth}) {
    const Interpolant f(places, values, curve);
    for (double x = -0.5; x < 7.6; x += 0.1) {
      EXPECT_EQ(vlm::interpolated(places, values, curve, x), f.value(x));
      EXPECT_EQ(vlm::interpolated_slope(places, values, curve, x), f.slope(x));
    }
  }
}

} // namespace
