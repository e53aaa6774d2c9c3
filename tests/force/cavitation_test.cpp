#include <gtest/gtest.h>

#include <vlm/force/cavitation.hpp>

#include "../support/wings.hpp"

namespace {

using namespace wings;

// By hand: fresh water of 20 °C has 998.2 kg/m³ and a vapour pressure of 2339 Pa (any steam table); 300 mm
// below the surface the pressure is 101325 + 998.2·9.80665·0.3 = 104262 Pa; ½ρV² at 20 m/s is 199640 Pa.
TEST(Cavitation, NumberAtADepthIsThatOfAHandCalculation) {
  vlm::Craft craft = craft_of({tapered(6, 1, 0, "wing")});
  craft.still_surface.depth = 0.3;
  EXPECT_NEAR(vlm::cavitation_number(craft, 20), (104262 - 2339) / 199640.0, 1e-4);
  EXPECT_NEAR(vlm::cavitation_number(craft, 10), 4 * vlm::cavitation_number(craft, 20), 1e-12);
}

// Banked 30°, a tip at half span s comes up by s/2; out of the water, and without a depth, the air's pressure
// is left.
TEST(Cavitation, LeastDeepWingCounts) {
  vlm::Craft craft = craft_of({tapered(6, 1, 0, "wing")});
  const double half_span = std::abs(craft.surfaces[0].stations.back().y), speed = 20,
               per_metre = 9.80665 / (0.5 * speed * speed); // of σ
  craft.still_surface.depth = half_span;
  const double level = vlm::cavitation_number(craft, speed);
  craft.still_surface.bank = std::acos(-1) / 6;
  EXPECT_NEAR(level - vlm::cavitation_number(craft, speed), per_metre * half_span / 2, 1e-9);
  craft.still_surface.bank = 0, craft.still_surface.depth.reset();
  EXPECT_NEAR(level - vlm::cavitation_number(craft, speed), per_metre * half_span, 1e-9);
}

} // namespace
