#include <gtest/gtest.h>

#include <array>

#include <vlm/flow/system.hpp>
#include <vlm/force/load_forms.hpp>
#include <vlm/force/span_loading.hpp>

#include "../support/wings.hpp"

namespace {

using namespace wings;
using vlm::Vec3;

TEST(LoadForms, AreExactSuperpositions) {
  // Forms of separate causes at their amplitudes, against one cause that is their sum, solved for itself.
  const vlm::Craft craft = craft_of({tapered(5, 0.5, 0.3)});
  const vlm::FlowSystem system(vlm::make_lattice(craft, counts({{12, 4}})), {1, 0, 0}, pool());
  const std::vector<vlm::Cause> causes{{{1, 0, 0}, {}, {}, {}},
                                       {{0, 1, 0}, {}, {}, {}},
                                       {{0, 0, 1}, {}, {}, {}},
                                       {{}, {1, 0, 0}, {}, {}},
                                       {{}, {0, 1, 0}, {}, {}}};
  const std::array a{0.98, 0.05, 0.11, 0.07, -0.04};
  const vlm::SurfaceForms forms =
      vlm::load_forms(system.influence(), causes, system.solve(causes), 1, 998, {0.2, 0.1, 0}, pool())[0];
  const std::vector<vlm::Cause> sum{{{a[0], a[1], a[2]}, {a[3], a[4], 0}, {}, {}}};
  const vlm::SurfaceForms whole =
      vlm::load_forms(system.influence(), sum, system.solve(sum), 1, 998, {0.2, 0.1, 0}, pool())[0];
  const double scale = whole.force[2](0, 0);
  for (std::size_t axis = 0; axis < 3; ++axis) {
    EXPECT_NEAR(vlm::value(forms.force[axis], a), whole.force[axis](0, 0), 1e-10 * scale);
    EXPECT_NEAR(vlm::value(forms.moment[axis], a), whole.moment[axis](0, 0), 1e-10 * scale);
  }
  EXPECT_NEAR(vlm::value(forms.far_drag, a), whole.far_drag(0, 0), 1e-10 * scale);
}

TEST(LoadForms, AreTheSameBitsForAnyNumberOfThreads) {
  const vlm::Craft craft = craft_with_all();
  const vlm::FlowSystem system(vlm::make_lattice(craft, counts_with_all()), {1, 0, 0}, pool());
  const std::vector<vlm::Cause> causes{{{1, 0, 0.1}, {}, {}, {}}, {{0, 1, 0}, {}, {}, {}}};
  const vlm::Matrix circulation = system.solve(causes);
  const auto forms = [&](int threads) {
    vlm::ThreadPool own(threads);
    return vlm::load_forms(system.influence(), causes, circulation, craft.surfaces.size(), 998, {0.2, 0.1, 0},
                           own);
  };
  const std::vector<vlm::SurfaceForms> one = forms(1);
  for (const int threads : {2, 5}) {
    const std::vector<vlm::SurfaceForms> several = forms(threads);
    ASSERT_EQ(several.size(), one.size());
    for (std::size_t i = 0; i < one.size(); ++i) {
      EXPECT_EQ(several[i].far_drag.values, one[i].far_drag.values);
      for (std::size_t axis = 0; axis < 3; ++axis) {
        EXPECT_EQ(several[i].force[axis].values, one[i].force[axis].values);
        EXPECT_EQ(several[i].moment[axis].values, one[i].moment[axis].values);
      }
    }
  }
}

TEST(LoadForms, DerivativeIsTheSlopeOfTheValue) {
  vlm::Matrix form(2, 2);
  form(0, 0) = 1, form(0, 1) = form(1, 0) = 2, form(1, 1) = -3;
  const std::array a{0.3, 0.7}, b{1.0, -2.0};
  const double h = 1e-6;
  const std::array up{a[0] + h * b[0], a[1] + h * b[1]}, down{a[0] - h * b[0], a[1] - h * b[1]};
  EXPECT_NEAR(vlm::derivative(form, a, b), (vlm::value(form, up) - vlm::value(form, down)) / (2 * h), 1e-9);
}

// Kutta & Joukowski: a flat wing's lift is ρ V Σ Γ Δs cos-for-cos with the near field, to second order in the
// angle.
TEST(SpanLoading, SumsToTheLift) {
  const vlm::Craft craft = craft_of({rectangle(6)});
  const vlm::Responses r = vlm::make_responses(craft, counts({{20, 8}}), 0, {}, pool());
  const double alpha = 0.01, speed = 6;
  std::vector<double> circulation;
  for (std::size_t j = 0; j < 20; ++j)
    circulation.push_back(
        speed * (r.strip_circulation(j, 0) * std::cos(alpha) + r.strip_circulation(j, 1) * std::sin(alpha)));
  const vlm::SpanLoading loading =
      vlm::span_loading(r.system.lattice(), circulation, speed, craft.water.density);
  double lift = 0;
  for (std::size_t j = 0; j < 20; ++j) {
    lift += loading.lift_per_metre[j] * r.system.lattice().strips[j].width;
    EXPECT_NEAR(loading.lift_coefficient[j] * 0.5 * craft.water.density * speed * speed,
                loading.lift_per_metre[j], 1e-9);
  }
  const double near =
      vlm::at_turns(r.craft.force[2], {}).value(std::cos(alpha), std::sin(alpha)) * speed * speed;
  EXPECT_NEAR(lift / near, 1, 2 * alpha * alpha);
}

// A flat wing in sideslip: the water crosses its chordwise vortices, which lift one half and press the other.
// With the legs left out the rolling moment is exactly zero. Sign: sideslip from starboard raises the
// starboard half, rolling to port. The strip's leg strength per metre is −dΓ/dy, its length about half a
// chord behind the load's centre; by hand, for an elliptic load of mean leg length ℓ, L' = −ρ V β ∫ y Γ' ℓ dy
// = ρ V β ℓ ∫ Γ dy. The lattice has ℓ from its own legs.
TEST(LoadForms, SideslipRollsAFlatWingByItsChordwiseVortices) {
  const vlm::Craft craft = craft_of({rectangle(6)});
  vlm::Motion motion;
  motion.alpha = 0.09;
  motion.beta = 0.02;
  const std::vector<vlm::Cause> cause{vlm::cause_of(motion)};
  const vlm::FlowSystem system(vlm::make_lattice(craft, counts({{20, 8}})), {1, 0, 0}, pool());
  const vlm::Matrix circulation = system.solve(cause);
  const vlm::SurfaceForms forms =
      vlm::load_forms(system.influence(), cause, circulation, 1, 1, {}, pool())[0];
  // Σ over panels of Γ times the distance from its vortex to the trailing edge times width.
  double by_hand = 0;
  const vlm::Lattice& lattice = system.lattice();
  for (const vlm::Strip& strip : lattice.strips)
    for (std::size_t p = strip.first_panel; p < strip.first_panel + 8; ++p)
      by_hand += circulation(p, 0) * (1 - lattice.force_point[p].x) * strip.width;
  by_hand *= std::sin(motion.beta);
  const double roll = vlm::to_body_axes({forms.moment[0](0, 0), 0, 0}).x;
  EXPECT_LT(roll, 0);
  EXPECT_NEAR(roll / -by_hand, 1, 0.15); // the induced sidewash changes it by a tenth
}

} // namespace
