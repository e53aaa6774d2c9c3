// What a thin fuselage does to a craft.

#include <gtest/gtest.h>

#include "../support/wings.hpp"

namespace {

using namespace wings;
using vlm::Craft;

// A craft of 0.75 m span with a stabilizer 0.65 m behind; the fuselage is 25 mm wide, 3 % of the span, and 30
// mm high.
Craft craft_with_wing_at(double height, bool fuselage, double nose = -0.02) {
  const auto tapered_wing = [](double half, double root, double tip, const char* name) {
    const double edge = 0.25 * (root - tip);
    return from_stations(name, {{-half, 0, edge, tip, 0, flat_section()},
                                {0, 0, 0, root, 0, flat_section()},
                                {half, 0, edge, tip, 0, flat_section()}});
  };
  vlm::Surface wing = tapered_wing(0.375, 0.134, 0.08, "wing"),
               stabilizer = tapered_wing(0.2, 0.06, 0.045, "stabilizer");
  wing.position = {0, 0, height};
  stabilizer.position = {0.65, 0, 0};
  Craft craft = craft_of({wing, stabilizer});
  if (fuselage)
    craft.fuselage = body(nose, 0.73 - nose, 0.025, 0.03, 0.05, 0.1);
  return craft;
}

struct Figures {
  double lift, drag, centre, near_drag; // coefficients; centre in mean chords
  double drag_factor() const { return drag / (lift * lift); }
};

Figures figures(const Craft& craft, vlm::BodyCounts body = {}) {
  vlm::LatticeOptions options = counts({{20, 8}, {20, 8}});
  options.body = body;
  const double alpha = 0.05, c = std::cos(alpha), s = std::sin(alpha);
  const vlm::Responses r = vlm::make_responses(craft, options, alpha, {}, pool());
  const auto at = [&](const vlm::Matrix& form) { return vlm::at_turns(form, {}).value(c, s); };
  const double x = at(r.craft.force[0]), z = at(r.craft.force[2]);
  return {(z * c - x * s) / r.pressure_area, at(r.craft.far_drag) / r.pressure_area,
          -at(r.craft.moment[1]) / z / r.reference.chord, (x * c + z * s) / r.pressure_area};
}

TEST(ThinFuselage, ChangesLiftByLessThanTwoPercentAndDragAtEqualLiftByLessThanOne) {
  for (const double height : {0.0, 0.007, -0.007}) {
    const Figures bare = figures(craft_with_wing_at(height, false)),
                  with = figures(craft_with_wing_at(height, true));
    EXPECT_NEAR(with.lift / bare.lift, 1, 0.02) << height;
    EXPECT_NEAR(with.drag_factor() / bare.drag_factor(), 1, 0.01) << height;
  }
}

TEST(ThinFuselage, NearFieldDragIsThatOfTheFarField) {
  const Figures f = figures(craft_with_wing_at(0.007, true));
  EXPECT_NEAR(f.near_drag / f.drag, 1, 0.005);
}

TEST(ThinFuselage, FinerShellGivesTheSame) {
  for (const double height : {0.0, 0.007}) {
    const Figures coarse = figures(craft_with_wing_at(height, true)),
                  fine = figures(craft_with_wing_at(height, true), {48, 24});
    EXPECT_NEAR(coarse.lift / fine.lift, 1, 0.005);
    EXPECT_NEAR(coarse.drag / fine.drag, 1, 0.005);
    EXPECT_NEAR(coarse.centre, fine.centre, 0.005);
  }
}

TEST(ThinFuselage, MovingTheWingUpMillimetreByMillimetreNeverJumps) {
  Figures below = figures(craft_with_wing_at(0, true));
  for (int millimetres = 1; millimetres <= 30; ++millimetres) {
    const Figures above = figures(craft_with_wing_at(1e-3 * millimetres, true));
    EXPECT_NEAR(above.lift / below.lift, 1, 0.005) << millimetres;
    EXPECT_NEAR(above.drag / below.drag, 1, 0.005) << millimetres;
    below = above;
  }
}

// The wing's front hangs out ahead of the nose by a tenth or less of its root chord, or the nose begins ahead
// of it and is lower than the wing.
TEST(ThinFuselage, MovingAWingThatOverhangsTheNoseNeverJumps) {
  for (const double nose : {-0.003, 0.002, 0.013}) {
    Figures below = figures(craft_with_wing_at(0.01, true, nose));
    for (int millimetres = 11; millimetres <= 20; ++millimetres) {
      const Figures above = figures(craft_with_wing_at(1e-3 * millimetres, true, nose));
      EXPECT_NEAR(above.lift / below.lift, 1, 0.005) << nose << ' ' << millimetres;
      EXPECT_NEAR(above.drag / below.drag, 1, 0.006) << nose << ' ' << millimetres;
      below = above;
    }
  }
}

// With the nose farther back its upwash on the rear of the wing is lift that comes within a few millimetres
// of height, so steps are no test there; rings and panels are.
TEST(ThinFuselage, FinerShellGivesTheSameWhereTheWingOverhangsTheNose) {
  for (const double nose : {0.013, 0.04, 0.08})
    for (const double height : {0.0, 0.008, 0.012, 0.0149, 0.0155, 0.02}) {
      const Figures coarse = figures(craft_with_wing_at(height, true, nose)),
                    fine = figures(craft_with_wing_at(height, true, nose), {48, 24});
      EXPECT_NEAR(coarse.lift / fine.lift, 1, 0.005) << nose << ' ' << height;
      EXPECT_NEAR(coarse.near_drag / coarse.drag, 1, 0.005) << nose << ' ' << height;
    }
}

} // namespace
