#include <gtest/gtest.h>

#include <cmath>
#include <complex>
#include <numbers>
#include <vector>

#include "../support/wings.hpp"

#include <vlm/base/error.hpp>
#include <vlm/force/drag_breakdown.hpp>
#include <vlm/force/polar_point.hpp>
#include <vlm/force/wave_drag.hpp>
#include <vlm/force/waves.hpp>

namespace {

using namespace wings;
using std::numbers::pi;

constexpr double gravity = 9.80665;

vlm::Craft below_surface(const std::vector<vlm::Surface>& surfaces, double depth, double bank = 0) {
  vlm::Craft craft = craft_of(surfaces);
  craft.still_surface = {vlm::Boundary::free, depth, {}, bank};
  return craft;
}

std::vector<vlm::StillSurfaceDrag> drag_of(const vlm::Lattice& lattice,
                                           const std::vector<double>& circulation, double speed) {
  return vlm::still_surface_drag(lattice, circulation, speed, 1000);
}

// Γ₀ = 1 of elliptic shape along a wing of straight trailing edge and the span given.
std::vector<double> elliptic(const vlm::Lattice& lattice, double span) {
  std::vector<double> circulation;
  for (const vlm::Strip& s : lattice.strips)
    circulation.push_back(std::sqrt(std::max(0.0, 1 - std::pow(s.leading_edge.y / (span / 2), 2))));
  return circulation;
}

// A vortex of circulation Γ at depth h raises waves of amplitude a = (2Γ/V)·exp(−gh/V²) behind it, whose drag
// is ¼ ρ g a² a metre, for their energy ½ ρ g a² follows at half their speed (Lamb, Hydrodynamics, articles
// 237 and 249, from memory): together ρ g Γ²/V²·exp(−2gh/V²).
TEST(TwoDimensionalWaveDrag, IsThatOfAVortexStripByStrip) {
  const vlm::Craft craft = craft_of({rectangle(4)});
  const auto at = [&](double depth) {
    vlm::Craft riding = craft;
    riding.still_surface = {vlm::Boundary::free, depth, {}, 0};
    return vlm::make_lattice(riding, counts({{20, 4}}));
  };
  const vlm::Lattice lattice = at(1);
  const std::vector<double> circulation(lattice.strips.size(), 0.5);
  double width = 0;
  for (const vlm::Strip& strip : lattice.strips)
    width += strip.width;
  const double speed = 4, amplitude = 2 * 0.5 / speed * std::exp(-9.80665 / 16);
  EXPECT_NEAR(vlm::two_dimensional_wave_drag(lattice, circulation, speed, 1000),
              0.25 * 1000 * 9.80665 * amplitude * amplitude * width, 1e-9);
  EXPECT_NEAR(vlm::two_dimensional_wave_drag(at(2), circulation, speed, 1000),
              0.25 * 1000 * 9.80665 * amplitude * amplitude * width * std::exp(-2 * 9.80665 / 16), 1e-9);
  EXPECT_EQ(
      vlm::two_dimensional_wave_drag(vlm::make_lattice(craft, counts({{20, 4}})), circulation, speed, 1000),
      0);
}

// Two wings one behind the other, waves in phase: twice the amplitude, four times the drag.
TEST(TwoDimensionalWaveDrag, WavesOfSurfacesInLineAddUp) {
  vlm::Surface second = rectangle(4, "second");
  second.position = {5, 0, 0};
  vlm::Craft one = craft_of({rectangle(4)}), two = craft_of({rectangle(4), second});
  one.still_surface = two.still_surface = {vlm::Boundary::free, 1.0, {}, 0};
  const vlm::Lattice single = vlm::make_lattice(one, counts({{20, 4}})),
                     tandem = vlm::make_lattice(two, counts({{20, 4}, {20, 4}}));
  EXPECT_NEAR(vlm::two_dimensional_wave_drag(tandem, std::vector<double>(40, 0.5), 4, 1000) /
                  vlm::two_dimensional_wave_drag(single, std::vector<double>(20, 0.5), 4, 1000),
              4, 1e-9);
}

// A level lifting line of elliptic circulation has the integrals of waves.hpp, whose sources and checks stand
// there. What is left is that strips are steps: their circulation times width is 1 − π²/24(n + 1)² of the
// integral, n = 40.
TEST(StillSurfaceDrag, OfAnEllipticLineIsThatOfLinearTheory) {
  const double span = 8, depth = 2.8, induced = pi / 8 * 1000;
  const vlm::Lattice lattice = vlm::make_lattice(below_surface({rectangle(span)}, depth), counts({{40, 4}}));
  for (const double froude : {0.5, 0.8, 1.0, 1.6, 3.0, 8.0}) {
    const auto drag = drag_of(lattice, elliptic(lattice, span), froude * std::sqrt(gravity * depth));
    ASSERT_EQ(drag.size(), 1U);
    EXPECT_NEAR(drag[0].waves / (vlm::drag_by_waves(froude, depth / span) * induced), 1, 1e-3) << froude;
    EXPECT_NEAR(drag[0].image / (vlm::drag_by_image(depth / span) * induced), 1, 1e-3) << froude;
    EXPECT_NEAR(drag[0].beyond_image() / drag[0].image, vlm::share_of_image(froude, depth / span) - 1, 5e-3)
        << froude;
  }
}

// The image's part is what the lattice's own far field, which has sheets rather than lines for wakes, gives
// with the image beyond what it gives without: for wings one behind the other, with dihedral, banked.
TEST(StillSurfaceDrag, ImageIsThatOfTheFarField) {
  vlm::Surface bent = from_stations("bent", {{-3, 0.8, 0.4, 0.6, 0, flat_section()},
                                             {0, 0, 0, 1.2, 0, flat_section()},
                                             {3, 0.8, 0.4, 0.6, 0, flat_section()}});
  vlm::Surface behind = rectangle(2, "behind");
  behind.position = {4, 0, -0.3};
  for (const double bank : {0.0, 0.4}) {
    const vlm::Craft craft = below_surface({bent, behind}, 2.5, bank);
    const vlm::LatticeOptions options = counts({{40, 4}, {20, 4}});
    const vlm::Responses responses = vlm::make_responses(craft, options, 0.05, {}, pool());
    const vlm::PolarPoint point = vlm::polar_point(responses, {0.05});
    const vlm::Lattice& lattice = responses.system.lattice();
    const auto drag = drag_of(lattice, point.strip_circulation, 3);
    ASSERT_EQ(drag.size(), 2U);
    // Circulations as they are, with no image about them.
    vlm::Lattice bare = lattice;
    bare.mirror.reset();
    const std::vector<vlm::Cause> causes{{{1, 0, 0}, {}, {}, {}}};
    const auto far = [&](const vlm::Lattice& with) {
      vlm::Matrix circulation(lattice.num_panels(), 1);
      const std::vector<double> a = vlm::amplitudes(responses, {0.05});
      for (std::size_t i = 0; i < lattice.num_panels(); ++i)
        for (std::size_t c = 0; c < a.size(); ++c)
          circulation(i, 0) += responses.circulation(i, c) * a[c];
      return vlm::load_forms(vlm::Influence(with, vlm::wake_along_stream(0.05)), causes, circulation, 2, 1000,
                             {}, pool());
    };
    const auto with = far(lattice), without = far(bare);
    for (std::size_t s = 0; s < 2; ++s)
      EXPECT_NEAR(drag[s].image / (with[s].far_drag(0, 0) - without[s].far_drag(0, 0)), 1, 4e-3)
          << s << " banked " << bank;
  }
}

// At great speed waves are those of two images, whatever the shape, but for a share that falls as 1/V²: the
// integral over directions comes to the sum over the wake's lines, of which it knows nothing. At rest there
// are none.
TEST(StillSurfaceDrag, IsTwiceItsImagesAtGreatSpeedAndAWallsAtRest) {
  vlm::Surface bent = from_stations("bent", {{-3, 1.5, 0.4, 0.6, 0, flat_section()},
                                             {0, 0, 0, 1.2, 0, flat_section()},
                                             {3, 1.5, 0.4, 0.6, 0, flat_section()}});
  vlm::Surface fin =
      from_stations("fin", {{0, -2, 0, 0.5, 0, flat_section()}, {0, -0.5, 0, 0.5, 0, flat_section()}});
  fin.position = {1, 0.1, 0};
  for (const double bank : {0.0, 0.5}) {
    const vlm::Lattice lattice =
        vlm::make_lattice(below_surface({bent, fin}, 3.5, bank), counts({{12, 2}, {8, 2}}), 0.05);
    std::vector<double> circulation;
    for (std::size_t j = 0; j < lattice.strips.size(); ++j)
      circulation.push_back(1 + 0.3 * std::sin(static_cast<double>(j)));
    const auto fast = drag_of(lattice, circulation, 30000);
    ASSERT_EQ(fast.size(), 2U);
    double image = 0;
    for (const vlm::StillSurfaceDrag& of : fast) {
      EXPECT_NEAR(of.beyond_image() / of.image, 0, 5e-6) << of.surface << " banked " << bank;
      image += of.image;
    }
    EXPECT_GT(image, 0);
    // A wall takes off what the image adds; waves are left only where exp(−2gh/V²) is not yet nothing.
    double waves = 0, wall = 0;
    for (const vlm::StillSurfaceDrag& of : drag_of(lattice, circulation, 1.5))
      waves += of.waves, wall += of.beyond_image() - of.waves;
    EXPECT_NEAR(wall, -2 * image, 1e-12 * image);
    EXPECT_GT(waves, 0);
    EXPECT_LT(waves, 1e-2 * image);
  }
}

// The waves of two equal lines a distance apart meet with that as the phase: the integral over directions as
// theory has it, by the trapezium rule, of lines of even circulation.
TEST(StillSurfaceDrag, WavesOfWingsOneBehindTheOtherMeetAsTheyLie) {
  const double span = 4, depth = 1.5, apart = 7, density = 1025;
  vlm::Surface second = from_stations(
      "second", {{-span / 2, 0, 0, 2, 0, flat_section()}, {span / 2, 0, 0, 2, 0, flat_section()}});
  second.position = {apart - 0.25, 0, 0}; // its quarter chord is at half a metre
  const vlm::Lattice lattice =
      vlm::make_lattice(below_surface({rectangle(span), second}, depth), counts({{20, 2}, {20, 2}}));
  const double half = lattice.node(lattice.rows[0], 20, 2).y; // strips end short of the tips
  double phase = 0;
  for (const double speed : {2.5, 4.0, 7.0}) {
    const double k = gravity / (speed * speed);
    double one = 0, both = 0;
    const int directions = 40000;
    for (int i = 1 - directions; i < directions; ++i) {
      const double theta = i * pi / 2 / directions, secant = 1 / std::cos(theta),
                   lateral = k * std::sin(theta) * secant * secant,
                   spectrum = i == 0 ? 2 * half : 2 * std::sin(lateral * half) / lateral;
      const double wave =
          std::pow(secant, 5) * std::exp(-2 * k * depth * secant * secant) * spectrum * spectrum;
      one += wave;
      both += wave * (1 + std::cos(k * apart * secant));
    }
    const double unit = density * k * k / (2 * pi) * pi / 2 / directions; // Γ = 1
    const auto drag = vlm::still_surface_drag(lattice, std::vector<double>(40, 1.0), speed, density);
    ASSERT_EQ(drag.size(), 2U);
    for (const vlm::StillSurfaceDrag& of : drag) {
      EXPECT_NEAR(of.waves / (unit * both), 1, 1e-8) << speed;
      EXPECT_NEAR(of.point.x, of.surface == 0 ? 0.25 : 7.25, 1e-12);
      EXPECT_NEAR(of.point.y, 0, 1e-12);
    }
    phase = std::max(phase, std::abs(both / one - 1));
  }
  EXPECT_GT(phase, 0.2);
}

// Far apart the phase turns fast: the same integral, of narrow lines 10 m one behind the other.
TEST(StillSurfaceDrag, TurnsWithThePhaseOfWingsFarApart) {
  const double span = 0.1, depth = 0.1, apart = 10, speed = 1, k = gravity;
  const auto narrow = [&](const char* name) {
    return from_stations(
        name, {{-span / 2, 0, 0, 0.01, 0, flat_section()}, {span / 2, 0, 0, 0.01, 0, flat_section()}});
  };
  vlm::Surface second = narrow("second");
  second.position = {apart, 0, 0};
  const vlm::Lattice lattice =
      vlm::make_lattice(below_surface({narrow("first"), second}, depth), counts({{8, 2}, {8, 2}}));
  const double half = lattice.node(lattice.rows[0], 8, 2).y;
  double both = 0;
  const int directions = 400000;
  for (int i = 1 - directions; i < directions; ++i) {
    const double theta = i * pi / 2 / directions, secant = 1 / std::cos(theta),
                 lateral = k * std::sin(theta) * secant * secant,
                 spectrum = i == 0 ? 2 * half : 2 * std::sin(lateral * half) / lateral;
    both += std::pow(secant, 5) * std::exp(-2 * k * depth * secant * secant) * spectrum * spectrum *
            (1 + std::cos(k * apart * secant));
  }
  both *= 1000 * k * k / (2 * pi) * pi / 2 / directions;
  EXPECT_NEAR(drag_of(lattice, std::vector<double>(16, 1.0), speed)[0].waves / both, 1, 1e-6);
}

// In the plane of two dimensions, the same source as the upper estimate's: each metre more of a long even
// line raises waves of its own, and two such lines half a wave apart none.
TEST(StillSurfaceDrag, OfAVeryLongLineIsThatOfAVortex) {
  const double depth = 1, speed = 3, k = gravity / (speed * speed);
  const auto waves = [&](double span, double apart) {
    vlm::Surface second = rectangle(span, "second");
    second.position = {apart, 0, 0};
    vlm::LatticeOptions options = counts({{20, 1}, {20, 1}});
    options.spacing = vlm::Spacing::uniform;
    const vlm::Lattice lattice = vlm::make_lattice(below_surface({rectangle(span), second}, depth), options);
    const auto drag = drag_of(lattice, std::vector<double>(40, 1.0), speed);
    return drag[0].waves + drag[1].waves;
  };
  const double vortex = 1000 * k * std::exp(-2 * k * depth);
  EXPECT_NEAR((waves(100, 2 * pi / k) - waves(50, 2 * pi / k)) / (50 * 4 * vortex), 1, 1e-3);
  EXPECT_NEAR((waves(100, pi / k) - waves(50, pi / k)) / (50 * 4 * vortex), 0, 1e-3);
}

TEST(StillSurfaceDrag, LeavesOutDeepWaterWallsAndWhatPierces) {
  const std::vector<double> circulation(20, 1.0);
  vlm::Craft craft = craft_of({rectangle(4)});
  EXPECT_TRUE(drag_of(vlm::make_lattice(craft, counts({{20, 2}})), circulation, 3).empty());
  craft.still_surface = {vlm::Boundary::wall, {}, 1.0, 0};
  EXPECT_TRUE(drag_of(vlm::make_lattice(craft, counts({{20, 2}})), circulation, 3).empty());

  const vlm::Lattice lattice = vlm::make_lattice(craft_with_all(), counts_with_all());
  ASSERT_TRUE(lattice.mirror && !lattice.piercings.empty());
  for (const vlm::StillSurfaceDrag& of : drag_of(lattice, std::vector<double>(lattice.strips.size(), 1), 3))
    EXPECT_NE(of.surface, lattice.piercings[0].surface);
}

// A root on the skin leaves the circulation to the fuselage, whose wake closes at the tail point: the line
// runs on to the middle, and the wing raises the waves of a whole one.
TEST(StillSurfaceDrag, OfAWingThroughAFuselageIsThatOfAWholeOne) {
  const vlm::Lattice cut = vlm::make_lattice(craft_with_all(), counts_with_all());
  vlm::Craft bare = craft_with_all();
  bare.fuselage.reset();
  std::erase_if(bare.surfaces, [](const vlm::Surface& s) { return s.pierces; });
  vlm::LatticeOptions options = counts_with_all();
  options.counts.pop_back();
  const vlm::Lattice whole = vlm::make_lattice(bare, options);
  const auto waves = [](const vlm::Lattice& lattice) {
    return drag_of(lattice, elliptic(lattice, 6), 3).front().waves;
  };
  EXPECT_NEAR(waves(cut) / waves(whole), 1, 0.01);
}

TEST(DragBreakdown, CountsWhatTheStillSurfaceDoesBeyondItsImage) {
  const vlm::Craft craft = below_surface({rectangle(6)}, 1.5);
  const vlm::Responses responses = vlm::make_responses(craft, counts({{20, 4}}), 0.05, {}, pool());
  const vlm::PolarPoint point = vlm::polar_point(responses, {0.05});
  const double speed = 5;
  std::vector<double> circulation = point.strip_circulation;
  for (double& gamma : circulation)
    gamma *= speed;
  const vlm::Lattice& lattice = responses.system.lattice();
  const double beyond =
      vlm::still_surface_drag(lattice, circulation, speed, craft.water.density).front().beyond_image();
  const vlm::DragBreakdown drag = vlm::drag_breakdown(craft, lattice, {}, {}, point, speed);
  double sum = 0, found = 0;
  for (const vlm::DragItem& item : drag.items) {
    sum += item.drag;
    found += item.cause == vlm::waves_beyond_image ? item.drag : 0;
  }
  EXPECT_GT(found, 0);
  EXPECT_EQ(found, beyond);
  EXPECT_NEAR(sum, drag.total, 1e-12 * drag.total);
}

TEST(StillSurfaceDrag, RefusesWhatIsNoState) {
  const vlm::Lattice lattice = vlm::make_lattice(below_surface({rectangle(4)}, 1), counts({{20, 2}}));
  const std::vector<double> circulation(20, 1.0);
  EXPECT_THROW(drag_of(lattice, std::vector<double>(19, 1.0), 3), vlm::Error);
  EXPECT_THROW(drag_of(lattice, circulation, 0), vlm::Error);
  EXPECT_THROW(drag_of(lattice, circulation, std::nan("")), vlm::Error);
  EXPECT_THROW(drag_of(lattice, std::vector<double>(20, std::nan("")), 3), vlm::Error);
  EXPECT_THROW(drag_of(lattice, circulation, 1e-200), vlm::Error);
  EXPECT_THROW(vlm::still_surface_drag(lattice, circulation, 3, std::nan("")), vlm::Error);
}

} // namespace
