#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "../support/wings.hpp"

#include <vlm/force/waves.hpp>

namespace {

using namespace wings;

TEST(FroudeNumbers, AreSpeedsOverThoseOfGravityWaves) {
  // 9.80665 m/s² · 1 m: √9.80665 = 3.131557 m/s.
  const vlm::FroudeNumbers f = vlm::froude_numbers(6.263114, 1, 0.25, 4);
  EXPECT_NEAR(f.depth, 2, 1e-6);
  EXPECT_NEAR(f.chord, 4, 1e-6);
  EXPECT_NEAR(f.span, 1, 1e-6);
}

// Prandtl's interference of equal wings, NACA TR 116, 1921 (the table as textbooks give it, from memory):
// gap over span 0.05 to 0.5. The table is of approximations: they are up to 0.0045 off the integral.
TEST(StillSurface, ItsImageIsTheOtherWingOfABiplane) {
  for (const auto& [gap, sigma] : {std::pair{0.05, 0.780},
                                   {0.10, 0.655},
                                   {0.15, 0.561},
                                   {0.20, 0.485},
                                   {0.25, 0.420},
                                   {0.30, 0.370},
                                   {0.40, 0.290},
                                   {0.50, 0.230}})
    EXPECT_NEAR(vlm::drag_by_image(gap / 2), sigma, 0.006) << gap;
  EXPECT_NEAR(vlm::drag_by_image(1e-4), 1, 0.01); // close by, both shed twice the sheet
  // Far away the wings are points: σ = b²/8 · ∫ λ exp(−2λh) dλ = (b/h)²/32.
  EXPECT_NEAR(vlm::drag_by_image(100) * 32 * 1e4, 1, 1e-4);
}

// Of a span much longer than waves and depth each strip raises its own: ρ g Γ²/V²·exp(−2gh/V²) a metre, on an
// ellipse 2/3 of the span times Γ₀², over an induced drag of π/8 ρ Γ₀².
TEST(StillSurface, RaisesTheWavesOfItsStripsAboveAVeryLongWing) {
  const double depth_over_span = 1e-3;
  for (const double froude : {0.7, 1.0, 2.0}) {
    const double k = 1 / (froude * froude);
    EXPECT_NEAR(vlm::drag_by_waves(froude, depth_over_span) /
                    (k * std::exp(-2 * k) / depth_over_span * (2.0 / 3) / (std::numbers::pi / 8)),
                1, 0.01)
        << froude;
  }
}

TEST(StillSurface, IsAWallAtRestAndItsImageAtGreatSpeed) {
  for (const double depth_over_span : {0.05, 0.3, 2.0}) {
    EXPECT_NEAR(vlm::share_of_image(1e-3, depth_over_span), -1, 1e-12);
    EXPECT_NEAR(vlm::share_of_image(0.1, depth_over_span), -1, 1e-12);
    EXPECT_NEAR(vlm::share_of_image(1e3, depth_over_span), 1, 1e-3);
  }
}

// The integral over the direction θ of waves as theory has it, by the trapezium rule, with the spectrum of
// the circulation by the midpoint rule along the span: 0.86 m at 0.3 m, whose shares of image stand in
// docs/limits.md.
TEST(StillSurface, RaisesTheWavesThatTheTheoryHasThemInAllDirections) {
  const double span = 0.86, depth = 0.3;
  for (const double froude : {1.0, 1.6, 3.0, 5.0}) {
    const double k = 1 / (froude * froude * depth);
    double sum = 0;
    const int directions = 20000, strips = 400;
    for (int i = 0; i < directions; ++i) {
      const double theta = i * pi / 2 / directions, secant2 = 1 / (std::cos(theta) * std::cos(theta));
      if (2 * k * depth * secant2 > 60)
        break;
      double spectrum = 0; // of Γ = sin φ at y = b/2 cos φ
      for (int j = 0; j < strips; ++j) {
        const double phi = (j + 0.5) * pi / strips;
        spectrum += std::cos(k * span / 2 * std::cos(phi) * std::sin(theta) * secant2) * std::sin(phi) *
                    std::sin(phi) * span / 2 * pi / strips;
      }
      sum += (i == 0 ? 0.5 : 1) * std::pow(secant2, 2.5) * std::exp(-2 * k * depth * secant2) * spectrum *
             spectrum * pi / 2 / directions;
    }
    const double wave_drag = k * k / pi * sum, induced = pi / 8; // over ρ Γ₀²
    EXPECT_NEAR(vlm::drag_by_waves(froude, depth / span) / (wave_drag / induced), 1, 1e-6) << froude;
  }
}

} // namespace
