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
  const vlm::Lattice lattice = vlm::make_lattice(craft, counts({{20, 4}}));
  const std::vector<double> circulation(lattice.strips.size(), 0.5);
  vlm::StillSurface still{vlm::Boundary::free, 1.0, {}, 0};
  double width = 0;
  for (const vlm::Strip& strip : lattice.strips)
    width += strip.width;
  const double speed = 4, amplitude = 2 * 0.5 / speed * std::exp(-9.80665 / 16);
  EXPECT_NEAR(vlm::wave_drag(lattice, still, circulation, speed, 1000),
              0.25 * 1000 * 9.80665 * amplitude * amplitude * width, 1e-9);
  still.depth = 2;
  EXPECT_NEAR(vlm::wave_drag(lattice, still, circulation, speed, 1000),
              0.25 * 1000 * 9.80665 * amplitude * amplitude * width * std::exp(-2 * 9.80665 / 16), 1e-9);
  still.depth.reset();
  EXPECT_EQ(vlm::wave_drag(lattice, still, circulation, speed, 1000), 0);
}

} // namespace
