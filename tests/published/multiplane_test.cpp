// Induced drag of several wings together.

#include <gtest/gtest.h>

#include "../support/wings.hpp"

#include <vlm/force/load_forms.hpp>

namespace {

using namespace wings;

// Two lines of span 2, elliptic circulations of Γ0 = 1, the second set off by `stagger` aft and `gap` up.
vlm::SurfaceForms pair_forms(double gap, double stagger, int strips, double second = 1) {
  vlm::Surface front = rectangle(2, "front"), rear = rectangle(2, "rear");
  for (vlm::Surface* s : {&front, &rear})
    for (vlm::Station& station : s->stations)
      station.chord = 0.05;
  rear.position = {stagger, 0, gap};
  const vlm::Craft craft = craft_of({front, rear});
  const vlm::Lattice lattice = vlm::make_lattice(craft, counts({{strips, 2}, {strips, 2}}));
  vlm::Matrix circulation(lattice.num_panels(), 1);
  for (const vlm::Strip& strip : lattice.strips)
    circulation(strip.first_panel, 0) =
        std::sqrt(1 - strip.leading_edge.y * strip.leading_edge.y) * (strip.surface == 0 ? 1 : second);
  const std::vector<vlm::Cause> cause{{{1, 0, 0}, {}, {}, {}}};
  const vlm::Influence influence(lattice, {1, 0, 0});
  return vlm::total(vlm::load_forms(influence, cause, circulation, 2, 1, {}, pool()));
}

// L. Prandtl, Induced drag of multiplanes, NACA TN 182 (1924): the mutual drag of two elliptic loadings of
// equal span b a gap h apart is σ(h/b) of the drag that one has alone, for each. σ by the closed integral
// (derived): σ = (2/π)∫√(1−y²) Re[1 − z/√(z²−1)] dy over [−1, 1], z = y + 2i h/b.
TEST(PrandtlBiplane, MutualDragMeetsSigma) {
  const double alone = pair_forms(0.5, 0, 40, 0).far_drag(0, 0);
  for (const auto& [gap_over_span, sigma] : {std::pair{0.05, 0.78451921},
                                             {0.1, 0.65646873},
                                             {0.2, 0.48420307},
                                             {0.3, 0.37054769},
                                             {0.5, 0.23221078},
                                             {1.0, 0.09350608}}) {
    const double both = pair_forms(2 * gap_over_span, 0, 40).far_drag(0, 0);
    EXPECT_NEAR(both / (2 * alone) - 1, sigma, 0.01 * sigma) << "h/b = " << gap_over_span;
  }
}

// Drag of an elliptic loading alone: π ρ Γ0²/8 (H. Glauert 1926, chapter XI).
TEST(PrandtlBiplane, OneEllipticLoadingHasGlauertsDrag) {
  EXPECT_NEAR(pair_forms(0.5, 0, 80, 0).far_drag(0, 0) / (std::numbers::pi / 8), 1, 1e-3);
}

// M. M. Munk, The minimum induced drag of aerofoils, NACA Report 121 (1921): moving a surface along the
// stream changes who bears the drag, not its sum, for given circulations.
TEST(MunkStagger, FarFieldDragDoesNotChange) {
  const double unstaggered = pair_forms(0.2, 0, 20).far_drag(0, 0);
  for (const double stagger : {-3.0, -0.5, 0.5, 1.0, 5.0})
    EXPECT_NEAR(pair_forms(0.2, stagger, 20).far_drag(0, 0) / unstaggered, 1, 1e-10);
}

TEST(MunkStagger, NearFieldDragDoesNotChange) {
  for (const double gap : {0.2, 0.5}) {
    const double unstaggered = pair_forms(gap, 0, 20).force[0](0, 0);
    for (const double stagger : {-3.0, -1.0, -0.3, 0.3, 1.0, 3.0, 8.0})
      EXPECT_NEAR(pair_forms(gap, stagger, 20).force[0](0, 0) / unstaggered, 1, 5e-3)
          << "gap " << gap << ", stagger " << stagger;
  }
}

} // namespace
