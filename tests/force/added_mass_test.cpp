// Added mass from closed rings of vortices, against closed forms.

#include <gtest/gtest.h>

#include "../support/wings.hpp"

#include <vlm/base/error.hpp>
#include <vlm/force/added_mass.hpp>

namespace {

using namespace wings;
using std::numbers::pi;

enum Motion : std::size_t { surge, heave, pitch };

// In water of density 1 unless the craft has been given another boundary; panels as counted.
vlm::Matrix mass_of(vlm::Craft craft, const vlm::LatticeOptions& options, const vlm::Vec3& about = {}) {
  craft.water.density = 1;
  return vlm::added_mass(craft, vlm::Influence(vlm::make_lattice(craft, options), {1, 0, 0}), about, pool());
}

vlm::Matrix mass_of(const vlm::Surface& wing, int strips, int panels, const vlm::Vec3& about = {}) {
  return mass_of(craft_of({wing}), counts({{strips, panels}}), about);
}

// H. Lamb, Hydrodynamics (1932), articles 71 and 102: a plate of chord c has π/4 ρ c² a metre broadside, and
// π/128 ρ c⁴ about its middle. In the middle of a long plate, from the growth with length.
TEST(AddedMass, OfALongPlateIsThatOfTwoDimensions) {
  const vlm::Matrix shorter = mass_of(rectangle(20), 40, 8, {0.5, 0, 0}),
                    longer = mass_of(rectangle(24), 48, 8, {0.5, 0, 0});
  EXPECT_NEAR((longer(heave, heave) - shorter(heave, heave)) / 4, pi / 4, 0.002 * pi / 4);
  EXPECT_NEAR((longer(pitch, pitch) - shorter(pitch, pitch)) / 4, pi / 128, 0.002 * pi / 128);
}

// Over π/4 ρ c² b: W. K. Meyerhoff, Added masses of thin rectangular plates calculated from potential theory,
// J. Ship Research 14 (1970), as tabulated in DNV-RP-H103 (from memory, three figures).
TEST(AddedMass, OfRectanglesIsAsTabulated) {
  for (const auto& [aspect_ratio, coefficient] :
       {std::pair{1.0, 0.579}, {2.0, 0.757}, {4.0, 0.872}, {10.0, 0.947}}) {
    const double mass = mass_of(rectangle(aspect_ratio), 20, 8)(heave, heave);
    EXPECT_NEAR(mass / (pi / 4 * aspect_ratio), coefficient, 0.0006) << "aspect ratio " << aspect_ratio;
  }
}

// Two ways to cut one square: the rule is the same along the chord and the span.
TEST(AddedMass, OfASquareIsTheSameWhicheverWayItIsCut) {
  const double wide = mass_of(rectangle(1), 20, 9)(heave, heave),
               deep = mass_of(rectangle(1), 8, 21)(heave, heave);
  EXPECT_NEAR(wide, deep, 1e-10 * wide);
}

// Lamb, articles 102 and 108: 8/3 ρ r³ broadside, 16/45 ρ r⁵ about a diameter. Round tips lie along the
// stream there, where strips are poor: the error is of first order in their number.
TEST(AddedMass, OfADiscConverges) {
  const auto excess = [](int strips, int panels) {
    const vlm::Matrix mass = mass_of(ellipse(4 / pi, 0.5), strips, panels, {1, 0, 0});
    return std::pair{mass(heave, heave) / (8.0 / 3) - 1, mass(pitch, pitch) / (16.0 / 45) - 1};
  };
  const auto coarse = excess(20, 8), fine = excess(40, 16);
  EXPECT_NEAR(coarse.first, 0, 0.009);
  EXPECT_NEAR(coarse.second, 0, 0.0065);
  EXPECT_NEAR(std::log2(coarse.first / fine.first), 1, 0.15);
  EXPECT_LT(std::abs(fine.second), 0.5 * std::abs(coarse.second));
}

// Lamb, articles 114 and 115 (closed form, derived): over the mass and the moment of inertia of the water
// displaced.
TEST(AddedMass, OfSpheroidsIsLambs) {
  struct Exact {
    double fineness, k1, k2, turning;
  };
  for (const Exact& exact : {Exact{4, 0.081557, 0.859761, 0.607938},
                             {6, 0.045183, 0.917123, 0.762315},
                             {10, 0.020706, 0.960235, 0.883538}}) {
    const double radius = 0.5 / exact.fineness, volume = 4 * pi / 3 * 0.5 * radius * radius,
                 inertia = volume / 5 * (0.25 + radius * radius);
    const auto errors = [&](vlm::BodyCounts body) {
      vlm::LatticeOptions options = counts({{4, 2}});
      options.body = body;
      const vlm::Matrix mass = mass_of(spheroid(exact.fineness), options);
      return vlm::Vec3{mass(surge, surge) / volume - exact.k1, mass(heave, heave) / volume - exact.k2,
                       mass(pitch, pitch) / inertia - exact.turning};
    };
    const vlm::Vec3 at_default = errors({24, 12}), doubled = errors({48, 24});
    EXPECT_NEAR(at_default.x, 0, 0.005) << "surge, fineness " << exact.fineness;
    EXPECT_NEAR(at_default.y, 0, 0.005) << "heave, fineness " << exact.fineness;
    EXPECT_NEAR(at_default.z, 0, 0.006) << "pitch, fineness " << exact.fineness;
    EXPECT_NEAR(doubled.x, 0, 0.0015) << "surge, fineness " << exact.fineness;
    EXPECT_NEAR(doubled.y, 0, 0.0016) << "heave, fineness " << exact.fineness;
    EXPECT_NEAR(doubled.z, 0, 0.002) << "pitch, fineness " << exact.fineness;
  }
}

// A flat wing of semispan s right through a round body of radius r: π ρ (s² − r²)²/s² a metre more than the
// body alone (J. N. Nielsen, Missile Aerodynamics, 1960, table of apparent masses; from memory). From the
// growth with the wing's length, so that its ends cancel.
TEST(AddedMass, OfALongWingOnABodyIsThatOfItsCut) {
  const double r = 0.1, s = 0.5;
  const auto mass = [&](double chord) {
    vlm::Surface wing = rectangle(2 * s);
    for (vlm::Station& station : wing.stations)
      station.chord = chord, station.leading_edge = -chord / 2;
    vlm::Craft craft = craft_of({wing});
    craft.fuselage = body(-10, 20, 2 * r, 2 * r, 2, 2);
    vlm::LatticeOptions options = counts({{10, 20}});
    options.body = {96, 12};
    return mass_of(craft, options)(heave, heave);
  };
  const double cut = pi * std::pow(s * s - r * r, 2) / (s * s);
  EXPECT_NEAR((mass(12) - mass(8)) / 4 / cut, 1, 0.012);
}

// Masses about one point follow from those about another.
TEST(AddedMass, TurnsWithThePointAsThatOfARigidBodyDoes) {
  vlm::Surface front = tapered(6, 0.5, 0.3, "front"), rear = rectangle(3, "rear");
  front.incidence = 0.03;
  rear.position = {4, 0, 0.3};
  vlm::Craft craft = craft_of({front, rear});
  craft.fuselage = body(-1, 6, 0.3, 0.2, 1, 2);
  const vlm::LatticeOptions options = counts({{12, 4}, {10, 4}});
  const double x = 1.3, z = -0.4;
  const vlm::Matrix a = mass_of(craft, options), b = mass_of(craft, options, {x, 0, z});
  // The origin moves with u + ω z of the point's pitch, −ω x: its velocity at unit pitch about (x, z) is (−z,
  // x).
  EXPECT_NEAR(b(heave, heave), a(heave, heave), 1e-9 * a(heave, heave));
  EXPECT_NEAR(b(heave, pitch), a(heave, pitch) - z * a(surge, heave) + x * a(heave, heave),
              0.002 * a(heave, heave));
  EXPECT_NEAR(b(pitch, pitch),
              a(pitch, pitch) + z * z * a(surge, surge) + x * x * a(heave, heave) -
                  2 * x * z * a(surge, heave) - 2 * z * a(surge, pitch) + 2 * x * a(heave, pitch),
              0.002 * a(pitch, pitch));
}

// Turned to a small angle ι, a plate's mass across itself shows along x too.
TEST(AddedMass, OfAPlateAtAnAngleLiesAcrossIt) {
  vlm::Surface plate = rectangle(6);
  plate.incidence = 0.05;
  vlm::LatticeOptions options = counts({{12, 4}});
  const vlm::Matrix turned = mass_of(craft_of({plate}), options);
  EXPECT_NEAR(turned(surge, heave), 0.05 * turned(heave, heave), 1e-9);
  EXPECT_NEAR(turned(surge, surge), 0.05 * 0.05 * turned(heave, heave), 1e-9);
  options.displaced = true;
  const vlm::Matrix displaced = mass_of(craft_of({plate}), options);
  for (const auto& [i, j] : {std::pair{surge, heave}, {heave, heave}, {surge, pitch}, {heave, pitch}})
    EXPECT_NEAR(displaced(i, j), turned(i, j), 0.003 * std::abs(turned(i, j)));
}

// Close under a surface on which the potential vanishes there is only the water below to move: half of it.
// Beside a wall it is hemmed in.
TEST(AddedMass, IsLessUnderTheStillSurfaceAndMoreBesideAWall) {
  vlm::Craft craft = craft_of({rectangle(8)});
  const vlm::LatticeOptions options = counts({{20, 8}});
  const double deep = mass_of(craft, options)(heave, heave);
  const auto at_depth = [&](double depth) {
    vlm::Craft shallow = craft;
    shallow.still_surface.boundary = vlm::Boundary::free;
    shallow.still_surface.depth = depth;
    return mass_of(shallow, options)(heave, heave) / deep;
  };
  EXPECT_NEAR(at_depth(0.01), 0.5, 0.02);
  EXPECT_LT(at_depth(0.3), at_depth(1));
  EXPECT_NEAR(at_depth(50), 1, 1e-4);
  craft.still_surface.boundary = vlm::Boundary::wall;
  craft.still_surface.clearance = 0.5;
  EXPECT_GT(mass_of(craft, options)(heave, heave), 1.05 * deep);
}

TEST(AddedMass, OfUnevenPanelsIsRefusedWhereThereIsNoRing) {
  vlm::LatticeOptions options = counts({{10, 1}});
  options.spacing = vlm::Spacing::uniform;
  EXPECT_THROW(mass_of(craft_of({rectangle(4)}), options), vlm::Error);
}

} // namespace
