#include <gtest/gtest.h>

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

// A vortex of circulation Γ at depth h raises waves of amplitude a = (2Γ/V)·exp(−gh/V²) behind it, whose drag
// is ¼ ρ g a² a metre, for their energy ½ ρ g a² follows at half their speed (Lamb, Hydrodynamics, articles
// 237 and 249, from memory): together ρ g Γ²/V²·exp(−2gh/V²).
TEST(WaveDrag, IsThatOfAVortexStripByStrip) {
  const vlm::Craft craft = craft_of({rectangle(4)});
  const auto at = [&](double depth) {
    vlm::Craft riding = craft;
    riding.still_surface = {vlm::Boundary::free, depth, {}, 0};
    return vlm::make_lattice(riding, counts({{20, 4}}));
  };
  const vlm::Lattice lattice = at(1);
  const std::vector<double> circulation(lattice.strips.size(), 0.5);
  double width = 0;
  for (const vlm::Strip& strip : lattice.strips)
    width += strip.width;
  const double speed = 4, amplitude = 2 * 0.5 / speed * std::exp(-9.80665 / 16);
  EXPECT_NEAR(vlm::wave_drag(lattice, circulation, speed, 1000),
              0.25 * 1000 * 9.80665 * amplitude * amplitude * width, 1e-9);
  EXPECT_NEAR(vlm::wave_drag(at(2), circulation, speed, 1000),
              0.25 * 1000 * 9.80665 * amplitude * amplitude * width * std::exp(-2 * 9.80665 / 16), 1e-9);
  EXPECT_EQ(vlm::wave_drag(vlm::make_lattice(craft, counts({{20, 4}})), circulation, speed, 1000), 0);
}

// Two wings one behind the other, waves in phase: twice the amplitude, four times the drag.
TEST(WaveDrag, WavesOfSurfacesInLineAddUp) {
  vlm::Surface second = rectangle(4, "second");
  second.position = {5, 0, 0};
  vlm::Craft one = craft_of({rectangle(4)}), two = craft_of({rectangle(4), second});
  one.still_surface = two.still_surface = {vlm::Boundary::free, 1.0, {}, 0};
  const vlm::Lattice single = vlm::make_lattice(one, counts({{20, 4}})),
                     tandem = vlm::make_lattice(two, counts({{20, 4}, {20, 4}}));
  EXPECT_NEAR(vlm::wave_drag(tandem, std::vector<double>(40, 0.5), 4, 1000) /
                  vlm::wave_drag(single, std::vector<double>(20, 0.5), 4, 1000),
              4, 1e-9);
}

// Values of two-dimensional theory, to two digits (derived from 1 − 2x·exp(−x)·Ei(x), Ei by its series).
TEST(ShareOfImage, IsThatOfTwoDimensionalTheory) {
  for (const auto& [froude, share] : {std::pair{3.0, 1.25}, {2.0, 0.72}, {1.5, -0.16}, {1.0, -1.68}})
    EXPECT_NEAR(vlm::share_of_image(froude), share, 0.006) << froude;
  EXPECT_NEAR(vlm::share_of_image(100), 1, 0.01);
}

// With s = x − t in Ei(x) = ⨍ exp(s)/s ds up to x, exp(−x)·Ei(x) is ⨍ exp(−t)/(x − t) dt over t > 0. Between
// 0 and 2x 1/(x − t) has no principal value, so exp(−x) may be taken off the exponential, which leaves
// nothing singular. Beyond 80 the rest is below 1e-34. Simpson's rule; both sides of where the library's way
// changes, x = 50.
TEST(ShareOfImage, IsFiniteAndRightHoweverDeepOrSlow) {
  for (const double x : {20.0, 49.9, 50.0, 50.1, 700.0, 1e3, 1e6, 1e12}) {
    const auto integrand = [x](double t) {
      return t == x ? std::exp(-x) : (std::exp(-t) - std::exp(-x)) / (x - t);
    };
    constexpr int steps = 80000;
    const double step = std::min(2 * x, 80.0) / steps;
    double sum = 0;
    for (int i = 0; i <= steps; ++i)
      sum += (i == 0 || i == steps ? 1 : i % 2 == 1 ? 4 : 2) * integrand(i * step);
    EXPECT_NEAR(vlm::share_of_image(std::sqrt(2 / x)), 1 - 2 * x * sum * step / 3, 1e-12) << x;
  }
}

} // namespace
