#include <vlm/force/friction.hpp>

#include <cmath>

#include <gtest/gtest.h>

#include <vlm/base/error.hpp>

namespace {

using namespace vlm;
constexpr FrictionLine both_lines[] = {FrictionLine::ittc1957, FrictionLine::flat_plate};

struct Known {
  double reynolds, coefficient;
};

TEST(Friction, OfThe1957LineIsThatOfTheFormula) {
  // 0.075/(log₁₀ Re − 2)²: at 1e6 0.075/16, at 1e7 0.075/25.
  for (const auto& [reynolds, coefficient] : {Known{1e5, 0.00833333},
                                              {2e5, 0.00688276},
                                              {5e5, 0.00548150},
                                              {1e6, 0.00468750},
                                              {1e7, 0.00300000},
                                              {1e8, 0.00208333}})
    EXPECT_NEAR(turbulent_friction(FrictionLine::ittc1957, reynolds), coefficient, 5e-9) << reynolds;
}

TEST(Friction, OfAFlatPlateIsThatOfPrandtlAndSchlichting) {
  // Schlichting's table of his own formula, three figures (from memory).
  for (const auto& [reynolds, coefficient] :
       {Known{1e6, 0.00447}, {1e7, 0.00300}, {1e8, 0.00213}, {1e9, 0.00157}})
    EXPECT_NEAR(turbulent_friction(FrictionLine::flat_plate, reynolds), coefficient, 5e-6) << reynolds;
}

TEST(Friction, OfAFlatPlateIsNearTheLawOfSchoenherr) {
  // 0.242/√C = log₁₀(Re C), 1932: another fit to plates, 0.00440943 at 1e6 and 0.00293428 at 1e7. The two
  // differ by 1.4 and 2.4 % there.
  EXPECT_NEAR(turbulent_friction(FrictionLine::flat_plate, 1e6) / 0.00440943, 1, 0.015);
  EXPECT_NEAR(turbulent_friction(FrictionLine::flat_plate, 1e7) / 0.00293428, 1, 0.025);
}

TEST(Friction, OfALaminarPlateIsThatOfBlasius) {
  // 1.328/√1e4 = 0.01328; the exact constant is 1.3282.
  EXPECT_DOUBLE_EQ(laminar_friction(1e4), 0.01328);
  EXPECT_NEAR(laminar_friction(1e5) * std::sqrt(1e5), 1.3282293, 3e-4);
}

TEST(Friction, FallsSteadilyWhereTheLinesDoNotHoldToo) {
  for (const FrictionLine line : both_lines) {
    double before = turbulent_friction(line, 1e-3);
    EXPECT_TRUE(std::isfinite(before));
    for (double reynolds = 2e-3; reynolds < 1e9; reynolds *= 2) {
      const double friction = turbulent_friction(line, reynolds);
      EXPECT_LT(friction, before) << reynolds;
      before = friction;
    }
    EXPECT_NEAR(turbulent_friction(line, 0.999999e4) / turbulent_friction(line, 1.000001e4), 1, 2e-6);
  }
}

TEST(Friction, WithTransitionLiesBetweenTurbulentAndLaminar) {
  for (const FrictionLine line : both_lines)
    for (const double reynolds : {2e3, 1e5, 7e5, 2e7}) {
      EXPECT_EQ(mean_friction({line, 0}, reynolds), turbulent_friction(line, reynolds));
      EXPECT_EQ(mean_friction({line, 1}, reynolds), laminar_friction(reynolds));
      // Both limits are met by what lies between.
      EXPECT_NEAR(mean_friction({line, 1 - 1e-9}, reynolds) / laminar_friction(reynolds), 1, 1e-7);
      EXPECT_NEAR(mean_friction({line, 1e-9}, reynolds) / turbulent_friction(line, reynolds), 1, 1e-3);
    }
  double before = 1;
  for (double transition = 0; transition <= 1; transition += 0.1) {
    const double friction = mean_friction({FrictionLine::ittc1957, transition}, 7e5);
    EXPECT_LT(friction, before) << transition;
    before = friction;
  }
}

TEST(Friction, BehindTransitionIsThatOfAPlateOfEqualMomentumThickness) {
  // A turbulent plate of Re 1e5 has Re C = 1e5 · 0.075/9 = 833.333. A laminar one has 1.328 √Re, as much at
  // Re = (833.333/1.328)² = 393,769. Laminar over half its length, a plate of Re 787,538 therefore ends as a
  // turbulent one of Re 393,769 + 1e5 = 493,769 does: 0.075/(5.693524 − 2)² = 0.00549768, times
  // 493,769/787,538 = 0.00344692.
  EXPECT_NEAR(mean_friction({FrictionLine::ittc1957, 0.5}, 787'537.7), 0.00344692, 1e-8);
}

TEST(Friction, IsNearPrandtlsOlderCorrectionForShortLaminarLengths) {
  // Prandtl 1927 took the turbulent layer as grown from the leading edge, so thicker and of less friction:
  // 0.455/(log₁₀ Re)^2.58 − 1700/Re for a transition at Re 5e5 (from memory). The difference falls with the
  // laminar length: 4.6 % at a tenth, 2.8 % at a twentieth.
  const auto off = [](double reynolds, double published) {
    return mean_friction({FrictionLine::flat_plate, 5e5 / reynolds}, reynolds) / published - 1;
  };
  EXPECT_NEAR(off(5e6, 0.00302442), 0, 0.05);
  EXPECT_NEAR(off(1e7, 0.00283371), 0, 0.03);
}

TEST(FormFactor, OfASectionIsHoerners) {
  // 1 + 2·0.12 + 60·0.12⁴ = 1 + 0.24 + 0.0124416.
  EXPECT_NEAR(section_form_factor(0.12), 1.2524416, 1e-12);
  EXPECT_EQ(section_form_factor(0), 1);
}

TEST(FormFactor, OfABodyIsHoerners) {
  // 1 + 1.5·0.16^1.5 + 7·0.16³ = 1 + 0.096 + 0.028672.
  EXPECT_NEAR(body_form_factor(0.16), 1.124672, 1e-12);
  EXPECT_EQ(body_form_factor(0), 1);
}

TEST(FormFactor, WithFrictionMakesTheDragOfAMeasuredSection) {
  // NACA 0012 without lift at Re 6e6, NACA Report 824: 0.0058 smooth, about 0.010 with roughness at its
  // leading edge (from memory, read off small charts). Rough, it has more friction than a smooth turbulent
  // plate; smooth, its transition lies somewhere near 40 % of the chord (not measured there). Hence 10 %.
  const auto drag = [](double transition) {
    return 2 * mean_friction({FrictionLine::flat_plate, transition}, 6e6) * section_form_factor(0.12);
  };
  EXPECT_GT(drag(0), 0.0058);
  EXPECT_LT(drag(0), 0.010);
  EXPECT_NEAR(drag(0.4) / 0.0058, 1, 0.1);
}

TEST(Friction, SaysHowItWasFound) {
  EXPECT_EQ(described({}), "ITTC 1957 line, turbulent throughout");
  EXPECT_EQ(described({FrictionLine::flat_plate, 0.35}),
            "laminar (Blasius 1908) to 35 % of the length, then flat-plate line of Prandtl and Schlichting "
            "1932 from equal momentum thickness (Schlichting)");
  EXPECT_EQ(described({FrictionLine::ittc1957, 1}), "laminar throughout (Blasius 1908)");
}

TEST(Friction, RefusesWhatIsNoFlow) {
  for (const double reynolds : {0.0, -1e5, std::nan(""), HUGE_VAL}) {
    EXPECT_THROW(laminar_friction(reynolds), Error);
    EXPECT_THROW(turbulent_friction(FrictionLine::ittc1957, reynolds), Error);
    EXPECT_THROW(mean_friction({}, reynolds), Error);
  }
  for (const double transition : {-0.01, 1.01, std::nan("")})
    EXPECT_THROW(mean_friction({FrictionLine::ittc1957, transition}, 1e6), Error) << transition;
}

// Hoerner gives the drag of streamline bodies over their frontal area, too (chapter 6, from memory):
// 3 l/d + 4.5 √(d/l) + 21 (d/l)² times the friction, at a wetted area of 3 l/d frontal ones. At l/d =
// 4, 15.56.
TEST(FormFactor, OfABodyIsThatOverItsFrontalArea) {
  for (const auto& [slenderness, over_frontal] : {std::pair{4.0, 15.5625}, {9.0, 28.7593}, {25.0, 75.9336}})
    EXPECT_NEAR(3 * slenderness * vlm::body_form_factor(1 / slenderness), over_frontal, 1e-3) << slenderness;
}

} // namespace
