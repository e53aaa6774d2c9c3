// Stability derivatives: against crafts turned in the stream, against published damping in roll, and against
// effects worked by hand.

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

// Lift, drag, side force, rolling, pitching, yawing moment coefficients.
using Components = std::array<double, 6>;

Components components(const vlm::Craft& craft, const vlm::Vec3& force, const vlm::Vec3& moment,
                      const vlm::Condition& condition) {
  const vlm::StreamAxes axes = vlm::stream_axes(condition);
  const vlm::Reference size = vlm::reference(craft);
  const double scale = 0.5 * craft.water.density * size.area;
  const vlm::Vec3 about = vlm::to_body_axes(moment);
  return {dot(force, axes.lift) / scale, dot(force, axes.drag) / scale, dot(force, axes.side_force) / scale,
          about.x / scale / size.span,   about.y / scale / size.chord,  about.z / scale / size.span};
}

// Turns the stream of a condition into the x axis, and back.
vlm::Vec3 into_stream(const vlm::Vec3& v, const vlm::Condition& c) {
  const double x = std::cos(c.alpha) * v.x + std::sin(c.alpha) * v.z,
               z = std::cos(c.alpha) * v.z - std::sin(c.alpha) * v.x;
  return {std::cos(c.beta) * x - std::sin(c.beta) * v.y, std::sin(c.beta) * x + std::cos(c.beta) * v.y, z};
}
vlm::Vec3 out_of_stream(const vlm::Vec3& v, const vlm::Condition& c) {
  const double x = std::cos(c.beta) * v.x + std::sin(c.beta) * v.y,
               y = std::cos(c.beta) * v.y - std::sin(c.beta) * v.x;
  return {std::cos(c.alpha) * x - std::sin(c.alpha) * v.z, y,
          std::sin(c.alpha) * x + std::cos(c.alpha) * v.z};
}

// Loads of a craft that is itself turned in a stream along x, in a set-up of its own; its wake turns with it.
// The lattice is displaced, so nothing in it knows which way the x axis points.
Components turned_rigidly(const vlm::Craft& craft, vlm::LatticeOptions options,
                          const vlm::Condition& condition) {
  options.displaced = true;
  vlm::Lattice lattice = vlm::make_lattice(craft, options);
  const auto turn = [&](vlm::Vec3& v) { v = into_stream(v, condition); };
  for (std::size_t i = 0; i < lattice.node_x.size(); ++i) {
    vlm::Vec3 p{lattice.node_x[i], lattice.node_y[i], lattice.node_z[i]};
    turn(p);
    lattice.node_x[i] = p.x, lattice.node_y[i] = p.y, lattice.node_z[i] = p.z;
  }
  for (auto* points : {&lattice.control, &lattice.normal, &lattice.force_point})
    for (vlm::Vec3& p : *points)
      turn(p);
  for (vlm::Strip& strip : lattice.strips)
    for (vlm::Vec3* p : {&strip.direction, &strip.leading_edge, &strip.wake_point})
      turn(*p);
  for (vlm::Row& row : lattice.rows)
    for (vlm::Vec3& p : row.sheet_point)
      turn(p);
  const vlm::FlowSystem system(lattice, into_stream({1, 0, 0}, condition), pool());
  vlm::Motion motion;
  const std::vector<vlm::Cause> cause{vlm::cause_of(motion)};
  const vlm::SurfaceForms forms =
      vlm::total(vlm::load_forms(system.influence(), cause, system.solve(cause), craft.surfaces.size(),
                                 craft.water.density, into_stream(craft.moment_point, condition), pool()));
  const vlm::Vec3 force{forms.force[0](0, 0), forms.force[1](0, 0), forms.force[2](0, 0)};
  const vlm::Vec3 moment{forms.moment[0](0, 0), forms.moment[1](0, 0), forms.moment[2](0, 0)};
  return components(craft, out_of_stream(force, condition), out_of_stream(moment, condition), condition);
}

// Loads solved directly with the whole motion as one cause.
Components moved(const vlm::Craft& craft, vlm::LatticeOptions options, const vlm::Condition& condition) {
  options.displaced = true;
  const vlm::FlowSystem system(vlm::make_lattice(craft, options), {1, 0, 0}, pool());
  const vlm::Reference size = vlm::reference(craft);
  vlm::Motion motion;
  motion.alpha = condition.alpha, motion.beta = condition.beta;
  motion.rates = {2 * condition.rates.x / size.span, 2 * condition.rates.y / size.chord,
                  2 * condition.rates.z / size.span};
  motion.moment_point = craft.moment_point;
  const std::vector<vlm::Cause> cause{vlm::cause_of(motion)};
  const vlm::SurfaceForms forms =
      vlm::total(vlm::load_forms(system.influence(), cause, system.solve(cause), craft.surfaces.size(),
                                 craft.water.density, craft.moment_point, pool()));
  return components(craft, {forms.force[0](0, 0), forms.force[1](0, 0), forms.force[2](0, 0)},
                    {forms.moment[0](0, 0), forms.moment[1](0, 0), forms.moment[2](0, 0)}, condition);
}

vlm::Craft demo() {
  vlm::Craft craft = vlm::read_case(std::string(VLM_CASES_DIR) + "/lake-rescue/heron-880.toml").craft;
  craft.surfaces.erase(std::remove_if(craft.surfaces.begin(), craft.surfaces.end(),
                                      [](const vlm::Surface& s) { return s.pierces; }),
                       craft.surfaces.end());
  craft.fuselage.reset(); // of which the sources know the x axis
  craft.still_surface = {};
  craft.moment_point = {0.05, 0.02, 0.3};
  return craft;
}

