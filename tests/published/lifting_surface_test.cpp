// Flat wings of linear lifting-surface theory: zero thickness, straight wake, small angles. Values are per
// radian.
//
// Sources. Rectangle AR 1: E. O. Tuck, Some accurate solutions of the lifting surface integral equation, J.
// Austral. Math. Soc. B 35 (1993), value from memory. Circle: P. F. Jordan, Exact solutions for lifting
// surfaces (1973), value from memory. The others are derived: converged values of an independent lattice of
// the same theory, extrapolated; their uncertainty is 1e-6 (rectangles), 2e-4 (ellipses), 5e-4 (tapered) and
// 2e-3 (straight quarter chord) in the lift slope.

#include <gtest/gtest.h>

#include "../support/wings.hpp"

namespace {

using namespace wings;
constexpr double circle_aspect_ratio = 4 / std::numbers::pi;

TEST(LiftingSurface, RectangleOfAspectRatioOneMeetsTuck) {
  EXPECT_NEAR(flat_figures(rectangle(1), 20, 8).lift_slope / 1.460227, 1, 3e-4);
}

TEST(LiftingSurface, CircularWingMeetsJordan) {
  const FlatFigures circle = flat_figures(ellipse(circle_aspect_ratio, 0.5), 20, 8);
  EXPECT_NEAR(circle.lift_slope / 1.790023, 1, 5e-4);
  // 0.521 radii ahead of the centre: the leading edge of the root is at x = 0, the radius 1.
  EXPECT_NEAR(circle.aerodynamic_centre, 1 - 0.521, 0.005);
}

TEST(LiftingSurface, RectanglesMeetConvergedValues) {
  struct Row {
    double aspect_ratio, lift_slope, centre, drag_factor;
  };
  for (const Row& row : {Row{1, 1.460227, 0.166738, 1.000026}, Row{2, 2.474419, 0.209379, 1.000656},
                         Row{4, 3.612051, 0.231927, 1.006227}, Row{6, 4.214634, 0.238809, 1.016384},
                         Row{8, 4.586082, 0.241996, 1.028797}, Row{10, 4.838504, 0.243803, 1.042056}}) {
    const FlatFigures f = flat_figures(rectangle(row.aspect_ratio), 20, 8);
    EXPECT_NEAR(f.lift_slope / row.lift_slope, 1, 3e-4) << "AR " << row.aspect_ratio;
    EXPECT_NEAR(f.aerodynamic_centre, row.centre, 5e-4) << "AR " << row.aspect_ratio;
    EXPECT_NEAR(f.drag_factor, row.drag_factor, 1e-3) << "AR " << row.aspect_ratio;
  }
}

TEST(LiftingSurface, EllipsesOfStraightMidChordMeetConvergedValues) {
  for (const auto& [aspect_ratio, slope] :
       {std::pair{4.0, 3.74807}, {6.366198, 4.49012}, {8.0, 4.79990}, {10.0, 5.06287}})
    EXPECT_NEAR(flat_figures(ellipse(aspect_ratio, 0.5), 20, 8).lift_slope / slope, 1, 1e-3)
        << "AR " << aspect_ratio;
}

TEST(LiftingSurface, EllipsesOfStraightQuarterChordMeetConvergedValues) {
  for (const auto& [aspect_ratio, slope] : {std::pair{4.0, 3.7346}, {8.0, 4.7917}, {10.0, 5.0564}})
    EXPECT_NEAR(flat_figures(ellipse(aspect_ratio, 0.25), 20, 8).lift_slope / slope, 1, 1e-3)
        << "AR " << aspect_ratio;
}

TEST(LiftingSurface, TaperedWingsMeetConvergedValues) {
  struct Row {
    double aspect_ratio, taper, lift_slope, centre, drag_factor;
  };
  for (const Row& row : {Row{6, 0.4, 4.3549, 0.3465, 1.0028}, Row{8, 0.4, 4.7446, 0.3502, 1.0045},
                         Row{6, 0.5, 4.3422, 0.3231, 1.0021}, Row{6, 0.6, 4.3222, 0.3024, 1.0032}}) {
    const FlatFigures f = flat_figures(tapered(row.aspect_ratio, row.taper), 20, 8);
    EXPECT_NEAR(f.lift_slope / row.lift_slope, 1, 1e-3) << row.aspect_ratio << ", taper " << row.taper;
    EXPECT_NEAR(f.aerodynamic_centre, row.centre, 1e-3) << row.aspect_ratio << ", taper " << row.taper;
    EXPECT_NEAR(f.drag_factor, row.drag_factor, 5e-4) << row.aspect_ratio << ", taper " << row.taper;
  }
}

// Lan's rule is of second order or better in each direction. Refined separately: the other count stays.
TEST(LiftingSurface, ConvergesAtSecondOrderAlongTheSpan) {
  for (const vlm::Surface& wing : {rectangle(1), rectangle(6), ellipse(8, 0.25)})
    EXPECT_GE(observed_order(flat_figures(wing, 5, 8).lift_slope, flat_figures(wing, 10, 8).lift_slope,
                             flat_figures(wing, 20, 8).lift_slope),
              2);
}

TEST(LiftingSurface, ConvergesAtSecondOrderAlongTheChord) {
  for (const vlm::Surface& wing : {rectangle(1), rectangle(6), ellipse(8, 0.25)})
    EXPECT_GE(observed_order(flat_figures(wing, 20, 2).lift_slope, flat_figures(wing, 20, 4).lift_slope,
                             flat_figures(wing, 20, 8).lift_slope),
              2);
}

// The near field is summed on the lattice, the far field in the wake: two ways to one drag.
TEST(LiftingSurface, NearFieldMeetsFarFieldDragOnStraightWings) {
  for (const vlm::Surface& wing :
       {rectangle(6), rectangle(10), tapered(6, 0.4), tapered(8, 0.4), tapered(6, 0.6)})
    EXPECT_NEAR(near_field_excess(craft_of({wing}), counts({{20, 8}}), 0.08), 0, 1e-3);
}

TEST(LiftingSurface, NearFieldExcessFallsUnderRefinementOnSweptWings) {
  for (const double tan_sweep : {0.27, 1.0}) {
    const vlm::Craft craft = craft_of({tapered(5, 0.7, tan_sweep)});
    const double coarse = std::abs(near_field_excess(craft, counts({{20, 8}}), 0.08));
    const double fine = std::abs(near_field_excess(craft, counts({{40, 16}}), 0.08));
    EXPECT_LT(fine, 0.75 * coarse) << tan_sweep;
  }
}

} // namespace
