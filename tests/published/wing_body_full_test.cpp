// Wing and body together, against slender-body theory.

#include <gtest/gtest.h>

#include "../support/wings.hpp"

#include <vlm/flow/system.hpp>
#include <vlm/force/load_forms.hpp>

namespace {

using namespace wings;

const std::vector<vlm::Cause> axial_and_vertical{{{1, 0, 0}, {}, {}, {}}, {{0, 0, 1}, {}, {}, {}}};

// A delta wing of exposed aspect ratio 0.5 on a long cylinder.
struct WingBody {
  double radius; // over the semispan, which is 1
  double exposed = 1 - radius;
  double chord = 8 * exposed;      // aspect ratio of the exposed halves joined: 4·exposed/chord
  double cut = chord + 8 * radius; // lift of the body is counted to here, 8 radii behind the wing

  static vlm::Surface delta(double half, double gap, double chord) {
    const double tip = 1e-3 * chord;
    std::vector<vlm::Station> stations{{-half, 0, chord - tip, tip, 0, flat_section()},
                                       {-gap, 0, 0, chord, 0, flat_section()},
                                       {gap, 0, 0, chord, 0, flat_section()},
                                       {half, 0, chord - tip, tip, 0, flat_section()}};
    if (gap == 0)
      stations.erase(stations.begin() + 1);
    return from_stations("wing", stations);
  }
  vlm::Craft alone() const { return craft_of({delta(exposed, 0, chord)}); }
  vlm::Craft together() const {
    vlm::Craft craft = craft_of({delta(1, radius, chord)});
    craft.fuselage = body();
    return craft;
  }
  vlm::Craft body_alone() const {
    vlm::Craft craft = craft_of({delta(1e-3, 0, 1e-3)});
    craft.surfaces[0].position = {0, 0, 1000};
    craft.fuselage = body();
    return craft;
  }
  vlm::Fuselage body() const {
    vlm::FuselageSize size;
    size.nose = -18 * radius;
    size.length = 18 * radius + chord + 24 * radius;
    size.width = size.height = 2 * radius;
    size.nose_length = 6 * radius;
    size.tail_length = 4 * radius;
    return vlm::shaped_fuselage(vlm::CutShape::elliptical, size);
  }

  // Lift per radian at V = 1, ρ = 1 of the wing and of the body up to the cut.
  std::pair<double, double> lift(const vlm::Craft& craft, bool by_incidence) const {
    vlm::LatticeOptions options = counts({{16, 12}});
    options.body = {96, 48};
    const vlm::Lattice lattice = vlm::make_lattice(craft, options);
    const vlm::FlowSystem system(lattice, {1, 0, 0}, pool());
    const std::vector<vlm::Cause> causes{
        axial_and_vertical[0], by_incidence
                                   ? vlm::Cause{{}, {}, {}, std::vector<double>(lattice.strips.size(), 1.0)}
                                   : axial_and_vertical[1]};
    const vlm::Matrix circulation = system.solve(causes);
    const auto forms = vlm::load_forms(system.influence(), causes, circulation, 1, 1, {}, pool());
    double on_body = 0;
    const vlm::Row& shell = lattice.rows.back();
    for (std::size_t p = 0; p < shell.num_panels() && shell.shell; ++p) {
      const std::size_t a =
          shell.first_node + p / shell.panels_per_strip * shell.nodes_per_edge() + p % shell.panels_per_strip;
      if (lattice.node_x[a] < cut)
        on_body += circulation(shell.first_panel + p, 1) *
                   (lattice.node_y[a + shell.nodes_per_edge()] - lattice.node_y[a]);
    }
    return {2 * forms[0].force[2](0, 1), on_body};
  }
};

// W. Pitts, J. Nielsen & G. Kaattari, Lift and Center of Pressure of Wing-Body-Tail Combinations at Subsonic,
// Transonic, and Supersonic Speeds, NACA Report 1307 (1957), slender-body theory; formulae from memory,
// values derived. All factors are over the lift of the exposed halves joined, at the same angle. K: angle of
// attack of the whole, the lift of the body alone taken off; k: incidence of the wing on the body.
TEST(NacaReport1307, DeltaWingOnACylinder) {
  struct Factors {
    double radius, wing, body, wing_incidence, body_incidence;
  };
  for (const Factors& f : {Factors{0.1, 1.076973, 0.133027, 0.962750, 0.114223},
                           {0.2, 1.161639, 0.278361, 0.943873, 0.217765},
                           {0.3, 1.252764, 0.437236, 0.935835, 0.316928},
                           {0.4, 1.349279, 0.610721, 0.935165, 0.414114}}) {
    const WingBody wing_body{f.radius};
    const double alone = wing_body.lift(wing_body.alone(), false).first;
    const auto [wing, body] = wing_body.lift(wing_body.together(), false);
    const double carried = body - wing_body.lift(wing_body.body_alone(), false).second;
    const auto [turned, carried_turned] = wing_body.lift(wing_body.together(), true);
    EXPECT_NEAR(wing / alone / f.wing, 1, 0.01) << f.radius;
    EXPECT_NEAR(carried / alone / f.body, 1, 0.025) << f.radius;
    EXPECT_NEAR((wing + carried) / alone / std::pow(1 + f.radius, 2), 1, 0.01) << f.radius;
    EXPECT_NEAR(turned / alone / f.wing_incidence, 1, 0.02) << f.radius;
    EXPECT_NEAR(carried_turned / alone / f.body_incidence, 1, 0.03) << f.radius;
  }
}

} // namespace
