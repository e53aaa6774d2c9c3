// Stability derivatives: against published damping in roll, and against effects worked by hand.

#include <gtest/gtest.h>

#include "../support/wings.hpp"

#include <vlm/file/case.hpp>
#include <vlm/force/derivatives.hpp>

namespace {

using namespace wings;
using std::numbers::pi;

const vlm::Derivative& named(const std::vector<vlm::Derivative>& all, const std::string& name) {
  const auto found = std::find_if(all.begin(), all.end(), [&](const auto& d) { return d.name == name; });
  if (found == all.end())
    throw std::runtime_error("no derivative " + name);
  return *found;
}

std::vector<vlm::Derivative> derivatives_of(const vlm::Craft& craft, const vlm::LatticeOptions& options,
                                            const vlm::Condition& condition) {
  return vlm::derivatives(vlm::make_responses(craft, options, 0, {}, pool(), vlm::Motions::all), condition);
}

vlm::Craft demo() {
  return vlm::read_case(std::string(VLM_CASES_DIR) + "/lake-rescue/heron-880.toml").craft;
}

TEST(Derivatives, PartsAddUp) {
  for (const vlm::Derivative& d : derivatives_of(demo(), counts({{12, 4}, {8, 4}, {6, 4}}), {0.05, 0.02})) {
    double sum = 0;
    for (const double part : d.parts)
      sum += part;
    EXPECT_NEAR(sum, d.value, 1e-10 * (1 + std::abs(d.value))) << d.name;
  }
}

TEST(Derivatives, MirroredMotionGivesMirroredLoads) {
  const vlm::Responses r =
      vlm::make_responses(demo(), counts({{12, 4}, {8, 4}, {6, 4}}), 0, {}, pool(), vlm::Motions::all);
  const vlm::PolarPoint a = vlm::polar_point(r, {0.04, 0.1, {0.02, 0.01, -0.03}}),
                        b = vlm::polar_point(r, {0.04, -0.1, {-0.02, 0.01, 0.03}});
  EXPECT_NEAR(a.lift_coefficient, b.lift_coefficient, 1e-12);
  EXPECT_NEAR(a.pitching_moment_coefficient, b.pitching_moment_coefficient, 1e-7);
  EXPECT_NEAR(a.side_force_coefficient, -b.side_force_coefficient, 1e-7);
  EXPECT_NEAR(a.rolling_moment_coefficient, -b.rolling_moment_coefficient, 1e-7);
  EXPECT_NEAR(a.yawing_moment_coefficient, -b.yawing_moment_coefficient, 1e-7);
  EXPECT_GT(std::abs(a.rolling_moment_coefficient), 1e-3);
}

// Damping in roll of flat wings, linear lifting-surface theory (derived: converged values of an independent
// lattice, 1e-5 of rectangles, 5e-5 of ellipses).
TEST(Derivatives, RollDampingMeetsConvergedValues) {
  for (const auto& [aspect_ratio, damping] :
       {std::pair{1.0, -0.097853}, {4.0, -0.335988}, {6.0, -0.440201}, {10.0, -0.575220}}) {
    const auto d = derivatives_of(craft_of({rectangle(aspect_ratio)}), counts({{20, 8}}), {0});
    EXPECT_NEAR(named(d, "rolling moment due to roll rate").value / damping, 1, 3e-3) << aspect_ratio;
  }
  for (const auto& [aspect_ratio, damping] : {std::pair{4.0, -0.32000}, {6.0, -0.41095}, {8.0, -0.47439}}) {
    const auto d = derivatives_of(craft_of({ellipse(aspect_ratio, 0.5)}), counts({{30, 8}}), {0});
    EXPECT_NEAR(named(d, "rolling moment due to roll rate").value / damping, 1, 3e-3) << aspect_ratio;
  }
}

// R. T. Jones, Properties of Low-Aspect-Ratio Pointed Wings, NACA Report 835 (1946), from memory: −π AR/32.
TEST(Derivatives, RollDampingOfASlenderWingIsJoness) {
  const double aspect_ratio = 0.02;
  const auto d = derivatives_of(craft_of({rectangle(aspect_ratio)}), counts({{20, 8}}), {0});
  EXPECT_NEAR(named(d, "rolling moment due to roll rate").value / (-pi * aspect_ratio / 32), 1, 0.005);
}

// A small tail at distance l, pitching at q, meets the stream at the angle q l/V: CL_q = 2 a (St/S)(l/c)
// against q c/2V, and at its lever Cm_q = −2 a (St/S)(l/c)².
TEST(Derivatives, TailDampsInPitchByItsLever) {
  vlm::Surface tail = rectangle(4, "tail");
  const double size = 0.1, lever = 8;
  for (vlm::Station& station : tail.stations)
    station.y *= size, station.chord *= size;
  const double slope = flat_figures(rectangle(4), 20, 8).lift_slope;
  tail.position = {lever - 0.25 * size, 0, 0};
  vlm::Surface wing = rectangle(6);
  wing.position = {0, 0, 200}; // out of the tail's way
  const auto d = derivatives_of(craft_of({wing, tail}), counts({{6, 2}, {20, 8}}), {0});
  const double area_ratio = 4 * size * size / 6;
  EXPECT_NEAR(named(d, "lift due to pitch rate").parts[1] / (2 * slope * area_ratio * lever), 1, 0.01);
  EXPECT_NEAR(named(d, "pitching moment due to pitch rate").parts[1] /
                  (-2 * slope * area_ratio * lever * lever),
              1, 0.01);
}

// Wings raised by a dihedral Γ meet a sideslip β at an angle of attack βΓ more on the side that the water
// comes from and βΓ less on the other: the rolling moment is that of a flat wing whose halves are turned so,
// starboard up.
TEST(Derivatives, DihedralRollsAwayFromTheSideslip) {
  const double dihedral = 0.02, span = 10;
  const vlm::Surface raised =
      from_stations("wing", {{-span / 2, dihedral * span / 2, 0, 1, 0, flat_section()},
                             {0, 0, 0, 1, 0, flat_section()},
                             {span / 2, dihedral * span / 2, 0, 1, 0, flat_section()}});
  const auto d = derivatives_of(craft_of({raised}), counts({{40, 6}}), {0});

  const vlm::Surface flat = from_stations("wing", {{-span / 2, 0, 0, 1, 0, flat_section()},
                                                   {0, 0, 0, 1, 0, flat_section()},
                                                   {span / 2, 0, 0, 1, 0, flat_section()}});
  const vlm::Craft craft = craft_of({flat});
  const vlm::FlowSystem system(vlm::make_lattice(craft, counts({{40, 6}})), {1, 0, 0}, pool());
  std::vector<double> turn;
  for (const vlm::Strip& strip : system.lattice().strips)
    turn.push_back(strip.span_fraction < 0 ? -dihedral : dihedral);
  const std::vector<vlm::Cause> causes{{{1, 0, 0}, {}, {}, {}}, {{}, {}, {}, turn}};
  const auto forms = vlm::load_forms(system.influence(), causes, system.solve(causes), 1, 1, {}, pool());
  const double rolling = vlm::to_body_axes({2 * forms[0].moment[0](0, 1), 0, 0}).x / (0.5 * span * span);
  EXPECT_LT(rolling, 0);
  EXPECT_NEAR(named(d, "rolling moment due to sideslip").value / rolling, 1, 0.01);
}

// On a flat wing the vorticity that the legs carry aft over the chord meets the side stream V β: a force ρ V
// β γ dy a metre, over the distance l from the centre of lift to the trailing edge. Its moment is ρ V β l ∫ y
// Γ' dy = −ρ V β l ∫ Γ dy, so Cl = −CL β l/b.
TEST(Derivatives, ChordwiseVorticityRollsAFlatWingInSideslip) {
  const double aspect_ratio = 6, alpha = 0.01;
  const FlatFigures flat = flat_figures(rectangle(aspect_ratio), 20, 8);
  const auto d = derivatives_of(craft_of({rectangle(aspect_ratio)}), counts({{20, 8}}), {alpha});
  const double lift = flat.lift_slope * alpha, to_edge = 1 - flat.aerodynamic_centre;
  EXPECT_NEAR(named(d, "rolling moment due to sideslip").value / (-lift * to_edge / aspect_ratio), 1, 0.03);
}

TEST(Derivatives, LiftGrowsWithDepth) {
  vlm::Craft craft = craft_of({rectangle(4)});
  craft.still_surface = {vlm::Boundary::free, 1.0, {}, 0};
  const vlm::LatticeOptions options = counts({{20, 8}});
  const auto d = vlm::depth_derivatives(craft, options, 0, {0.01}, pool());
  ASSERT_EQ(d.size(), 2U);
  EXPECT_EQ(d[0].group, vlm::DerivativeGroup::stiffness);
  // Of the slopes at 0.75, 1 and 1.5 chords, 3.156457, 3.287360 and 3.426838 (derived, as in
  // still_surface_test): a parabola through the three.
  const double slope = (3.287360 - 3.156457) / 0.25 * (2.0 / 3) + (3.426838 - 3.287360) / 0.5 * (1.0 / 3);
  EXPECT_NEAR(d[0].value / (0.01 * slope), 1, 0.1);
  craft.still_surface = {};
  EXPECT_TRUE(vlm::depth_derivatives(craft, options, 0, {0.01}, pool()).empty());
}

} // namespace
