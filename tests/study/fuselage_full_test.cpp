// What a thin fuselage does to a craft.

#include <gtest/gtest.h>

#include "../support/wings.hpp"

namespace {

using namespace wings;
using vlm::Craft;

// A craft of 0.75 m span with a stabilizer 0.65 m behind; the fuselage is 25 mm wide, 3 % of the span, and 30
// mm high.
Craft craft_with_wing_at(double height, bool fuselage, double nose = -0.02, double stabilizer_height = 0) {
  const auto tapered_wing = [](double half, double root, double tip, const char* name) {
    const double edge = 0.25 * (root - tip);
    return from_stations(name, {{-half, 0, edge, tip, 0, flat_section()},
                                {0, 0, 0, root, 0, flat_section()},
                                {half, 0, edge, tip, 0, flat_section()}});
  };
  vlm::Surface wing = tapered_wing(0.375, 0.134, 0.08, "wing"),
               stabilizer = tapered_wing(0.2, 0.06, 0.045, "stabilizer");
  wing.position = {0, 0, height};
  stabilizer.position = {0.65, 0, stabilizer_height};
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
      EXPECT_NEAR(above.drag / below.drag, 1, 0.005) << nose << ' ' << millimetres;
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

// Beside the tail, which tapers over the last 100 mm: the stabilizer's root leaves the skin from its trailing
// edge on.
TEST(ThinFuselage, MovingTheStabilizerUpMillimetreByMillimetreNeverJumps) {
  Figures below = figures(craft_with_wing_at(0.005, true, -0.02, 0));
  for (int millimetres = 1; millimetres <= 20; ++millimetres) {
    const Figures above = figures(craft_with_wing_at(0.005, true, -0.02, 1e-3 * millimetres));
    EXPECT_NEAR(above.lift / below.lift, 1, 0.006) << millimetres;
    EXPECT_NEAR(above.drag / below.drag, 1, 0.01) << millimetres;
    below = above;
  }
}

// A wing on the flat top of a wide body: from just inside to 3 mm above it, where it still sits on it, and
// clear.
TEST(FlatToppedFuselage, CarriesAWingThatSitsOnIt) {
  Craft craft = craft_with_wing_at(0, false);
  vlm::FuselageSize size;
  size.nose = -0.02, size.length = 0.75, size.width = size.height = 0.05, size.corner = 0.01;
  size.nose_length = 0.05, size.tail_length = 0.1;
  craft.fuselage = vlm::shaped_fuselage(vlm::CutShape::rounded_rectangle, size);
  const auto at = [&](double height, vlm::BodyCounts counts) {
    craft.surfaces[0].position.z = height;
    return figures(craft, counts);
  };
  Figures below = at(0.024, {});
  for (const double height : {0.0245, 0.025, 0.0251, 0.026, 0.027, 0.028, 0.029, 0.03, 0.032}) {
    const Figures above = at(height, {});
    EXPECT_NEAR(above.lift / below.lift, 1, 0.003) << height;
    EXPECT_NEAR(above.drag / below.drag, 1, 0.005) << height;
    const Figures fine = at(height, {48, 24});
    EXPECT_NEAR(above.lift / fine.lift, 1, 0.005) << height;
    EXPECT_NEAR(above.drag / fine.drag, 1, 0.008) << height;
    below = above;
  }
}

// Crafts drawn from van der Corput sequences, of one prime a figure, so that they are the same everywhere:
// bodies round and square, wing and stabilizer at any height on them or clear.
TEST(Fuselages, FinerShellsGiveTheSame) {
  const auto between = [](int i, int prime, double low, double high) {
    double share = 0, digit = 1.0 / prime;
    for (i *= 7; i > 0; i /= prime, digit /= prime)
      share += i % prime * digit;
    return low + share * (high - low);
  };
  double lift = 0, drag = 0, centre = 0; // means
  for (int i = 1; i <= 40; ++i) {
    vlm::FuselageSize size;
    size.nose = between(i, 2, -0.14, 0.03);
    size.length = 0.75 - size.nose;
    size.width = between(i, 3, 0.018, 0.036), size.height = between(i, 5, 0.02, 0.045);
    size.nose_length = between(i, 7, 0.03, 0.12), size.tail_length = between(i, 11, 0.05, 0.3);
    const bool square = between(i, 29, 0, 29) < 14.5;
    if (square)
      size.corner = between(i, 13, 0.15, 0.5) * std::min(size.width, size.height);
    Craft craft = craft_with_wing_at(between(i, 17, -0.03, 0.03), false, 0, between(i, 19, -0.02, 0.02));
    craft.surfaces[1].position.x = between(i, 23, 0.5, 0.72);
    craft.fuselage =
        vlm::shaped_fuselage(square ? vlm::CutShape::rounded_rectangle : vlm::CutShape::elliptical, size);
    const Figures coarse = figures(craft), fine = figures(craft, {48, 24});
    EXPECT_NEAR(coarse.lift / fine.lift, 1, 0.007) << i;
    EXPECT_NEAR(coarse.drag / fine.drag, 1, 0.015) << i;
    EXPECT_NEAR(coarse.centre, fine.centre, 0.03) << i;
    lift += std::abs(coarse.lift / fine.lift - 1) / 40, drag += std::abs(coarse.drag / fine.drag - 1) / 40;
    centre += std::abs(coarse.centre - fine.centre) / 40;
  }
  EXPECT_LT(lift, 0.001);
  EXPECT_LT(drag, 0.0025);
  EXPECT_LT(centre, 0.006);
}

} // namespace
