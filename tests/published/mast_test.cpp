// Surfaces that pierce the still surface.

#include <gtest/gtest.h>

#include "../support/wings.hpp"

#include <vlm/flow/system.hpp>
#include <vlm/force/load_forms.hpp>

namespace {

using namespace wings;
using std::numbers::pi;

const std::vector<vlm::Cause> axial_and_side{{{1, 0, 0}, {}, {}, {}}, {{0, 1, 0}, {}, {}, {}}};

// Chord 1, from the origin up.
vlm::Surface mast(double length) {
  vlm::Surface s =
      from_stations("mast", {{0, 0, 0, 1, 0, flat_section()}, {0, length, 0, 1, 0, flat_section()}});
  s.pierces = true;
  return s;
}

// Side force per radian at V = 1, ρ = 1 of the wetted part.
double side_force_slope(const vlm::Craft& craft, const vlm::LatticeOptions& options) {
  const vlm::FlowSystem system(vlm::make_lattice(craft, options), {1, 0, 0}, pool());
  const vlm::Matrix circulation = system.solve(axial_and_side);
  return 2 *
         vlm::load_forms(system.influence(), axial_and_side, circulation, 1, 1, {}, pool())[0].force[1](0, 1);
}

vlm::Craft piercing(double length, double depth, vlm::Boundary boundary = vlm::Boundary::free) {
  vlm::Craft craft = craft_of({mast(length)});
  craft.still_surface.depth = depth;
  craft.still_surface.boundary = boundary;
  return craft;
}

// Lateral added mass of a thin vertical plate of draught d that is accelerated sideways at once, the still
// surface staying at constant potential: (2/π) ρ d². Derived: with z = d cos θ and the surface potential
// continued as an odd function, the jump Σ A_n sin nθ has n A_n = (8d/π) n/(n² − 1) for even n, and Σ 2k/(4k²
// − 1)² = 1/4. By slender-body theory a piercing strut of chord c then has the side force (2/π) ρ d² V² β, a
// slope of (4/π) d/c on its own area.
TEST(PiercingMast, SlenderStrutMeetsItsAddedMass) {
  const double draught = 0.02;
  EXPECT_NEAR(side_force_slope(piercing(1, draught), counts({{20, 8}})) / (2 / pi * draught * draught), 1,
              0.01);
}

// With its image a piercing mast is one wing of twice the length whose upper half is turned the other way.
TEST(PiercingMast, IsHalfOfAWingTurnedOppositelyAbove) {
  vlm::LatticeOptions options = counts({{10, 4}});
  options.spacing = vlm::Spacing::uniform;
  const double by_image = side_force_slope(piercing(5, 2), options);

  vlm::Craft doubled = craft_of({mast(4)});
  doubled.surfaces[0].pierces = false;
  doubled.surfaces[0].position = {0, 0, 0};
  options.counts = {{20, 4}};
  const vlm::Lattice lattice = vlm::make_lattice(doubled, options);
  const vlm::FlowSystem system(lattice, {1, 0, 0}, pool());
  std::vector<double> turn;
  for (const vlm::Strip& strip : lattice.strips)
    turn.push_back(strip.arc < 2 ? -1 : 1); // sideslip blows to port on the lifting side: a nose-down turn
  const std::vector<vlm::Cause> causes{axial_and_side[0], {{}, {}, {}, turn}};
  const vlm::Matrix circulation = system.solve(causes);
  double side_force = 0;
  for (std::size_t j = 0; j < lattice.strips.size(); ++j)
    for (std::size_t k = 0; k < 4 && lattice.strips[j].arc < 2; ++k)
      side_force -= circulation(lattice.strips[j].first_panel + k, 1) * lattice.strips[j].width;
  EXPECT_NEAR(by_image, side_force, 1e-9);
}

TEST(PiercingMast, WettedPartFollowsFromTheDepthAndTheRake) {
  vlm::Craft craft = piercing(5, 2);
  craft.surfaces[0].stations[1].leading_edge = 1; // raked aft by 1 in 5
  const double wake_angle = 0.1;
  const vlm::Lattice lattice = vlm::make_lattice(craft, counts({{8, 4}}), wake_angle);
  ASSERT_EQ(lattice.piercings.size(), 1U);
  const vlm::Row& row = lattice.rows[0];
  EXPECT_EQ(row.ends[1], vlm::RowEnd::still_surface);
  // The top nodes lie in the plane z cos α − x sin α = depth.
  for (std::size_t k = 0; k < row.nodes_per_edge(); ++k) {
    const std::size_t i = row.first_node + row.num_strips * row.nodes_per_edge() + k;
    EXPECT_NEAR(lattice.node_z[i] * std::cos(wake_angle) - lattice.node_x[i] * std::sin(wake_angle), 2, 1e-9);
  }
}

TEST(PiercingMast, SideForceFallsWithTheDraughtAndConverges) {
  double shallower = 0;
  for (const double depth : {0.5, 1.0, 2.0, 4.0}) {
    const double coarse = side_force_slope(piercing(5, depth), counts({{20, 8}})),
                 fine = side_force_slope(piercing(5, depth), counts({{40, 12}}));
    EXPECT_NEAR(coarse / fine, 1, 0.01) << depth;
    EXPECT_GT(fine, shallower);
    shallower = fine;
    // A plane of constant pressure bears no load at its edge: less than the same plate deep in the water.
    EXPECT_LT(fine, side_force_slope(piercing(5, depth, vlm::Boundary::none), counts({{40, 12}})));
  }
}

} // namespace
