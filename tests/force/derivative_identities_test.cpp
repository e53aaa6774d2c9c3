// Conditions and derivatives by what must hold for every craft: a fresh solve of the motion, the craft turned
// rigidly in a stream that stays, the mirror; and the signs and sizes of fin and dihedral.

#include <gtest/gtest.h>

#include <filesystem>

#include <vlm/base/error.hpp>
#include <vlm/file/case.hpp>
#include <vlm/force/derivatives.hpp>

#include "../support/turned.hpp"
#include "../support/wings.hpp"

namespace {

using namespace wings;
using vlm::Vec3;

struct Model {
  std::string name;
  vlm::Craft craft;
  vlm::LatticeOptions lattice;
};

// A swept, drooping, twisted wing, a stabilizer and a fin: every derivative is there.
Model finned_craft() {
  vlm::Surface front = tapered(6, 0.5, 0.2, "front"), rear = rectangle(4, "rear");
  for (vlm::Station& station : front.stations) {
    station.z = -0.1 * std::abs(station.y);
    station.twist = -0.01 * std::abs(station.y);
    station.section.mean_line = vlm::ParabolicMeanLine{0.02, 0.5};
  }
  for (vlm::Station& station : rear.stations)
    station.y *= 0.4, station.chord *= 0.4;
  rear.position = {4, 0, 0.3};
  rear.incidence = -0.03;
  vlm::Surface fin =
      from_stations("fin", {{0, 0.5, 0, 0.6, 0, flat_section()}, {0, 1.7, 0.2, 0.4, 0, flat_section()}});
  fin.position = {2, 0, 0};
  vlm::Craft craft = craft_of({front, rear, fin});
  craft.moment_point = {0.4, 0, 0.6};
  return {"finned craft", craft, counts({{10, 3}, {8, 3}, {5, 3}})};
}

// The finned craft, one whose roots are carried through its body, and every case file there is, coarsely cut:
// what is tested is exact on any lattice. Those below the still surface also banked by 10 degrees.
std::vector<Model> models() {
  std::vector<Model> all{finned_craft(), {"carried roots", craft_with_carried_roots(), counts_with_all()}};
  for (const char* folder : {VLM_CASES_DIR, VLM_TESTS_DIR "/apps"})
    for (const auto& file : std::filesystem::recursive_directory_iterator(folder)) {
      if (file.path().extension() != ".toml")
        continue;
      vlm::Case c = vlm::read_case(file.path());
      for (vlm::PanelCounts& n : c.lattice.counts)
        n = {std::min(n.strips, 12), std::min(n.panels_per_strip, 4)};
      c.lattice.body = {24, 8};
      all.push_back({file.path().filename(), c.craft, c.lattice});
      if (c.craft.still_surface.boundary == vlm::Boundary::free) {
        Model banked = all.back();
        banked.name += ", banked";
        banked.craft.still_surface.bank = std::numbers::pi / 18;
        all.push_back(banked);
      }
    }
  return all;
}

vlm::Condition general_condition() {
  return {0.06, 0.05, {0.04, 0.01, -0.03}};
}

// Lift, drag, side force; rolling, pitching, yawing moment.
using Six = std::array<double, 6>;
constexpr std::array component_names{
    "lift", "drag", "side force", "rolling moment", "pitching moment", "yawing moment"};

Six six(const vlm::PolarPoint& p) {
  double drag = 0;
  for (const vlm::PartLoads& part : p.parts)
    drag += part.near_drag;
  return {p.lift_coefficient,
          drag,
          p.side_force_coefficient,
          p.rolling_moment_coefficient,
          p.pitching_moment_coefficient,
          p.yawing_moment_coefficient};
}

constexpr double wake_angle = 0.05;

vlm::Responses all_motions(const Model& s, double wake = wake_angle) {
  return vlm::make_responses(s.craft, s.lattice, wake, {}, pool(), vlm::Motions::all);
}

double value_named(const std::vector<vlm::Derivative>& derivatives, const std::string& name) {
  for (const vlm::Derivative& d : derivatives)
    if (d.name == name)
      return d.value;
  ADD_FAILURE() << "no " << name;
  return 0;
}

double derivative_of(const Model& s, double alpha, const std::string& name) {
  return value_named(vlm::derivatives(all_motions(s, alpha), {alpha, 0, {}}), name);
}

vlm::Motion motion_of(const vlm::Responses& r, const vlm::Condition& at) {
  const vlm::Reference& size = r.reference; // V = 1 m/s
  return {1,
          at.alpha,
          at.beta,
          {2 * at.rates.x / size.span, 2 * at.rates.y / size.chord, 2 * at.rates.z / size.span},
          r.moment_point};
}

TEST(Condition, SuperpositionEqualsADirectSolveOfTheMotion) {
  for (const Model& s : models()) {
    const vlm::Responses r = all_motions(s);
    const std::array cause{vlm::cause_of(motion_of(r, general_condition()))};
    const vlm::Matrix direct = r.system.solve(cause);
    const vlm::SurfaceForms whole =
        vlm::total(vlm::load_forms(r.system.influence(), cause, direct, s.craft.surfaces.size(),
                                   s.craft.water.density, s.craft.moment_point, pool()));
    const std::vector<double> a = vlm::amplitudes(r, general_condition());
    for (std::size_t axis = 0; axis < 3; ++axis) {
      EXPECT_NEAR(vlm::value(r.craft.force[axis], a), whole.force[axis](0, 0), 1e-10 * r.pressure_area)
          << s.name;
      EXPECT_NEAR(vlm::value(r.craft.moment[axis], a), whole.moment[axis](0, 0),
                  1e-10 * r.pressure_area * r.reference.span)
          << s.name;
    }
    EXPECT_NEAR(vlm::value(r.craft.far_drag, a), whole.far_drag(0, 0), 1e-10 * r.pressure_area) << s.name;
  }
}

TEST(Condition, ResponsesInPlaneKnowNoSideslip) {
  const Model s = finned_craft();
  const vlm::Responses r = vlm::make_responses(s.craft, s.lattice, 0, {}, pool());
  EXPECT_THROW(vlm::polar_point(r, {0.05, 0.01, {}}), vlm::Error);
  EXPECT_THROW(vlm::polar_point(r, {0.05, 0, {0, 0, 0.01}}), vlm::Error);
  EXPECT_THROW(vlm::derivatives(r, {0.05, 0, {}}), vlm::Error);
  EXPECT_THROW(vlm::amplitude_slopes(r, {0.05, 0, {}}, vlm::Variable::beta), vlm::Error);
  EXPECT_NEAR(vlm::polar_point(r, {0.05, 0, {}}).lift_coefficient,
              vlm::polar_point(all_motions(s, 0), {0.05, 0, {}}).lift_coefficient, 1e-12);
}

// On its true shape a lattice is a rigid body. The moment point lies where no symmetry helps.
std::vector<Model> rigid_models() {
  std::vector<Model> rigid = models();
  for (Model& s : rigid) {
    s.lattice.displaced = true;
    s.craft.moment_point += {0.05, 0.02, 0.3};
  }
  return rigid;
}

// Rates [rad/s] at V = 1 m/s.
Vec3 turning_rates(const vlm::Craft& craft, const Vec3& normalised) {
  const vlm::Reference size = vlm::reference(craft);
  return {2 * normalised.x / size.span, 2 * normalised.y / size.chord, 2 * normalised.z / size.span};
}

// A craft that hangs in a tunnel: turned node by node, factorised and solved for itself. Its wake and the
// still surface are turned with it, as derivatives hold them.
class InTunnel {
public:
  InTunnel(const vlm::Craft& craft, const vlm::Lattice& lattice, double alpha, double beta)
      : craft_(craft), attitude_(turned::attitude({alpha, beta, {}}, craft.moment_point)),
        system_(turned::turned(lattice, attitude_), attitude_.direction(vlm::wake_along_stream(wake_angle)),
                pool()) {}

