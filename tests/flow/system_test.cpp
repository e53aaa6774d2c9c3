#include <gtest/gtest.h>

#include <array>
#include <limits>
#include <string>

#include <vlm/base/error.hpp>
#include <vlm/flow/influence_state.hpp>
#include <vlm/flow/symmetry.hpp>
#include <vlm/flow/system.hpp>
#include <vlm/flow/velocity.hpp>
#include <vlm/force/load_forms.hpp>

#include "../support/wings.hpp"

namespace {

using namespace wings;
using vlm::Vec3;

// A swept, drooping, twisted front wing of AR 5 and a stabilizer behind and above it.
vlm::Craft drooped_craft() {
  vlm::Surface front = tapered(5, 0.5, 0.3, "front"), rear = tapered(4, 0.6, 0.2, "rear");
  for (vlm::Surface* s : {&front, &rear})
    for (vlm::Station& station : s->stations) {
      station.z = (s == &front ? -0.1 : 0.05) * std::abs(station.y);
      station.twist = -0.01 * std::abs(station.y);
    }
  for (vlm::Station& station : rear.stations) {
    station.y *= 0.5;
    station.z *= 0.5;
    station.leading_edge *= 0.5;
    station.chord *= 0.5;
  }
  front.incidence = 0.02;
  rear.incidence = -0.03;
  rear.position = {4, 0, 0.3};
  return craft_of({front, rear});
}

vlm::LatticeOptions coarse() {
  return counts({{12, 4}, {10, 4}});
}

struct Load {
  Vec3 force, moment;
  double far_drag;
};

Load load(const vlm::Craft& craft, const vlm::LatticeOptions& options, const vlm::Cause& cause,
          const Vec3& wake, vlm::SystemSize size = vlm::SystemSize::least) {
  const vlm::FlowSystem system(vlm::make_lattice(craft, options), wake, pool(), size);
  const std::array causes{cause};
  const vlm::SurfaceForms f =
      vlm::total(vlm::load_forms(system.influence(), causes, system.solve(causes), craft.surfaces.size(), 1,
                                 craft.moment_point, pool()));
  return {{f.force[0](0, 0), f.force[1](0, 0), f.force[2](0, 0)},
          {f.moment[0](0, 0), f.moment[1](0, 0), f.moment[2](0, 0)},
          f.far_drag(0, 0)};
}

vlm::Motion general_motion() {
  vlm::Motion m;
  m.alpha = 0.07;
  m.beta = 0.03;
  m.rates = {0.05, 0.02, -0.04};
  m.moment_point = {0.3, 0, 0.1};
  return m;
}

void expect_same(const Load& a, const Load& b, double tolerance) {
  const double force = vlm::norm(a.force), moment = vlm::norm(a.moment);
  EXPECT_LT(vlm::norm(a.force - b.force), tolerance * force);
  EXPECT_LT(vlm::norm(a.moment - b.moment), tolerance * moment);
  EXPECT_NEAR(a.far_drag, b.far_drag, tolerance * force);
}

TEST(FlowSystem, HalfSizeAndFullSizeAgreeInSideslipAndRates) {
  const vlm::Craft craft = drooped_craft();
  for (const int strips : {12, 10}) {
    const vlm::LatticeOptions options = counts({{strips, 4}, {strips, 3}});
    const vlm::FlowSystem half(vlm::make_lattice(craft, options), {1, 0, 0}, pool());
    EXPECT_TRUE(half.split_by_symmetry());
    const vlm::Cause cause = vlm::cause_of(general_motion());
    expect_same(load(craft, options, cause, {1, 0, 0}),
                load(craft, options, cause, {1, 0, 0}, vlm::SystemSize::full), 1e-10);
  }
}

TEST(FlowSystem, OddStripCountsSplitToo) {
  // Without a kink the middle strip is its own mirror image: it belongs to the symmetric half alone.
  const vlm::Craft craft = craft_of({rectangle(5)});
  const vlm::Cause cause = vlm::cause_of(general_motion());
  const vlm::FlowSystem half(vlm::make_lattice(craft, counts({{11, 3}})), {1, 0, 0}, pool());
  EXPECT_TRUE(half.split_by_symmetry());
  expect_same(load(craft, counts({{11, 3}}), cause, {1, 0, 0}),
              load(craft, counts({{11, 3}}), cause, {1, 0, 0}, vlm::SystemSize::full), 1e-10);
}

TEST(FlowSystem, UprightSurfaceInTheCentrePlaneSplitsToo) {
  // A fin in the mirror plane carries antisymmetric circulation only.
  vlm::Surface fin =
      from_stations("fin", {{0, 0.5, 0, 0.4, 0, flat_section()}, {0, 1.5, 0.1, 0.3, 0, flat_section()}});
  fin.position = {3, 0, 0};
  const vlm::Craft craft = craft_of({rectangle(5), fin});
  const vlm::LatticeOptions options = counts({{10, 3}, {6, 3}});
  const vlm::FlowSystem half(vlm::make_lattice(craft, options), {1, 0, 0}, pool());
  EXPECT_TRUE(half.split_by_symmetry());
  const vlm::Cause cause = vlm::cause_of(general_motion());
  expect_same(load(craft, options, cause, {1, 0, 0}),
              load(craft, options, cause, {1, 0, 0}, vlm::SystemSize::full), 1e-10);
}

std::array<vlm::Cause, 2> in_plane() {
  return {vlm::Cause{{1, 0, 0.1}, {}, {}, {}}, {{0, 0, 1}, {0, 0.2, 0}, {}, {}}};
}

TEST(FlowSystem, MadeForSymmetricCausesTheSymmetricHalfIsEnough) {
  vlm::Surface fin =
      from_stations("fin", {{0, 0.5, 0, 0.4, 0, flat_section()}, {0, 1.5, 0.1, 0.3, 0, flat_section()}});
  fin.position = {3, 0, 0};
  vlm::Craft craft = drooped_craft();
  craft.surfaces.push_back(fin);
  const vlm::Lattice lattice = vlm::make_lattice(craft, counts({{12, 4}, {10, 4}, {6, 3}}));
  const auto causes = in_plane();
  const vlm::FlowSystem alone(lattice, {1, 0, 0}, pool(), causes), both(lattice, {1, 0, 0}, pool());
  EXPECT_TRUE(alone.split_by_symmetry());
  EXPECT_LT(alone.estimated_bytes(), 0.5 * both.estimated_bytes()); // of the fin's panels it has none
  const vlm::Matrix one = alone.solve(causes), other = both.solve(causes);
  for (std::size_t i = 0; i < one.values.size(); ++i) // the other has what rounding leaves of its other half
    EXPECT_NEAR(one.values[i], other.values[i], 1e-14);
  for (const vlm::Cause& sideways : {vlm::Cause{{0, 1, 0}, {}, {}, {}}, {{}, {1, 0, 0}, {}, {}}})
    try {
      alone.solve({&sideways, 1});
      FAIL() << "solved";
    } catch (const vlm::Error& error) {
      EXPECT_STREQ(error.what(), "cause: found one that is not its own mirror image about y = 0, wanted a "
                                 "system made for it");
    }
}

TEST(FlowSystem, MadeForSymmetricCausesAFinByItselfHasNothingToSolve) {
  const vlm::Craft craft = craft_of(
      {from_stations("fin", {{0, 0.5, 0, 0.4, 0, flat_section()}, {0, 1.5, 0.1, 0.3, 0, flat_section()}})});
  const auto causes = in_plane();
  const vlm::FlowSystem fin(vlm::make_lattice(craft, counts({{6, 3}})), {1, 0, 0}, pool(), causes);
  EXPECT_EQ(fin.estimated_bytes(), 0);
  for (const double circulation : fin.solve(causes).values)
    EXPECT_EQ(circulation, 0);
}

TEST(FlowSystem, MadeForSymmetricCausesTheHierarchicalOneIsOfThatHalf) {
  vlm::LatticeOptions options = coarse();
  options.system = vlm::SystemKind::hierarchical;
  const vlm::Lattice lattice = vlm::make_lattice(drooped_craft(), options);
  const auto causes = in_plane();
  const vlm::FlowSystem alone(lattice, {1, 0, 0}, pool(), causes), both(lattice, {1, 0, 0}, pool());
  EXPECT_LT(alone.estimated_bytes(), 0.7 * both.estimated_bytes());
  const vlm::Matrix one = alone.solve(causes), other = both.solve(causes);
  for (std::size_t i = 0; i < one.values.size(); ++i)
    EXPECT_NEAR(one.values[i], other.values[i], 1e-9);
}

TEST(FlowSystem, MadeForSymmetricCausesACraftOfUnequalSidesHasBothHalves) {
  // Mirrored outlines, but the right side alone is twisted.
  vlm::Craft craft = drooped_craft();
  craft.surfaces[0].stations.back().twist = 0.02;
  const vlm::Lattice lattice = vlm::make_lattice(craft, coarse());
  const auto causes = in_plane();
  const vlm::FlowSystem system(lattice, {1, 0, 0}, pool(), causes), both(lattice, {1, 0, 0}, pool());
  EXPECT_TRUE(system.split_by_symmetry());
  EXPECT_EQ(system.estimated_bytes(), both.estimated_bytes());
  EXPECT_EQ(system.solve(causes).values, both.solve(causes).values);
}

TEST(FlowSystem, BrokenTipAndAskewStabilizerSolveAtFullSize) {
  vlm::Craft broken = drooped_craft();
  vlm::Station& tip = broken.surfaces[0].stations.back();
  tip.y *= 0.8, tip.z *= 0.8, tip.leading_edge *= 0.8, tip.chord *= 1.1;
  vlm::Craft askew = drooped_craft();
  for (vlm::Station& station : askew.surfaces[1].stations)
    station.z += 0.1 * station.y;
  for (const vlm::Craft& craft : {broken, askew}) {
    const vlm::FlowSystem system(vlm::make_lattice(craft, coarse()), {1, 0, 0}, pool());
    EXPECT_FALSE(system.split_by_symmetry());
    // Its mirror image in the mirrored motion has the mirrored loads.
    vlm::Craft mirrored = craft;
    for (vlm::Surface& s : mirrored.surfaces) {
      for (vlm::Station& station : s.stations)
        station.y = -station.y;
      std::reverse(s.stations.begin(), s.stations.end());
    }
    const Load a = load(craft, coarse(), {{1, 0.03, 0.07}, {}, {}, {}}, {1, 0, 0});
    Load b = load(mirrored, coarse(), {{1, -0.03, 0.07}, {}, {}, {}}, {1, 0, 0});
    EXPECT_GT(std::abs(a.moment.x), 1e-4); // it does roll
    b.force.y *= -1;
    b.moment.x *= -1;
    b.moment.z *= -1;
    expect_same(a, b, 1e-10);
  }
}

TEST(FlowSystem, OrderOfSurfacesDoesNotMatter) {
  const vlm::Craft craft = drooped_craft();
  vlm::Craft swapped = craft;
  std::swap(swapped.surfaces[0], swapped.surfaces[1]);
  const vlm::Cause cause = vlm::cause_of(general_motion());
  expect_same(load(craft, counts({{12, 4}, {10, 4}}), cause, {1, 0, 0}),
              load(swapped, counts({{10, 4}, {12, 4}}), cause, {1, 0, 0}), 1e-10);
}

TEST(FlowSystem, OrderOfSurfacesOfEqualStripWidthsDoesNotMatter) {
  // Neither row is the finer one: their mutual far-field drag must not go by their order.
  vlm::Surface a = tapered(6, 0.5, 0.1, "a"), b = rectangle(6, "b");
  b.position = {0.4, 0, 0.3};
  const vlm::Cause cause{{1, 0, 0.1}, {}, {}, {}};
  expect_same(load(craft_of({a, b}), counts({{12, 4}, {12, 4}}), cause, {1, 0, 0}),
              load(craft_of({b, a}), counts({{12, 4}, {12, 4}}), cause, {1, 0, 0}), 1e-10);
}

TEST(FlowSystem, ScaleDoesNotMatter) {
  const vlm::Craft craft = drooped_craft();
  vlm::Craft large = craft;
  const double f = 7.3;
  for (vlm::Surface& s : large.surfaces) {
    s.position = f * s.position;
    for (vlm::Station& station : s.stations)
      station.y *= f, station.z *= f, station.leading_edge *= f, station.chord *= f;
  }
  const Load a = load(craft, coarse(), {{1, 0, 0.1}, {}, {}, {}}, {1, 0, 0});
  Load b = load(large, coarse(), {{1, 0, 0.1}, {}, {}, {}}, {1, 0, 0});
  b.force = 1 / (f * f) * b.force;
  b.moment = 1 / (f * f * f) * b.moment;
  b.far_drag /= f * f;
  expect_same(a, b, 1e-10);
}

// Rolled with the stream about x: the chord surface stays along x, so the flat lattice turns rigidly.
TEST(FlowSystem, RollingCraftAndStreamTogetherRollsTheLoads) {
  vlm::Craft craft = drooped_craft();
  for (vlm::Surface& surface : craft.surfaces)
    surface.incidence = 0; // it would turn about y still
  const double c = std::cos(0.4), s = std::sin(0.4);
  const auto rolled = [c, s](const Vec3& a) { return Vec3{a.x, c * a.y - s * a.z, s * a.y + c * a.z}; };
  vlm::Craft turned = craft;
  for (vlm::Surface& surface : turned.surfaces) {
    surface.position = rolled(surface.position);
    for (vlm::Station& station : surface.stations) {
      const Vec3 p = rolled({0, station.y, station.z});
      station.y = p.y, station.z = p.z;
    }
  }
  const Vec3 stream{1, 0.05, 0.1};
  const Load a = load(craft, coarse(), {stream, {}, {}, {}}, {1, 0, 0});
  const Load b = load(turned, coarse(), {rolled(stream), {}, {}, {}}, {1, 0, 0});
  expect_same({rolled(a.force), rolled(a.moment), a.far_drag}, b, 1e-10);
}

// Pitched with the stream: the displaced lattice has the true shape, and turns rigidly with it.
TEST(FlowSystem, PitchingCraftAndStreamTogetherPitchesTheLoads) {
  const vlm::Craft craft = drooped_craft();
  const double angle = 0.15, c = std::cos(angle), s = std::sin(angle);
  const auto pitched = [c, s](const Vec3& a) { return Vec3{c * a.x + s * a.z, a.y, c * a.z - s * a.x}; };
  vlm::Craft turned = craft;
  for (vlm::Surface& surface : turned.surfaces) {
    surface.position = pitched(surface.position);
    surface.incidence += angle;
  }
  vlm::LatticeOptions options = coarse();
  options.displaced = true;
  const Vec3 stream{1, 0, 0.1}, wake = vlm::normalized(stream);
  const Load a = load(craft, options, {stream, {}, {}, {}}, wake);
  const Load b = load(turned, options, {pitched(stream), {}, {}, {}}, vlm::normalized(pitched(stream)));
  expect_same({pitched(a.force), pitched(a.moment), a.far_drag}, b, 1e-10);
}

TEST(FlowSystem, CirculationIsLinearInTheCauses) {
  const vlm::FlowSystem system(vlm::make_lattice(drooped_craft(), coarse()), {1, 0, 0}, pool());
  const std::array causes{vlm::Cause{{1, 0, 0.1}, {}, {}, {}}, vlm::Cause{{0, 0.2, 0}, {0.1, 0.3, 0}, {}, {}},
                          vlm::Cause{{1, 0.2, 0.1}, {0.1, 0.3, 0}, {}, {}}};
  const vlm::Matrix g = system.solve(causes);
  for (std::size_t i = 0; i < g.rows; ++i)
    EXPECT_NEAR(g(i, 0) + g(i, 1), g(i, 2), 1e-12);
}

TEST(FlowSystem, NoWaterPassesThroughControlPoints) {
  // Control points see their own wake as legs; here from outside, all as sheets, so some strips off the tips.
  const vlm::Lattice lattice = vlm::make_lattice(craft_of({rectangle(6)}), counts({{40, 6}}));
  const vlm::FlowSystem system(lattice, {1, 0, 0}, pool());
  const vlm::Cause cause{{1, 0, 0.1}, {}, {}, {}};
  const vlm::Matrix g = system.solve({&cause, 1});
  std::vector<Vec3> points;
  for (std::size_t j = 10; j < 30; ++j)
    points.push_back(lattice.control[lattice.strips[j].first_panel + 2]);
  for (const Vec3& v : vlm::velocity_at(system.influence(), cause, g.column(0), points, pool()))
    EXPECT_NEAR(v.z, 0, 0.1 * 2e-3);
}

TEST(FlowSystem, DownwashAngleIsDownBehindALiftingWing) {
  const vlm::Lattice lattice = vlm::make_lattice(craft_of({rectangle(6)}), counts({{20, 6}}));
  const vlm::FlowSystem system(lattice, {1, 0, 0}, pool());
  const vlm::Cause cause{{1, 0, 0.1}, {}, {}, {}};
  const vlm::Matrix g = system.solve({&cause, 1});
  const std::vector<Vec3> line{{3, 0, 0}, {10, 0, 0}, {300, 0, 0}};
  const std::vector<double> angle = vlm::downwash_angle(system.influence(), cause, g.column(0), line, pool());
  EXPECT_GT(angle[0], angle[1]);
  EXPECT_GT(angle[1], angle[2]);
  // Far behind, near the root of an AR 6 rectangle: somewhat under 2·CL/(π·AR), the elliptic value (its load
  // is fuller).
  const double lift = flat_figures(rectangle(6), 20, 6).lift_slope * 0.1;
  EXPECT_NEAR(angle[2] / (2 * lift / (std::numbers::pi * 6)), 0.85, 0.1);
}

TEST(FlowSystem, FarApartSurfacesTendToTheirIsolatedLifts) {
  // The horseshoes' far field falls with the square of the distance abreast, so interference does.
  const auto excess = [](double distance) {
    vlm::Surface left = rectangle(4, "left"), right = rectangle(4, "right");
    right.position = {0, distance, 0};
    const vlm::LatticeOptions both = counts({{10, 4}, {10, 4}});
    return flat_figures(craft_of({left, right}), both).lift_slope / 2 / flat_figures(left, 10, 4).lift_slope -
           1;
  };
  EXPECT_NEAR(observed_order(0, excess(200), excess(200) + excess(400)), 2, 0.1);
}

TEST(FlowSystem, RefusesWhatDoesNotFitTheLattice) {
  const vlm::Lattice lattice = vlm::make_lattice(drooped_craft(), coarse());
  const vlm::FlowSystem system(lattice, {1, 0, 0}, pool());
  const double nan = std::numeric_limits<double>::quiet_NaN();
  const auto refusal = [](const auto& call) -> std::string {
    try {
      call();
    } catch (const vlm::Error& error) {
      return error.what();
    }
    return "";
  };
  const auto solve = [&](const vlm::Cause& cause) {
    return refusal([&] { system.solve(std::array{cause}); });
  };
  EXPECT_EQ(solve({{1, 0, 0.1}, {}, {}, {}}), "");
  EXPECT_NE(solve({{1, 0, nan}, {}, {}, {}}).find("no finite velocity"), std::string::npos);
  EXPECT_NE(solve({{}, {}, {}, {0.1, 0.1}}).find("turns of 2 strips"), std::string::npos);
  EXPECT_NE(refusal([&] { system.solve(vlm::Matrix(3, 1)); }).find("found 3 rows"), std::string::npos);
  const std::vector<double> few(5, 1.0);
  EXPECT_NE(refusal([&] {
              vlm::velocity_at(system.influence(), {{1, 0, 0}, {}, {}, {}}, few, std::array{Vec3{}}, pool());
            }).find("found 5 rows"),
            std::string::npos);
  for (const Vec3& wake : {Vec3{2, 0, 0}, Vec3{-1, 0, 0}, Vec3{nan, 0, 0}, Vec3{}})
    EXPECT_NE(refusal([&] { vlm::FlowSystem(lattice, wake, pool()); }).find("wake direction: found ("),
              std::string::npos);
  EXPECT_NE(refusal([&] { vlm::make_lattice(drooped_craft(), coarse(), nan); }).find("wake angle"),
            std::string::npos);
}

TEST(FlowSystem, CountsSolves) {
  const vlm::FlowSystem system(vlm::make_lattice(drooped_craft(), coarse()), {1, 0, 0}, pool());
  EXPECT_EQ(system.num_solves(), 0U);
  const std::array causes{vlm::Cause{{1, 0, 0}, {}, {}, {}}, vlm::Cause{{0, 0, 1}, {}, {}, {}}};
  const vlm::Matrix g = system.solve(causes);
  EXPECT_EQ(g.cols, 2U);
  EXPECT_EQ(system.num_solves(), 2U);
}

TEST(FlowSystem, GivesTheSameBitsForAnyNumberOfThreads) {
  const vlm::Lattice lattice = vlm::make_lattice(drooped_craft(), coarse());
  const vlm::Cause cause = vlm::cause_of(general_motion());
  vlm::ThreadPool one(1), three(3);
  EXPECT_EQ(vlm::FlowSystem(lattice, {1, 0, 0}, one).solve({&cause, 1}).values,
            vlm::FlowSystem(lattice, {1, 0, 0}, three).solve({&cause, 1}).values);
}

// Far behind, what else is felt is the bound vortices, of Biot and Savart.
TEST(Influence, IsThatOfOtherWakesAndBoundVorticesFarBehindThem) {
  vlm::Surface tail = rectangle(2, "tail");
  tail.position = {400, 0, 1};
  const vlm::Craft craft = craft_of({rectangle(6), tail});
  const vlm::Lattice lattice = vlm::make_lattice(craft, counts({{10, 4}, {6, 4}}));
  const vlm::Influence influence(lattice, {1, 0, 0});
  const Vec3 point = lattice.control[lattice.rows[1].first_panel];
  std::vector<double> z(influence.state().row_size), wz(lattice.strips.size());
  influence.state().wash_row({point, {0, 0, 1}}, 1, z);
  influence.wake_wash_row({point, {0, 0, 1}}, 1, wz);
  for (std::size_t j = 0; j < 10; ++j)
    EXPECT_NEAR((wz[j] - z[influence.state().place_in_row[4 * j]]) * 4 * std::numbers::pi * 400 * 400 /
                    lattice.strips[j].width,
                1, 0.01);
  for (std::size_t j = 10; j < 16; ++j)
    EXPECT_EQ(wz[j], 0);
}

} // namespace
