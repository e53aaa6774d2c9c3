// The fuselage's shell against closed forms.

#include <gtest/gtest.h>

#include "../support/wings.hpp"

#include <vlm/flow/system.hpp>
#include <vlm/force/load_forms.hpp>

namespace {

using namespace wings;
using std::numbers::pi;

const std::vector<vlm::Cause> axial_and_vertical{{{1, 0, 0}, {}, {}, {}}, {{0, 0, 1}, {}, {}, {}}};

vlm::SurfaceForms spheroid_forms(double fineness, vlm::BodyCounts body) {
  vlm::LatticeOptions options = counts({{4, 2}});
  options.body = body;
  const vlm::FlowSystem system(vlm::make_lattice(spheroid(fineness), options), {1, 0, 0}, pool());
  const vlm::Matrix circulation = system.solve(axial_and_vertical);
  return vlm::load_forms(system.influence(), axial_and_vertical, circulation, 1, 1, {}, pool()).back();
}

// M. Munk, The Aerodynamic Forces on Airship Hulls, NACA Report 184 (1924): the moment of a spheroid in a
// stream at a small angle is 2 (k2 − k1) q Vol per radian, nose up. k1, k2 of H. Lamb, Hydrodynamics,
// articles 114 and 115 (closed form, derived).
TEST(Munk, MomentOfSpheroids) {
  for (const auto& [fineness, k2_less_k1] : {std::pair{4.0, 0.778203}, {6.0, 0.871941}, {10.0, 0.939529}}) {
    const double volume = pi / 6 / (fineness * fineness), q = 0.5;
    const auto error = [&](vlm::BodyCounts body) {
      const double slope = 2 * spheroid_forms(fineness, body).moment[1](0, 1);
      return slope / (2 * k2_less_k1 * q * volume) - 1;
    };
    const double at_default = error({24, 12}), doubled = error({48, 24});
    EXPECT_NEAR(at_default, 0, 0.015) << "fineness " << fineness;
    EXPECT_LT(std::abs(doubled), std::abs(at_default) / 3) << "fineness " << fineness;
  }
}

TEST(Munk, ALoneClosedBodyHasNeitherLiftNorDrag) {
  const double volume = pi / 6 / 36, q = 0.5;
  const vlm::SurfaceForms forms = spheroid_forms(6, {24, 12});
  for (const vlm::Matrix& force : forms.force)
    for (const double f : force.values)
      EXPECT_NEAR(f, 0, 1e-6 * q * std::cbrt(volume * volume));
  EXPECT_EQ(forms.far_drag(1, 1), 0);
}

} // namespace