TEST(Derivatives, AreThoseOfCraftsTurnedAndMovedInTheStream) {
  const vlm::Craft craft = demo();
  vlm::LatticeOptions options = counts({{12, 4}, {8, 4}});
  options.displaced = true;
  const vlm::Condition at{0.04, 0.03, {0.01, 0.002, -0.02}};
  const vlm::Condition still{0.04, 0.03};
  const auto moving = derivatives_of(craft, options, at), straight = derivatives_of(craft, options, still);
  const double step = 1e-4;
  for (std::size_t variable = 0; variable < 5; ++variable) {
    const auto shifted = [&](vlm::Condition c, double change) {
      (variable == 0   ? c.alpha
       : variable == 1 ? c.beta
       : variable == 2 ? c.rates.x
       : variable == 3 ? c.rates.y
                       : c.rates.z) += change;
      return c;
    };
    const bool angle = variable < 2;
    const auto loads = [&](double change) {
      return angle ? turned_rigidly(craft, options, shifted(still, change))
                   : moved(craft, options, shifted(at, change));
    };
    const Components above = loads(step), below = loads(-step);
    for (std::size_t i = 0; i < 6; ++i) {
      const vlm::Derivative& d = (angle ? straight : moving)[6 * variable + i];
      EXPECT_NEAR(d.value, (above[i] - below[i]) / (2 * step), 1e-5 * (1 + std::abs(d.value))) << d.name;
    }
  }
}

TEST(Derivatives, LoadsOfAMotionAreThoseOfADirectSolve) {
  const vlm::Craft craft = demo();
  vlm::LatticeOptions options = counts({{12, 4}, {8, 4}});
  options.displaced = true;
  const vlm::Responses r = vlm::make_responses(craft, options, 0, {}, pool(), vlm::Motions::all);
  for (const vlm::Condition& c : {vlm::Condition{0.05, 0.1, {}}, {0.02, -0.07, {0.03, 0.01, -0.05}}}) {
    const vlm::PolarPoint p = vlm::polar_point(r, c);
    const Components direct = moved(craft, options, c);
    EXPECT_NEAR(p.lift_coefficient, direct[0], 1e-10);
    EXPECT_NEAR(p.side_force_coefficient, direct[2], 1e-10);
    EXPECT_NEAR(p.rolling_moment_coefficient, direct[3], 1e-10);
    EXPECT_NEAR(p.pitching_moment_coefficient, direct[4], 1e-10);
    EXPECT_NEAR(p.yawing_moment_coefficient, direct[5], 1e-10);
  }
}

// The whole craft, fuselage, mast and bank included, at one depth, bank and wake: still exact.
TEST(Derivatives, LoadsOfTheWholeCraftAreThoseOfADirectSolve) {
  vlm::Case heron = vlm::read_case(std::string(VLM_CASES_DIR) + "/lake-rescue/heron-880.toml");
  heron.craft.still_surface.bank = 0.1;
  heron.lattice.counts = {{12, 4}, {8, 4}, {6, 4}};
  const double wake = 0.05;
  const vlm::Responses r =
      vlm::make_responses(heron.craft, heron.lattice, wake, {}, pool(), vlm::Motions::all);
  const vlm::Condition c{0.07, -0.05, {0.02, 0.004, -0.03}};
  const vlm::PolarPoint p = vlm::polar_point(r, c);
  vlm::Motion motion;
  motion.alpha = c.alpha, motion.beta = c.beta;
  motion.rates = {2 * c.rates.x / r.reference.span, 2 * c.rates.y / r.reference.chord,
                  2 * c.rates.z / r.reference.span};
  const std::vector<vlm::Cause> cause{vlm::cause_of(motion)};
  const auto parts = vlm::load_forms(r.system.influence(), cause, r.system.solve(cause), 3,
                                     heron.craft.water.density, heron.craft.moment_point, pool());
  const vlm::SurfaceForms forms = vlm::total(parts);
  const Components direct =
      components(heron.craft, {forms.force[0](0, 0), forms.force[1](0, 0), forms.force[2](0, 0)},
                 {forms.moment[0](0, 0), forms.moment[1](0, 0), forms.moment[2](0, 0)}, c);
  EXPECT_NEAR(p.lift_coefficient, direct[0], 1e-10);
  EXPECT_NEAR(p.side_force_coefficient, direct[2], 1e-10);
  EXPECT_NEAR(p.rolling_moment_coefficient, direct[3], 1e-10);
  EXPECT_NEAR(p.pitching_moment_coefficient, direct[4], 1e-10);
  EXPECT_NEAR(p.yawing_moment_coefficient, direct[5], 1e-10);
  EXPECT_GT(std::abs(parts[3].force[1](0, 0)), 0); // the fuselage bears side force
  EXPECT_FALSE(r.system.split_by_symmetry());
}

TEST(Derivatives, PartsAddUp) {
  for (const vlm::Derivative& d : derivatives_of(demo(), counts({{12, 4}, {8, 4}}), {0.05, 0.02})) {
    double sum = 0;
    for (const double part : d.parts)
      sum += part;
    EXPECT_NEAR(sum, d.value, 1e-10 * (1 + std::abs(d.value))) << d.name;
  }
}

TEST(Derivatives, MirroredMotionGivesMirroredLoads) {
  vlm::Craft craft = demo();
  craft.moment_point.y = 0;
  const vlm::Responses r =
      vlm::make_responses(craft, counts({{12, 4}, {8, 4}}), 0, {}, pool(), vlm::Motions::all);
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
