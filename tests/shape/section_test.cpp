#include <vlm/shape/section.hpp>

#include <cmath>
#include <numbers>

#include <gtest/gtest.h>

#include <vlm/base/error.hpp>

#include "../support/errors.hpp"

namespace {

using namespace vlm;
using std::numbers::pi;

// Fourier coefficient of the mean line's slope over the angle: 2/π ∫ slope·cos nθ dθ. The midpoint rule needs
// many points where the slope has a corner.
double coefficient(const MeanLine& line, int n) {
  constexpr int points = 200000;
  double sum = 0;
  for (int k = 0; k < points; ++k) {
    const double theta = pi * (k + 0.5) / points;
    sum += mean_line_slope(line, (1 - std::cos(theta)) / 2) * std::cos(n * theta);
  }
  return 2 * sum / points;
}

// Moment coefficient about the quarter chord of thin-aerofoil theory (Glauert 1926).
double quarter_chord_moment(const MeanLine& line) {
  return pi / 4 * (coefficient(line, 2) - coefficient(line, 1));
}

using errors::error_of;

struct Known {
  const char* digits;
  double zero_lift, moment;
};

// Zero-lift angle [rad] and moment about the quarter chord by thin-aerofoil theory (Glauert 1926), worked out
// by quadrature. Constants of the mean lines: NACA Reports 460 (four digits) and 537 (five digits).
const Known known_sections[] = {{"0012", 0, 0},
                                {"2412", -0.036254684, -0.05311951},
                                {"4412", -0.072509369, -0.10623903},
                                {"6412", -0.108764053, -0.15935854},
                                {"4415", -0.072509369, -0.10623903},
                                {"2312", -0.033474125, -0.04472940},
                                {"4612", -0.090480914, -0.14978551},
                                {"6409", -0.108764053, -0.15935854},
                                {"1410", -0.018127342, -0.02655976},
                                {"23012", -0.019086688, -0.01283566},
                                {"24012", -0.022542882, -0.01825327},
                                {"25012", -0.025879857, -0.02438116}};

TEST(NacaSection, HasTheZeroLiftAngleAndMomentOfThinAerofoilTheory) {
  for (const Known& known : known_sections) {
    const Section section = naca_section(known.digits);
    EXPECT_NEAR(zero_lift_angle(section.mean_line), known.zero_lift, 1e-9)
        << known.digits; // figures as printed
    EXPECT_NEAR(quarter_chord_moment(section.mean_line), known.moment, 1e-8) << known.digits;
  }
}

TEST(NacaSection, TakesThicknessFromTheLastTwoDigits) {
  EXPECT_DOUBLE_EQ(naca_section("2412").thickness, 0.12);
  EXPECT_DOUBLE_EQ(naca_section("6409").thickness, 0.09);
  EXPECT_DOUBLE_EQ(naca_section("23018").thickness, 0.18);
  EXPECT_EQ(naca_section("23018").trailing_edge_gap, 0);
}

TEST(NacaSection, HasTheCamberOfItsDesignation) {
  EXPECT_NEAR(greatest_camber(naca_section("2412").mean_line), 0.02, 1e-15);
  EXPECT_NEAR(mean_line_height(naca_section("4612").mean_line, 0.6), 0.04, 1e-15);
  // The 230 mean line rises to 1.84 % of the chord (Abbott & von Doenhoff), near x = 0.15.
  EXPECT_NEAR(greatest_camber(naca_section("23012").mean_line), 0.0184, 5e-5);
  EXPECT_NEAR(mean_line_slope(naca_section("23012").mean_line, 0.15), 0, 1e-3);
}

TEST(NacaSection, ScalesFiveDigitCamberWithTheFirstDigit) {
  const double two = zero_lift_angle(naca_section("23012").mean_line);
  EXPECT_NEAR(zero_lift_angle(naca_section("43012").mean_line), 2 * two, 1e-15);
  EXPECT_NEAR(zero_lift_angle(naca_section("63112").mean_line),
              3 * zero_lift_angle(naca_section("23112").mean_line), 1e-15);
}

TEST(NacaSection, HasTheDesignLiftOfItsFirstDigitAtTheIdealAngle) {
  // Lift at the ideal angle is π·A1, meant to be 0.15 times the first digit; the published constants, of
  // three or four figures, keep to that within 3 % (210), 0.7 % (220) and 0.03 % (the rest).
  for (const char* digits : {"21012", "22012", "23012", "24012", "25012"})
    EXPECT_NEAR(pi * coefficient(naca_section(digits).mean_line, 1), 0.3, 0.009) << digits;
}

TEST(NacaSection, HasAlmostNoMomentIfReflexed) {
  // Report 537 chose the reflexed lines for no moment about the quarter chord; constants of three figures
  // leave this, a tenth of the plain line's.
  for (const char* digits : {"22112", "23112", "24112", "25112"})
    EXPECT_NEAR(quarter_chord_moment(naca_section(digits).mean_line), 0, 1.5e-3) << digits;
}

TEST(NacaSection, RefusesDigitsThatNameNoneAndSaysWhichDo) {
  for (const char* digits :
       {"", "99", "24x2", "2012", "0412", "21112", "26012", "23212", "03012", "241200"}) {
    const std::string message = error_of([&] { naca_section(digits); });
    EXPECT_NE(message.find("found NACA section '" + std::string(digits) + "'"), std::string::npos) << message;
    EXPECT_NE(message.find("wanted four digits"), std::string::npos) << message;
  }
}

const MeanLine lines[] = {ParabolicMeanLine{0.03, 0.4},
                          ParabolicMeanLine{-0.02, 0.5},
                          naca_section("23012").mean_line,
                          naca_section("23112").mean_line,
                          UniformLoadMeanLine{0.4, 0.8},
                          UniformLoadMeanLine{0.4, 0},
                          SampledMeanLine{{0, 0.3, 0.7, 1}, {0, 0.03, 0.02, 0}}};

TEST(MeanLine, StartsAndEndsOnTheChordLine) {
  for (const MeanLine& line : lines) {
    EXPECT_NEAR(mean_line_height(line, 0), 0, 1e-15) << line.index();
    // The tail of the five-digit lines ends on the chord to the figures of their constants.
    EXPECT_NEAR(mean_line_height(line, 1), 0, 2e-5) << line.index();
  }
}

TEST(MeanLine, SlopeIsTheDerivativeOfTheHeight) {
  const double h = 1e-6;
  for (const MeanLine& line : lines)
    for (double x = 0.0123; x < 0.99; x += 0.0217)
      EXPECT_NEAR(mean_line_slope(line, x),
                  (mean_line_height(line, x + h) - mean_line_height(line, x - h)) / (2 * h), 1e-7)
          << line.index() << " at " << x;
}

TEST(MeanLine, SlopeIsFiniteAtTheTrailingEdge) {
  for (const MeanLine& line : lines)
    EXPECT_TRUE(std::isfinite(mean_line_slope(line, 1))) << line.index();
}

TEST(MeanLine, ZeroLiftAngleIsTheIntegralOfTheSlope) {
  for (const MeanLine& line : lines) // the logarithm at the nose of a uniform load slows the quadrature
    EXPECT_NEAR(zero_lift_angle(line), coefficient(line, 0) / 2 - coefficient(line, 1) / 2,
                std::holds_alternative<UniformLoadMeanLine>(line) ? 1e-6 : 2e-9)
        << line.index();
}

TEST(ParabolicMeanLine, IsTheParabolicArcWithItsCrestInTheMiddle) {
  // Thin-aerofoil theory (Glauert 1926): zero-lift angle −2·f/c, moment −π·f/c.
  const MeanLine arc = ParabolicMeanLine{0.04, 0.5};
  EXPECT_NEAR(zero_lift_angle(arc), -0.08, 1e-15);
  EXPECT_NEAR(quarter_chord_moment(arc), -0.12566371, 1e-8);
  EXPECT_NEAR(mean_line_height(arc, 0.2), 4 * 0.04 * 0.2 * 0.8, 1e-16);
}

TEST(UniformLoadMeanLine, HasItsDesignLiftAndLoadAtTheIdealAngle) {
  for (const double a : {0.0, 0.3, 0.5, 0.8, 0.95}) {
    const double design_lift = 0.4;
    const MeanLine line = UniformLoadMeanLine{design_lift, a};
    // Vortex strength over the stream: uniform to a, linear to zero behind it; area half the lift.
    const auto load = [&](double x) { return design_lift / (1 + a) * (x < a ? 1 : (1 - x) / (1 - a)); };
    // γ = 2·Σ An·sin nθ over the stream (Glauert), so the lift at the ideal angle is π·A1.
    // The rule's error, here and below, is that of the logarithm at the nose: about the step, 1.6e-5,
    // over 10.
    EXPECT_NEAR(pi * coefficient(line, 1), design_lift, 3e-6) << a;
    constexpr int points = 20000;
    double second = 0; // ∫ γ sin 2θ dθ, by which A2 follows
    for (int k = 0; k < points; ++k) {
      const double theta = pi * (k + 0.5) / points;
      second += load((1 - std::cos(theta)) / 2) * std::sin(2 * theta) * pi / points;
    }
    EXPECT_NEAR(coefficient(line, 2), second / pi, 3e-6) << a;
  }
}

TEST(UniformLoadMeanLine, ApproachesTheLoadUniformToTheTrailingEdge) {
  // At a = 1: zero-lift angle −design lift/(2π), height −design lift/(4π)·((1−x)·ln(1−x) + x·ln x).
  const MeanLine line = UniformLoadMeanLine{0.4, 1 - 1e-6};
  EXPECT_NEAR(zero_lift_angle(line), -0.4 / (2 * pi), 1e-6);
  EXPECT_NEAR(greatest_camber(line), 0.4 / (4 * pi) * std::log(2), 1e-6);
}

TEST(GreatestCamber, KeepsTheSignOfTheHeight) {
  EXPECT_NEAR(greatest_camber(ParabolicMeanLine{-0.02, 0.3}), -0.02, 1e-15);
  EXPECT_EQ(greatest_camber(ParabolicMeanLine{}), 0);
}

TEST(SectionCheck, RefusesFiguresOutsideTheirRange) {
  const auto with = [](const MeanLine& line) { return Section{"s", line, 0.1, 0}; };
  for (const MeanLine& line : lines)
    EXPECT_NO_THROW(check(with(line)));
  const double nan = std::nan("");
  const MeanLine wrong[] = {ParabolicMeanLine{nan, 0.4},
                            ParabolicMeanLine{0.02, 0},
                            CubicMeanLine{1.2, 15, 0},
                            UniformLoadMeanLine{0.3, 1},
                            UniformLoadMeanLine{nan, 0.5},
                            SampledMeanLine{{0, 1}, {0}},
                            SampledMeanLine{{0, 0.5, 0.5, 1}, {0, 0, 0, 0}},
                            SampledMeanLine{{0, 0.5}, {0, 0}}};
  for (const MeanLine& line : wrong)
    EXPECT_THROW(check(with(line)), Error) << line.index();
  EXPECT_THROW(check(Section{"s", {}, -0.1, 0}), Error);
  EXPECT_THROW(check(Section{"s", {}, 0.1, 0, SectionPolar{{0}, {5e5}, {0}}}), Error);
  EXPECT_NO_THROW(check(Section{"s", {}, 0.1, 0, {}, 1.2}));
  for (const double most_lift : {0.0, -1.2, nan})
    EXPECT_THROW(check(Section{"s", {}, 0.1, 0, {}, most_lift}), Error) << most_lift;
}

} // namespace
