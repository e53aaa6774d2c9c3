// Wings near the still surface or a wall, in linear theory: flat rectangular wings, straight wakes, infinite
// Froude number.
//
// Sources. The tables are derived: converged values of an independent lattice of the same theory with an
// image of the same (still surface) or opposite (wall) circulation, their uncertainty 5e-5 (surface) and 1e-4
// (wall). The design formula has the form of NACA Report 1232 (Wadlin, Shuford & McGehee, 1955), from memory.
// Deep limits of induced drag: Prandtl, NACA TN 182 (1924), σ by the closed integral (derived).

#include <gtest/gtest.h>

#include "../support/wings.hpp"

#include <vlm/force/load_forms.hpp>

namespace {

using namespace wings;

vlm::Craft near_surface(double aspect_ratio, vlm::Boundary boundary, double distance) {
  vlm::Craft craft = craft_of({rectangle(aspect_ratio)});
  craft.still_surface.boundary = boundary;
  (boundary == vlm::Boundary::free ? craft.still_surface.depth : craft.still_surface.clearance) = distance;
  return craft;
}

struct NearValue {
  double depth, slope, centre, drag_factor; // depth in chords; the rest as FlatFigures
};

void expect_values(double aspect_ratio, vlm::Boundary boundary, const std::vector<NearValue>& values) {
  for (const NearValue& v : values) {
    const FlatFigures f = flat_figures(near_surface(aspect_ratio, boundary, v.depth), counts({{20, 8}}));
    EXPECT_NEAR(f.lift_slope / v.slope, 1, 3e-3) << "AR " << aspect_ratio << ", " << v.depth << " chords";
    EXPECT_NEAR(f.aerodynamic_centre, v.centre, 1e-3)
        << "AR " << aspect_ratio << ", " << v.depth << " chords";
    EXPECT_NEAR(f.drag_factor / v.drag_factor, 1, 3e-3)
        << "AR " << aspect_ratio << ", " << v.depth << " chords";
  }
}

TEST(StillSurface, RectanglesBelowItMeetConvergedValues) {
  expect_values(4, vlm::Boundary::free,
                {{0.25, 2.542412, 0.202192, 1.599434},
                 {0.5, 2.935442, 0.213779, 1.420045},
                 {0.75, 3.156457, 0.221643, 1.309623},
                 {1, 3.287360, 0.225755, 1.235674},
                 {1.5, 3.426838, 0.229286, 1.146965},
                 {2, 3.494796, 0.230593, 1.099237},
                 {3, 3.554701, 0.231463, 1.054071},
                 {5, 3.590507, 0.231818, 1.025093},
                 {10, 3.606650, 0.231915, 1.011152}});
  expect_values(10, vlm::Boundary::free,
                {{0.25, 3.396487, 0.214963, 1.815909},
                 {0.5, 3.909784, 0.225622, 1.676383},
                 {0.75, 4.182957, 0.233055, 1.578788},
                 {1, 4.337782, 0.237007, 1.504380},
                 {1.5, 4.503005, 0.240527, 1.396299},
                 {2, 4.591202, 0.241941, 1.321126},
                 {3, 4.685790, 0.243018, 1.225070},
                 {5, 4.764882, 0.243571, 1.133970},
                 {10, 4.816359, 0.243769, 1.070546}});
}

TEST(StillSurface, RectanglesOverAWallMeetConvergedValues) {
  expect_values(4, vlm::Boundary::wall,
                {{0.25, 6.148710, 0.270294, 0.387678},
                 {0.5, 4.677028, 0.251135, 0.581309},
                 {1, 4.006867, 0.238156, 0.774983},
                 {2, 3.737328, 0.233267, 0.913150},
                 {5, 3.633806, 0.231838, 0.987362}});
  expect_values(10, vlm::Boundary::wall,
                {{0.25, 8.152609, 0.280823, 0.250038},
                 {0.5, 6.294738, 0.262983, 0.393007},
                 {1, 5.469016, 0.250683, 0.571221},
                 {2, 5.114825, 0.245676, 0.760675},
                 {5, 4.914424, 0.244038, 0.950107}});
}

TEST(StillSurface, LiftSlopeMeetsTheDesignFormulaBelowAChord) {
  // a = 2π K/(E + 2 K (1 + σ)/AR), K = ((4h/c)² + 1)/((4h/c)² + 2), E = 1 + 1/AR, σ at the gap 2h: 1.5 %
  // below.
  for (const auto& [aspect_ratio, depth, formula] : {std::tuple{4.0, 1.0, 3.23937},
                                                     {4.0, 2.0, 3.45993},
                                                     {4.0, 5.0, 3.56480},
                                                     {10.0, 1.0, 4.29900},
                                                     {10.0, 2.0, 4.56949},
                                                     {10.0, 5.0, 4.75479}}) {
    const FlatFigures f =
        flat_figures(near_surface(aspect_ratio, vlm::Boundary::free, depth), counts({{20, 8}}));
    EXPECT_NEAR(formula / f.lift_slope, 1, 0.015) << "AR " << aspect_ratio << ", " << depth << " chords";
    EXPECT_LT(formula, f.lift_slope);
  }
  // At a quarter of a chord its single vortex is too near its image: 8 % low.
  for (const auto& [aspect_ratio, formula] : {std::pair{4.0, 2.34648}, {10.0, 3.13079}})
    EXPECT_NEAR(
        formula /
            flat_figures(near_surface(aspect_ratio, vlm::Boundary::free, 0.25), counts({{20, 8}})).lift_slope,
        0.92, 0.01)
        << "AR " << aspect_ratio;
}

// A flat plate in two dimensions, h below the surface: slope over that in deep water (derived: lattice of 60
// and 120 elements, converged). Here the middle of a wing so wide that its tips do not matter.
TEST(StillSurface, WideWingMeetsTheFlatPlate) {
  const double aspect_ratio = 1e5;
  const auto circulation = [&](const vlm::Craft& craft) {
    const vlm::Responses r = vlm::make_responses(craft, counts({{21, 12}}), 0, {}, pool());
    return r.strip_circulation(10, 1);
  };
  const double deep = circulation(craft_of({rectangle(aspect_ratio)}));
  for (const auto& [depth, ratio] : {std::pair{0.25, 0.73091882},
                                     {0.5, 0.85452351},
                                     {1.0, 0.94725339},
                                     {2.0, 0.98507210},
                                     {5.0, 0.99751860}})
    EXPECT_NEAR(circulation(near_surface(aspect_ratio, vlm::Boundary::free, depth)) / deep / ratio, 1, 3e-3)
        << depth;
}

// Far-field drag of elliptic circulation on a line of span 2, Γ0 = 1.
double elliptic_drag(vlm::Craft craft, vlm::Boundary boundary, double distance) {
  craft.still_surface.boundary = boundary;
  craft.still_surface.depth = craft.still_surface.clearance = distance;
  const vlm::Lattice lattice = vlm::make_lattice(craft, counts({{40, 2}}));
  vlm::Matrix circulation(lattice.num_panels(), 1);
  for (const vlm::Strip& strip : lattice.strips)
    circulation(strip.first_panel, 0) = std::sqrt(1 - strip.leading_edge.y * strip.leading_edge.y);
  const std::vector<vlm::Cause> cause{{{1, 0, 0}, {}, {}, {}}};
  const vlm::Influence influence(lattice, {1, 0, 0});
  return vlm::load_forms(influence, cause, circulation, 1, 1, {}, pool())[0].far_drag(0, 0);
}

TEST(StillSurface, InducedDragOfEllipticLoadingHasPrandtlsFactors) {
  vlm::Surface wing = rectangle(2);
  for (vlm::Station& station : wing.stations)
    station.chord = 0.05;
  const vlm::Craft craft = craft_of({wing});
  const double deep = elliptic_drag(craft, vlm::Boundary::none, 1);
  for (const auto& [gap_over_span, sigma] :
       {std::pair{0.1, 0.65646873}, {0.2, 0.48420307}, {0.5, 0.23221078}, {1.0, 0.093506}}) {
    // The image is 2h away, a gap of 2h/b.
    const double distance = gap_over_span; // b = 2
    EXPECT_NEAR(elliptic_drag(craft, vlm::Boundary::free, distance) / deep, 1 + sigma, 3e-3) << gap_over_span;
    EXPECT_NEAR(elliptic_drag(craft, vlm::Boundary::wall, distance) / deep, 1 - sigma, 3e-3) << gap_over_span;
  }
}

TEST(StillSurface, LiftFallsSteadilyUpToTouchingIt) {
  double above = 0.5 * flat_figures(rectangle(4), 20, 8).lift_slope;
  for (const double depth : {1e-6, 1e-4, 1e-3, 0.01, 0.02, 0.05, 0.1, 0.15, 0.2, 0.25, 0.5}) {
    const double slope =
        flat_figures(near_surface(4, vlm::Boundary::free, depth), counts({{20, 8}})).lift_slope;
    EXPECT_GT(slope, above)
        << depth; // touching, every vortex lies on its image of the same sense: half the lift
    above = slope;
  }
}

} // namespace