  // Lift, drag and side force along the tunnel's axes, moments about the craft's, at normalised rates.
  Six loads(const Vec3& rates) const {
    const std::array cause{turned::cause_of(attitude_, turning_rates(craft_, rates))};
    const vlm::SurfaceForms f =
        vlm::total(vlm::load_forms(system_.influence(), cause, system_.solve(cause), craft_.surfaces.size(),
                                   craft_.water.density, craft_.moment_point, pool()));
    const Vec3 m = attitude_.direction_back({f.moment[0](0, 0), f.moment[1](0, 0), f.moment[2](0, 0)});
    const vlm::Reference size = vlm::reference(craft_);
    const double scale = 0.5 * craft_.water.density * size.area;
    return {f.force[2](0, 0) / scale,   f.force[0](0, 0) / scale,   f.force[1](0, 0) / scale,
            -m.x / (scale * size.span), m.y / (scale * size.chord), -m.z / (scale * size.span)};
  }

private:
  const vlm::Craft& craft_;
  turned::Turn attitude_;
  vlm::FlowSystem system_;
};

TEST(Condition, WaterMeetsEveryPointAsItDoesACraftOnItsPath) {
  for (const Model& s : rigid_models()) {
    const vlm::Condition at = general_condition();
    const Vec3 rates = turning_rates(s.craft, at.rates);
    const vlm::Cause cause = vlm::cause_of({1, at.alpha, at.beta, rates, s.craft.moment_point});
    const turned::Turn attitude = turned::attitude(at, s.craft.moment_point);
    const vlm::Cause in_tunnel = turned::cause_of(attitude, rates);
    for (const Vec3& p : vlm::make_lattice(s.craft, s.lattice, wake_angle).control) {
      const Vec3 water = Vec3{1, 0, 0} - turned::velocity_of(p, attitude, rates);
      EXPECT_LT(norm(attitude.direction(vlm::onset(cause, p)) - water), 1e-10) << s.name;
      EXPECT_LT(norm(vlm::onset(in_tunnel, attitude.point(p)) - water), 1e-10) << s.name;
    }
  }
}

TEST(Condition, IsTheCraftTurnedRigidlyInATunnel) {
  for (const Model& s : rigid_models()) {
    const vlm::Condition at = general_condition();
    const Six swept = six(vlm::polar_point(all_motions(s), at)),
              in_tunnel =
                  InTunnel(s.craft, vlm::make_lattice(s.craft, s.lattice, wake_angle), at.alpha, at.beta)
                      .loads(at.rates);
    for (std::size_t i = 0; i < 6; ++i)
      EXPECT_NEAR(swept[i], in_tunnel[i], 1e-10 * (1 + std::abs(swept[i])))
          << s.name << ": " << component_names[i];
  }
}

TEST(Derivatives, OfEveryCaseAreThoseOfTheCraftTurnedRigidlyInATunnel) {
  // By central differences of crafts set up anew, each component to second order in the step.
  const double h = 1e-4;
  const vlm::Condition at = general_condition();
  const std::vector<Model> rigid = rigid_models();
  ASSERT_TRUE(std::any_of(rigid.begin(), rigid.end(), [](const Model& s) {
    return s.craft.fuselage && s.craft.still_surface.bank != 0 &&
           std::any_of(s.craft.surfaces.begin(), s.craft.surfaces.end(),
                       [](const vlm::Surface& surface) { return surface.pierces; });
  })) << "a whole craft, banked";
  for (const Model& s : rigid) {
    const auto derivatives = vlm::derivatives(all_motions(s), at);
    ASSERT_EQ(derivatives.size(), 30U);
    const auto compare = [&](const std::string& variable, const Six& up, const Six& down) {
      for (std::size_t i = 0; i < 6; ++i) {
        const double difference = (up[i] - down[i]) / (2 * h);
        EXPECT_NEAR(value_named(derivatives, std::string(component_names[i]) + " due to " + variable),
                    difference, 2e-8 * (1 + std::abs(difference)))
            << s.name << ": " << component_names[i] << " due to " << variable;
      }
    };
    const vlm::Lattice lattice = vlm::make_lattice(s.craft, s.lattice, wake_angle);
    const auto turned_to = [&](double alpha, double beta) {
      return InTunnel(s.craft, lattice, at.alpha + alpha, at.beta + beta).loads(at.rates);
    };
    compare("angle of attack", turned_to(h, 0), turned_to(-h, 0));
    compare("sideslip", turned_to(0, h), turned_to(0, -h));
    const InTunnel turning(s.craft, lattice, at.alpha, at.beta);
    for (const auto& [variable, step] :
         {std::pair{"roll rate", Vec3{h, 0, 0}}, {"pitch rate", Vec3{0, h, 0}}, {"yaw rate", Vec3{0, 0, h}}})
      compare(variable, turning.loads(at.rates + step), turning.loads(at.rates - step));
  }
}

TEST(Derivatives, OfTheMirroredMotionAreMirrored) {
  // Sideslip, roll and yaw change sign, and with them side force, rolling and yawing moment. A derivative
  // changes sign if just one of its two is of that kind; without such motion it vanishes.
  const auto is_lateral = [](const std::string& words) {
    return words.find("side") == 0 || words.find("roll") == 0 || words.find("yaw") == 0;
  };
  for (const Model& s : models()) {
    const vlm::Responses r = all_motions(s);
    if (!r.system.split_by_symmetry())
      continue;
    const vlm::Condition at = general_condition(),
                         mirrored{at.alpha, -at.beta, {-at.rates.x, at.rates.y, -at.rates.z}},
                         straight{at.alpha, 0, {0, at.rates.y, 0}};
    const auto here = vlm::derivatives(r, at), there = vlm::derivatives(r, mirrored),
               none = vlm::derivatives(r, straight);
    for (std::size_t i = 0; i < here.size(); ++i) {
      const std::string& name = here[i].name;
      const bool flips = is_lateral(name) != is_lateral(name.substr(name.find(" due to ") + 8));
      // A wake that passes close to another surface keeps its mirror symmetry to some 1e-6 only.
      const double rounding = 1e-5 * (1 + std::abs(here[i].value));
      EXPECT_NEAR(there[i].value, (flips ? -1 : 1) * here[i].value, rounding) << s.name << ": " << name;
      if (flips) {
        EXPECT_NEAR(none[i].value, 0, 1e-5) << s.name << ": " << name;
      }
    }
  }
}

// Yaw alone leaves a flat wing's normal velocities as they are: no damping, and no driving.
TEST(Derivatives, DampingOpposesEachRate) {
  for (const Model& s : models()) {
    const auto all = vlm::derivatives(all_motions(s), {0.05, 0, {}});
    for (const vlm::Derivative& d : all)
      if (d.group == vlm::DerivativeGroup::damping) {
        EXPECT_TRUE(d.value < 0 || vlm::vanishes(d, all)) << s.name << ": " << d.name << " " << d.value;
      }
  }
}

// A fin behind the moment point is a weathercock: water from starboard pushes it to port, and that turns the
// nose to starboard, into the water. Above the moment point, it rolls the craft to port.
TEST(Derivatives, FinAftTurnsTheNoseIntoTheWater) {
  vlm::Surface fin =
      from_stations("fin", {{0, 0.5, 0, 0.6, 0, flat_section()}, {0, 1.7, 0.2, 0.4, 0, flat_section()}});
  fin.position = {3, 0, 0};
  const Model s{"fin", craft_of({fin}), counts({{8, 3}})};
  EXPECT_LT(derivative_of(s, 0, "side force due to sideslip"), 0);
  EXPECT_GT(derivative_of(s, 0, "yawing moment due to sideslip"), 0);
  EXPECT_LT(derivative_of(s, 0, "rolling moment due to sideslip"), 0);
  EXPECT_GT(derivative_of(s, 0, "side force due to yaw rate"), 0); // the tail swings to port
}

// Dihedral Γ: sideslip β from starboard meets the starboard half βΓ more steeply, the port half as much less.
// Lifting line of an elliptic wing, 2π a section: with Σ A_n sin nθ (1 + n μ) = μ α(θ) sin θ, μ = 2/A, α =
// ±βΓ, the rolling moment is that of A_2 = μ βΓ (8/3π)/(1 + 2μ) alone, and Cl = −πA·A_2/4 =
// −(4/3) Γ β A/(A + 4); strip theory, A → ∞, −(4/3) Γ β. (Derived; Glauert's series, 1926.) The lattice's
// lifting surface lies below the line, as in damping in roll, less and less as A grows.
TEST(Derivatives, DihedralRollsAWingInSideslipAsLiftingLineSays) {
  const double dihedral = 0.02;
  const auto of_line = [&](double aspect_ratio) {
    vlm::Surface wing = ellipse(aspect_ratio, 0.25);
    for (vlm::Station& station : wing.stations)
      station.z = dihedral * std::abs(station.y);
    return derivative_of({"vee", craft_of({wing}), counts({{40, 4}})}, 0, "rolling moment due to sideslip") /
           (-4.0 / 3 * dihedral * aspect_ratio / (aspect_ratio + 4));
  };
  const double short_wing = of_line(10), long_wing = of_line(40);
  EXPECT_LT(short_wing, long_wing);
  EXPECT_NEAR(long_wing, 1, 0.02);
}

TEST(Derivatives, ThatVanishAreToldFromSmallOnes) {
  const vlm::Derivative large{vlm::DerivativeGroup::stiffness, "lift due to sideslip", "per rad", 5, {}},
      small{vlm::DerivativeGroup::coupling, "drag due to sideslip", "per rad", 1e-4, {}},
      rounding{vlm::DerivativeGroup::coupling, "yawing moment due to sideslip", "per rad", 1e-8, {}},
      another{vlm::DerivativeGroup::coupling, "yawing moment due to roll rate", "per rate", 1e-8, {}};
  const std::vector<vlm::Derivative> all{large, small, rounding, another};
  EXPECT_FALSE(vlm::vanishes(large, all) || vlm::vanishes(small, all) || vlm::vanishes(another, all));
  EXPECT_TRUE(vlm::vanishes(rounding, all));
}

} // namespace
