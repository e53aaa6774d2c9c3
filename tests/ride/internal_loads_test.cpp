#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <numbers>

#include <vlm/force/span_loading.hpp>
#include <vlm/ride/internal_loads.hpp>

#include "../support/wings.hpp"

namespace {

using namespace wings;
using vlm::Beam;
using vlm::Load;
using vlm::Vec3;

vlm::LatticeLoads no_loads(const vlm::Lattice& lattice) {
  return {std::vector<Load>(lattice.strips.size()), std::vector<std::array<Load, 2>>(lattice.strips.size()),
          std::vector<Load>(lattice.sources.size())};
}

// Lift per metre of span on the quarter chord of all strips of one surface.
template <class PerMetre>
void lift(vlm::LatticeLoads& loads, const vlm::Lattice& lattice, std::size_t surface,
          const PerMetre& per_metre) {
  for (std::size_t j = 0; j < lattice.strips.size(); ++j) {
    const vlm::Strip& strip = lattice.strips[j];
    if (strip.surface != surface)
      continue;
    const Vec3 at = strip.leading_edge + Vec3{0.25 * strip.chord, 0, 0};
    const Vec3 force{0, 0, per_metre(at.y) * strip.width};
    loads.strips[j] += {force, cross(at, force)};
  }
}

Load whole(const vlm::Responses& r, const vlm::SurfaceForms& forms, const std::vector<double>& a,
           double speed) {
  const auto vector = [&](const std::array<vlm::Matrix, 3>& form) {
    return speed * speed * Vec3{vlm::value(form[0], a), vlm::value(form[1], a), vlm::value(form[2], a)};
  };
  const Vec3 force = vector(forms.force);
  return {force, vector(forms.moment) + cross(r.moment_point, force)};
}

void expect_equal(const Load& found, const Load& wanted, double tolerance) {
  EXPECT_NEAR(norm(found.force - wanted.force), 0, tolerance);
  EXPECT_NEAR(norm(found.moment - wanted.moment), 0, tolerance);
}

const Beam& beam_of(const std::vector<Beam>& beams, const std::string& part, const std::string& from) {
  for (const Beam& beam : beams)
    if (beam.part == part && beam.from == from)
      return beam;
  throw std::runtime_error("no beam " + part + ", " + from);
}

// Elliptic load, prescribed: half the lift L at the root, and its moment there L/2 · 4/(3π) · b/2, for 4/(3π)
// of the radius is where the centroid of half a circle lies.
TEST(InternalLoads, OfAnEllipticLoadAreThoseInClosedForm) {
  const double span = 8, half = 4, peak = 100, total = peak * std::numbers::pi / 4 * span;
  std::array<double, 3> error{};
  for (std::size_t i = 0; i < 3; ++i) {
    const vlm::Craft craft = craft_of({rectangle(span)});
    const vlm::Lattice lattice = vlm::make_lattice(craft, counts({{10 << i, 2}}));
    vlm::LatticeLoads loads = no_loads(lattice);
    lift(loads, lattice, 0, [&](double y) { return peak * std::sqrt(1 - y * y / (half * half)); });
    const std::vector<Beam> beams = vlm::internal_loads(craft, lattice, loads);
    ASSERT_EQ(beams.size(), 2U);
    const auto& root = beams[1].stations.back();
    EXPECT_NEAR(root.point.y, 0, 1e-12);
    error[i] = root.loads[vlm::flatwise_bending] / (0.5 * total * 4 / (3 * std::numbers::pi) * half) - 1;
    EXPECT_NEAR(root.loads[vlm::flatwise_shear] / (0.5 * total), 1, 0.02 / (1 << (2 * i)));
  }
  EXPECT_NEAR(error[2], 0, 5e-4);
  EXPECT_NEAR(std::log2(std::abs(error[1] / error[2])), 2, 0.15); // second order
}

// The same of a solved elliptic wing, flat and straight along its quarter chord, whose load is elliptic but
// for what its finite chord does.
TEST(InternalLoads, OfAnEllipticWingAreNearThoseOfAnEllipticLoad) {
  const vlm::Craft craft = craft_of({ellipse(12, 0.25)});
  const vlm::Responses r = vlm::make_responses(craft, counts({{40, 4}}), 0, {}, pool());
  const vlm::Condition condition{0.02, 0, {}};
  const std::vector<Beam> beams = vlm::internal_loads(craft, r, condition, {}, 3, pool());
  const double lift = 9 * vlm::value(r.craft.force[2], vlm::amplitudes(r, condition));
  const auto& root = beams[0].stations.back();
  EXPECT_NEAR(root.loads[vlm::flatwise_shear], 0.5 * lift, 1e-9 * lift);
  EXPECT_NEAR(root.loads[vlm::flatwise_bending] /
                  (0.5 * lift * 4 / (3 * std::numbers::pi) * 0.5 * r.reference.span),
              1, 0.01);
}

TEST(InternalLoads, GrowAlongTheSpanByTheSpanLoading) {
  const vlm::Craft craft = craft_of({rectangle(6)});
  const vlm::Responses r = vlm::make_responses(craft, counts({{20, 6}}), 0, {}, pool());
  const double alpha = 0.01, speed = 4;
  const std::vector<Beam> beams = vlm::internal_loads(craft, r, {alpha, 0, {}}, {}, speed, pool());
  const std::vector<double> a = vlm::amplitudes(r, {alpha, 0, {}});
  ASSERT_EQ(beams[0].stations.size(), 12U); // tip, edges to the middle
  for (std::size_t j = 0; j < 10; ++j) {
    const auto &from = beams[0].stations[j + 1], &to = beams[0].stations[j + 2];
    const double gamma = speed * (r.strip_circulation(j, 0) * a[0] + r.strip_circulation(j, 1) * a[1]);
    EXPECT_NEAR((to.loads[vlm::flatwise_shear] - from.loads[vlm::flatwise_shear]) / (to.along - from.along) /
                    (craft.water.density * speed * gamma),
                1, 2 * alpha);
  }
}

TEST(InternalLoads, VanishAtFreeEndsAndAreTheSameOnBothHalves) {
  const vlm::Craft craft = craft_with_all();
  const vlm::Responses r = vlm::make_responses(craft, counts_with_all(), 0.03, {}, pool());
  const std::vector<Beam> beams = vlm::internal_loads(craft, r, {0.05, 0, {}}, {}, 5, pool());
  ASSERT_EQ(beams.size(), 7U);
  for (const char* part : {"wing", "tail"}) {
    const Beam &port = beam_of(beams, part, "port tip"), &other = beam_of(beams, part, "starboard tip");
    ASSERT_EQ(port.stations.size(), other.stations.size());
    const double scale = std::abs(port.stations.back().loads[vlm::flatwise_bending]);
    EXPECT_GT(scale, 1);
    for (std::size_t i = 0; i < port.stations.size(); ++i)
      for (std::size_t k = 0; k < vlm::num_internal_loads; ++k)
        EXPECT_NEAR(port.stations[i].loads[k], other.stations[i].loads[k], 1e-8 * scale) << part << i << k;
  }
  for (const Beam& beam : beams)
    for (const double load : beam.stations.front().loads)
      EXPECT_TRUE(beam.part == "mast" || std::abs(load) < 1e-9) << beam.part << ' ' << beam.from;
  EXPECT_EQ(beam_of(beams, "wing", "port tip").to, "skin");
  EXPECT_EQ(beam_of(beams, "tail", "port tip").to, "middle plane");
}

void expect_mast_to_hold_all_of(const vlm::Craft& craft) {
  const vlm::Responses r = vlm::make_responses(craft, counts_with_all(), 0.03, {}, pool(), vlm::Motions::all);
  const vlm::Condition condition{0.05, 0.04, {0.02, 0.01, -0.03}};
  const double speed = 5;
  const std::vector<Beam> beams = vlm::internal_loads(craft, r, condition, {}, speed, pool());
  const std::vector<double> a = vlm::amplitudes(r, condition);
  const Load total = whole(r, r.craft, a, speed), mast = whole(r, r.parts[2], a, speed);
  const double scale = norm(total.moment);
  EXPECT_EQ(beam_of(beams, "wing", "port tip").to, "skin");
  const Beam& upright = beams.back();
  EXPECT_EQ(upright.part, "mast");
  expect_equal(upright.into_support, total, 1e-9 * scale);
  expect_equal(beam_of(beams, "fuselage", "nose").into_support +
                   beam_of(beams, "fuselage", "tail").into_support,
               total + -mast, 1e-9 * scale);
  // The top of the mast is that of its last station, 1.5 m above the water; a metre of chord, so its quarter
  // chord is 0.45 m behind the mast's zero with the rake.
  const auto& top = upright.stations.back();
  EXPECT_NEAR(norm(top.point - Vec3{2.45, 0, 4}), 0, 1e-9);
  const Vec3 about = vlm::moment_about(top.point, total);
  // Outward is down, flatwise to port: bending the foot to port is a moment (−z) × (−y) = −x.
  EXPECT_NEAR(top.loads[vlm::flatwise_shear], -total.force.y, 1e-9 * scale);
  EXPECT_NEAR(top.loads[vlm::edgewise_shear], total.force.x, 1e-9 * scale);
  EXPECT_NEAR(top.loads[vlm::axial_force], -total.force.z, 1e-9 * scale);
  EXPECT_NEAR(top.loads[vlm::flatwise_bending], -about.x, 1e-9 * scale);
  EXPECT_NEAR(top.loads[vlm::edgewise_bending], -about.y, 1e-9 * scale);
  EXPECT_NEAR(top.loads[vlm::torsion], about.z, 1e-9 * scale);
  // Its foot bears what stands on it.
  const auto& foot = upright.stations.front();
  EXPECT_NEAR(foot.loads[vlm::edgewise_shear], (total + -mast).force.x, 1e-9 * scale);
  EXPECT_NEAR(foot.loads[vlm::torsion], vlm::moment_about(foot.point, total + -mast).z, 1e-9 * scale);
}

TEST(InternalLoads, OfTheMastHoldAllThatTheCraftBears) {
  expect_mast_to_hold_all_of(craft_with_all());
}

TEST(InternalLoads, OfTheMastHoldAllWhereRootsAreCarriedThroughTheBody) {
  expect_mast_to_hold_all_of(craft_with_carried_roots());
}

// An even load of w a metre on a wing swept back by Λ: at y outboard of the root the rest of the half, η =
// b/2 − y, has shear w η, bending w η²/2; its lift acts that times tan Λ behind the cut's quarter chord: nose
// down.
TEST(InternalLoads, OfASweptWingTwistItByTheBending) {
  const double sweep = 0.7, w = 50;
  const vlm::Craft craft = craft_of({tapered(6, 1, sweep)});
  vlm::LatticeOptions options = counts({{12, 1}});
  options.spacing = vlm::Spacing::uniform;
  const vlm::Lattice lattice = vlm::make_lattice(craft, options);
  vlm::LatticeLoads loads = no_loads(lattice);
  lift(loads, lattice, 0, [&](double) { return w; });
  for (const Beam& beam : vlm::internal_loads(craft, lattice, loads)) {
    ASSERT_EQ(beam.stations.size(), 7U);
    for (const auto& station : beam.stations) {
      const double rest = 3 - std::abs(station.point.y), bending = 0.5 * w * rest * rest;
      EXPECT_NEAR(station.loads[vlm::flatwise_shear], w * rest, 1e-9);
      EXPECT_NEAR(station.loads[vlm::flatwise_bending], bending, 1e-9);
      EXPECT_NEAR(station.loads[vlm::torsion], -sweep * bending, 1e-9);
      EXPECT_NEAR(station.loads[vlm::edgewise_bending], 0, 1e-9);
    }
    for (const std::size_t i : vlm::greatest_loads(beam))
      EXPECT_TRUE(i == 6 || i == 0);
  }
}

// A strip across the middle plane is parted there.
TEST(InternalLoads, OfAnOddNumberOfStripsAreThoseOfAnEvenOne) {
  const vlm::Craft craft = craft_of({rectangle(6)});
  vlm::LatticeOptions options = counts({{7, 1}});
  options.spacing = vlm::Spacing::uniform;
  const vlm::Lattice lattice = vlm::make_lattice(craft, options);
  vlm::LatticeLoads loads = no_loads(lattice);
  lift(loads, lattice, 0, [](double) { return 20.0; });
  const std::vector<Beam> beams = vlm::internal_loads(craft, lattice, loads);
  ASSERT_EQ(beams.size(), 2U);
  for (const Beam& beam : beams) {
    EXPECT_NEAR(beam.stations.back().point.y, 0, 1e-12);
    EXPECT_NEAR(beam.stations.back().loads[vlm::flatwise_shear], 60, 1e-9);
    EXPECT_NEAR(beam.stations.back().loads[vlm::flatwise_bending], 90, 1e-9);
  }
}

// Legs on a strip edge stand for the vortices either side of it: half of their load is outside a cut there.
TEST(InternalLoads, ShareALegOutToBothSidesOfItsEdge) {
  const vlm::Craft craft = craft_of({rectangle(4)});
  vlm::LatticeOptions options = counts({{4, 1}});
  options.spacing = vlm::Spacing::uniform;
  const vlm::Lattice lattice = vlm::make_lattice(craft, options);
  vlm::LatticeLoads loads = no_loads(lattice);
  const auto up = [](double y, double force) {
    return Load{{0, 0, force}, vlm::cross({0.25, y, 0}, {0, 0, force})};
  };
  loads.legs[0][1] = up(-1, 11); // 8 N net at y = −1
  loads.legs[1][0] = up(-1, -3);
  loads.legs[2][0] = up(0, 6); // in the middle
  const std::vector<Beam> beams = vlm::internal_loads(craft, lattice, loads);
  const auto shear = [&](std::size_t beam, std::size_t station) {
    return beams[beam].stations.at(station).loads[vlm::flatwise_shear];
  };
  EXPECT_NEAR(shear(0, 0), 0, 1e-12);
  EXPECT_NEAR(shear(0, 1), 4, 1e-12);
  EXPECT_NEAR(shear(0, 2), 11, 1e-12);
  EXPECT_NEAR(shear(1, 1), 0, 1e-12);
  EXPECT_NEAR(shear(1, 2), 3, 1e-12);
  EXPECT_NEAR(beams[0].stations[2].loads[vlm::flatwise_bending], 8, 1e-12);
}

// By hand: a wing with its load of 120 N at its quarter chord, x = 0.25, and a tail of −30 N at x = 6.25, the
// shell without load; the mast's foot has its middle at x = 2.5. Ahead of it the fuselage bears what the wing
// does, behind it what the tail does. Bending is positive where it lifts the free end. The wing's root is
// loaded as if under a block: between its ends the shear runs on a parabola, past 120 N by 1/24 as its lift
// is a quarter of the chord ahead of the middle, and so do the halves of the wing together on both sides.
TEST(InternalLoads, OfAFuselageBetweenTwoWingsAreThoseByHand) {
  vlm::Surface tail = rectangle(3, "tail");
  tail.position = {6, 0, 0};
  vlm::Surface mast =
      from_stations("mast", {{0, 0, 0, 1, 0, flat_section()}, {0, 4, 0, 1, 0, flat_section()}});
  mast.position = {2, 0, 0};
  mast.pierces = true;
  vlm::Craft craft = craft_of({rectangle(6), tail, mast});
  craft.fuselage = body(-1.5, 10, 0.4, 0.5, 0.8, 1);
  vlm::LatticeOptions options = counts({{6, 1}, {6, 1}, {4, 1}});
  options.spacing = vlm::Spacing::uniform;
  options.body = {16, 8};
  const vlm::Lattice lattice = vlm::make_lattice(craft, options);
  vlm::LatticeLoads loads = no_loads(lattice);
  const auto evenly = [&](std::size_t surface, double force) {
    double width = 0;
    for (const vlm::Strip& strip : lattice.strips)
      width += strip.surface == surface ? strip.width : 0;
    lift(loads, lattice, surface, [&](double) { return force / width; });
  };
  evenly(0, 120);
  evenly(1, -30);
  const std::vector<Beam> beams = vlm::internal_loads(craft, lattice, loads);
  const Beam &nose = beam_of(beams, "fuselage", "nose"), &back = beam_of(beams, "fuselage", "tail");
  EXPECT_NEAR(nose.stations.back().along, 2.5, 1e-12);
  EXPECT_NEAR(back.stations.back().along, 2.5, 1e-12);
  double most = 0;
  for (const auto& station : nose.stations) {
    const double shear = station.loads[vlm::flatwise_shear], x = station.along;
    most = std::max(most, shear);
    if (x <= 0) {
      EXPECT_NEAR(shear, 0, 1e-9);
      EXPECT_NEAR(station.loads[vlm::flatwise_bending], 0, 1e-9);
    } else if (x >= 1) {
      EXPECT_NEAR(shear, 120, 1e-9);
      EXPECT_NEAR(station.loads[vlm::flatwise_bending], 120 * (x - 0.25), 1e-9);
    } else { // f = 120 (1 − 3 (x − ½))
      EXPECT_NEAR(shear, 120 * (2.5 * x - 1.5 * x * x), 1e-9);
      EXPECT_NEAR(station.loads[vlm::flatwise_bending], 120 * (1.25 * x * x - 0.5 * x * x * x), 1e-9);
    }
    EXPECT_NEAR(station.loads[vlm::torsion], 0, 1e-9);
  }
  EXPECT_LE(most, 125 + 1e-9);
  for (const auto& station : back.stations)
    if (station.along <= 6) {
      EXPECT_NEAR(station.loads[vlm::flatwise_shear], -30, 1e-9);
      EXPECT_NEAR(station.loads[vlm::flatwise_bending], -30 * (6.25 - station.along), 1e-9);
    }
  // At the foot of the mast: 90 N up, and the moment about its middle 120 · 2.25 + 30 · 3.75 nose-up.
  const Load foot = nose.into_support + back.into_support;
  EXPECT_NEAR(foot.force.z, 90, 1e-9);
  EXPECT_NEAR(vlm::moment_about({2.5, 0, 0}, foot).y, 120 * 2.25 + 30 * 3.75, 1e-9);
}

// A roll by opposite loads of 5 N at 2 m on either side of the tail twists the fuselage behind the mast by
// 20 N m, starboard down; a side force of 8 N on the tail bends it to starboard.
TEST(InternalLoads, OfAFuselageHaveTorsionAndSideBending) {
  vlm::Surface tail = rectangle(5, "tail");
  tail.position = {6, 0, 0};
  vlm::Craft craft = craft_of({rectangle(6), tail});
  craft.fuselage = body(-1.5, 10, 0.4, 0.5, 0.8, 1);
  vlm::LatticeOptions options = counts({{6, 1}, {6, 1}});
  options.spacing = vlm::Spacing::uniform;
  options.body = {16, 8};
  const vlm::Lattice lattice = vlm::make_lattice(craft, options);
  vlm::LatticeLoads loads = no_loads(lattice);
  const auto put = [&](const Vec3& at, const Vec3& force) {
    for (std::size_t j = 0; j < lattice.strips.size(); ++j)
      if (lattice.strips[j].surface == 1 && lattice.strips[j].leading_edge.y * at.y > 0) {
        loads.strips[j] += {force, cross(at, force)};
        return;
      }
  };
  put({6.5, -2, 0}, {0, 0, 5});
  put({6.5, 2, 0}, {0, 0, -5});
  put({6.5, 2, 0}, {0, 8, 0});
  const std::vector<Beam> beams = vlm::internal_loads(craft, lattice, loads);
  const Beam& back = beam_of(beams, "fuselage", "tail");
  EXPECT_NEAR(back.stations.back().along, 0, 1e-12); // no mast: its axis is where x is 0
  for (const auto& station : back.stations)
    if (station.along <= 6) {
      EXPECT_NEAR(station.loads[vlm::torsion], 20, 1e-9);
      EXPECT_NEAR(station.loads[vlm::edgewise_shear], 8, 1e-9);
      EXPECT_NEAR(station.loads[vlm::edgewise_bending], 8 * (6.5 - station.along), 1e-9);
      EXPECT_NEAR(station.loads[vlm::flatwise_bending], 0, 1e-9);
    }
}

} // namespace
