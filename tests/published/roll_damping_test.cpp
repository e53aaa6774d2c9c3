// Damping in roll of flat wings, dCl/d(pb/2V), linear lifting-surface theory (derived, converged to 1e-5;
// ellipses 1e-4). R. S. Swanson & E. L. Priddy, NACA ARR L5F23 (1945): the AR 6 ellipse has 13 % less than
// lifting-line theory, which is −(π/4)·AR/(AR+4); derived 12.8 %.

#include <gtest/gtest.h>

#include "../support/wings.hpp"

#include <vlm/flow/cause.hpp>
#include <vlm/force/load_forms.hpp>

namespace {

using namespace wings;

double roll_damping(const vlm::Surface& wing) {
  const vlm::Craft craft = craft_of({wing});
  const double span = vlm::reference(craft).span, area = vlm::reference(craft).area;
  vlm::Motion still, rolling;
  still.alpha = rolling.alpha = 0;
  rolling.rates = {2 / span, 0, 0}; // pb/2V = 1
  const std::vector<vlm::Cause> causes{vlm::cause_of(rolling)};
  const vlm::FlowSystem system(vlm::make_lattice(craft, counts({{20, 8}})), {1, 0, 0}, pool());
  const auto forms = vlm::load_forms(system.influence(), causes, system.solve(causes), 1, 1, {}, pool());
  return vlm::to_body_axes({forms[0].moment[0](0, 0), 0, 0}).x / (0.5 * area * span);
}

TEST(RollDamping, MeetsLiftingSurfaceTheory) {
  EXPECT_NEAR(roll_damping(rectangle(4)) / -0.335988, 1, 3e-3);
  EXPECT_NEAR(roll_damping(rectangle(6)) / -0.440201, 1, 3e-3);
  EXPECT_NEAR(roll_damping(rectangle(10)) / -0.575220, 1, 3e-3);
  EXPECT_NEAR(roll_damping(ellipse(6, 0.5)) / -0.41095, 1, 3e-3);
  EXPECT_NEAR(roll_damping(ellipse(8, 0.5)) / -0.47439, 1, 3e-3);
}

} // namespace
