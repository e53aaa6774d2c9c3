// Downwash behind a straight lifting line, undeflected wake: closed forms. H. Glauert, The Elements of
// Aerofoil and Airscrew Theory (1926), chapter XII; A. Silverstein & S. Katzoff, NACA Report 648 (1939). On
// the centre line, distance x behind the line, semispan s:
//   elliptic loading   w = Γ0/(4s)·(1 + (2/π)(√(x²+s²)/x)·E(k)),  k² = s²/(x²+s²)
//   horseshoe          w = Γ/(2πs)·(1 + √(x²+s²)/x)
// Table values derived from these and checked by quadrature.

#include <gtest/gtest.h>

#include "../support/wings.hpp"

#include <vlm/flow/induced_velocities.hpp>
#include <vlm/flow/influence.hpp>

namespace {

using namespace wings;

// Elliptic circulation on the first panels of strips of tiny chord: a lifting line with its wake as a sheet.
// The strips carry what makes their legs those of the elliptic loading: leg strengths are differences of Γ
// between strip middles.
struct LiftingLine {
  vlm::Lattice lattice;
  vlm::Matrix circulation; // of Γ0 = 1
};

LiftingLine elliptic_line(int strips) {
  vlm::Surface line = rectangle(2); // semispan 1
  for (vlm::Station& station : line.stations)
    station.chord = 1e-6;
  LiftingLine l{vlm::make_lattice(craft_of({line}), counts({{strips, 2}})), {}};
  l.circulation = vlm::Matrix(l.lattice.num_panels(), 1);
  // Legs sample dΓ/dθ: for Γ = sin θ they are differences of sin θ·(h/2)/sin(h/2), h the step of the
  // semicircle.
  const double half_step = 0.5 * std::numbers::pi / (strips + 1);
  for (const vlm::Strip& strip : l.lattice.strips) {
    const double y = strip.leading_edge.y;
    l.circulation(strip.first_panel, 0) = std::sqrt(1 - y * y) * half_step / std::sin(half_step);
  }
  return l;
}

double complete_elliptic(double k2) {
  return std::comp_ellint_2(std::sqrt(k2));
}

double upward_velocity(const LiftingLine& l, const vlm::Vec3& point) {
  const vlm::Influence influence(l.lattice, {1, 0, 0});
  const vlm::SurfacePoint at{point, std::nullopt};
  return vlm::induced_velocities(influence, {&at, 1}, l.circulation, pool()).z(0, 0);
}

TEST(Downwash, BehindEllipticLoadingMeetsTheClosedForm) {
  // Factor of CL/(π·AR) tabulated, with CL/(π·AR) = Γ0/(4 s V).
  for (const auto& [x, factor] : {std::pair{0.1, 7.49941736},
                                  {0.2, 4.40493860},
                                  {0.3, 3.41524296},
                                  {0.5, 2.67760997},
                                  {0.75, 2.35424935},
                                  {1.0, 2.21600672},
                                  {1.5, 2.10323946},
                                  {2.0, 2.05983938},
                                  {3.0, 2.02722434},
                                  {5.0, 2.00992622},
                                  {10.0, 2.00249533},
                                  {50.0, 2.00009999}}) {
    const double closed =
        1 + 2 / std::numbers::pi * std::sqrt(x * x + 1) / x * complete_elliptic(1 / (x * x + 1));
    ASSERT_NEAR(closed, factor, 1e-8);
    for (const int strips : {20, 21, 40, 41})
      EXPECT_NEAR(upward_velocity(elliptic_line(strips), {x, 0, 0}) / (-0.25 * factor), 1, 3e-3)
          << "x = " << x << ", " << strips << " strips";
  }
}

// Above the wake there is no closed form on the centre line; the integral over the line's half-infinite
// vortices is done by quadrature here. w = (1/4π)·∫ −dΓ/dη·η/(η²+h²)·(1 + x/√(x²+η²+h²)) dη + bound line.
TEST(Downwash, AboveTheWakeMeetsQuadrature) {
  for (const double h : {0.01, 0.1})
    for (const double x : {0.3, 0.5, 1.0, 2.0, 10.0}) {
      double sum = 0;
      const int n = 200000;
      for (int i = 0; i < n; ++i) {
        const double theta = std::numbers::pi * (i + 0.5) / n, eta = std::cos(theta), gamma = std::sin(theta);
        const double r2 = eta * eta + h * h, d = std::sqrt(x * x + r2);
        sum -= eta * eta / r2 * (1 + x / d);    // −dΓ/dη dη = cot θ sin θ dθ = η dθ
        sum -= gamma * gamma * x / (d * d * d); // bound element Γ dη, dη = sin θ dθ
      }
      const double wanted = sum * std::numbers::pi / n / (4 * std::numbers::pi);
      for (const int strips : {20, 21, 41})
        EXPECT_NEAR(upward_velocity(elliptic_line(strips), {x, 0, h}) / wanted, 1, 3e-3)
            << "x = " << x << ", h = " << h << ", " << strips << " strips";
    }
}

TEST(Downwash, BehindOneHorseshoeMeetsTheClosedForm) {
  for (const auto& [x, factor] : {std::pair{0.1, 11.04987562},
                                  {0.5, 3.23606798},
                                  {1.0, 2.41421356},
                                  {2.0, 2.11803399},
                                  {5.0, 2.01980390}}) {
    const vlm::Vec3 point{x, 0, 0}, aft{1, 0, 0}, port{0, -1, 0}, starboard{0, 1, 0};
    const double w = (vlm::segment_velocity(point - port, point - starboard) +
                      vlm::ray_velocity(point - starboard, aft) - vlm::ray_velocity(point - port, aft))
                         .z;
    EXPECT_NEAR(w, -factor / (2 * std::numbers::pi), 1e-8);
  }
}

} // namespace
