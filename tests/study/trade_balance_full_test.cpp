// What is said in the trade of a new generation of wings, held against the demonstration range: common
// practice, no source. The shapes are our own and were drawn before anything was measured.

#include <gtest/gtest.h>

#include <vlm/file/case.hpp>
#include <vlm/ride/trimmed_craft.hpp>

#include "../support/angles.hpp"
#include "../support/wings.hpp"

namespace {

using namespace wings;
using angles::degree;

vlm::Case range_case(const std::string& name) {
  return vlm::read_case(VLM_CASES_DIR "/lake-rescue/" + name + ".toml");
}

const vlm::Surface& front_wing(const vlm::Craft& craft) {
  return craft.surfaces[vlm::surface_index(craft, "front wing")];
}

// Of a wing without stabilizer, fuselage and mast [N at 1 m/s], in the water of a craft and at its depth. At
// equal speeds it stands for the lift.
double lift_alone(const vlm::Surface& wing, const vlm::Craft& craft, double alpha) {
  vlm::Craft alone = craft;
  alone.surfaces = {wing};
  alone.fuselage.reset();
  const vlm::PlaneForms forms = vlm::plane_forms(vlm::make_responses(alone, {}, alpha, {}, pool()));
  const double c = std::cos(alpha), s = std::sin(alpha);
  return c * forms.z.value(c, s) - s * forms.x.value(c, s);
}

// Area [cm²] at which the outline and sections of the Heron 880 lift like the wing of a craft at an angle of
// attack.
double heron_area_that_lifts_like(const vlm::Craft& older, double alpha) {
  const vlm::Craft heron = range_case("heron-880").craft;
  const double wanted = lift_alone(front_wing(older), older, alpha);
  const auto excess = [&](double area) {
    return lift_alone(vlm::stretched(front_wing(heron), area, std::nullopt), older, alpha) - wanted;
  };
  double area = 0.08, last = 0.085, excess_last = excess(last);
  while (std::abs(area - last) > 1e-6) { // secants
    const double excess_here = excess(area), step = excess_here * (area - last) / (excess_here - excess_last);
    last = area, excess_last = excess_here;
    area -= step;
  }
  return 1e4 * area;
}

// Common practice, no source: about 800 cm² of a wing with more camber and a fuller centre lift like 850 cm²
// of the older outline, speed and angle being equal. So it is at the angle at which the older craft rides on
// patrol.
TEST(TradeChecks, EightHundredOfMoreCamberAndAFullerCentreLiftLikeAnOlderEightHundredAndFifty) {
  const vlm::Case c = range_case("grebe-850");
  const vlm::Ride older = vlm::make_ride(c.craft, c.lattice, c.wake, c.drag, *c.loading);
  const double alpha = vlm::trimmed_craft(older, *c.operation.speed, pool()).state.alpha;
  EXPECT_NEAR(alpha * 180 / std::numbers::pi, 6.15, 0.05);
  EXPECT_NEAR(heron_area_that_lifts_like(older.craft, alpha), 800, 20); // 780.8
}

// A finding: one area does not hold for all angles. Camber moves the angle of no lift, by more than half a
// degree here, which counts for more the smaller the angle is: at 3 degrees, as at 7 m/s, 752 cm² do, well
// below "about 800".
TEST(TradeChecks, TheAreaThatLiftsLikeAnOlderWingGrowsWithTheAngle) {
  const vlm::Craft older = range_case("grebe-850").craft;
  const double fast = heron_area_that_lifts_like(older, 3 * degree),
               slow = heron_area_that_lifts_like(older, 8 * degree);
  EXPECT_LT(fast, 760);
  EXPECT_NEAR(slow, 800, 20);
  EXPECT_LT(slow, 850 * 0.95);
}

} // namespace
