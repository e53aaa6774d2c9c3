#include <gtest/gtest.h>

#include "../support/wings.hpp"

#include <vlm/base/error.hpp>

#include <vlm/flow/symmetry.hpp>
#include <vlm/flow/system.hpp>

namespace {

using namespace wings;

vlm::Craft craft_on_body(double height) {
  vlm::Surface wing = tapered(6, 0.5);
  wing.position = {0, 0, height};
  vlm::Surface tail = tapered(4, 0.8, 0, "tail");
  for (vlm::Station& station : tail.stations)
    station.y *= 0.5, station.chord *= 0.5;
  tail.position = {5, 0, 0};
  vlm::Craft craft = craft_of({wing, tail});
  craft.fuselage = body(-0.5, 7, 0.25, 0.3, 0.4, 1);
  return craft;
}

vlm::Vec3 node(const vlm::Lattice& l, std::size_t i) {
  return {l.node_x[i], l.node_y[i], l.node_z[i]};
}

TEST(Shell, SurfacesAreCutOffAtTheSkin) {
  const vlm::Craft craft = craft_on_body(0.05);
  const vlm::Skin skin(*craft.fuselage);
  const vlm::Lattice l = vlm::make_lattice(craft, counts({{12, 6}, {8, 4}}));
  ASSERT_EQ(l.rows.size(), 5U); // two halves each, and the shell
  ASSERT_EQ(l.roots.size(), 4U);
  EXPECT_TRUE(l.rows.back().shell);
  EXPECT_EQ(l.strips.size(), 20U);
  for (std::size_t r = 0; r < 4; ++r) {
    const vlm::Row& row = l.rows[r];
    const std::size_t end = row.ends[0] == vlm::RowEnd::skin ? 0 : 1;
    EXPECT_EQ(row.ends[1 - end], vlm::RowEnd::tip);
    const std::size_t first = row.first_node + (end == 0 ? 0 : row.num_strips * row.nodes_per_edge());
    for (std::size_t k = 0; k < row.nodes_per_edge(); ++k) {
      const vlm::Vec3 p = node(l, first + k);
      EXPECT_NEAR(std::abs(p.y), skin.half_width_at(p.x, p.z), 1e-9);
    }
    ASSERT_FALSE(row.skin_path[end].empty());
    EXPECT_EQ(row.skin_path[end].back(), (vlm::Vec3{skin.tail(), 0, skin.centre(skin.tail())}));
  }
}

TEST(Shell, AMeridianPassesThroughEveryRoot) {
  const vlm::Craft craft = craft_on_body(0.05);
  const vlm::Lattice l = vlm::make_lattice(craft, counts({{12, 6}, {8, 4}}));
  const vlm::Row& shell = l.rows.back();
  const auto height_at = [&](double x) { // of the starboard meridian
    const std::size_t first = shell.first_node + 3 * shell.num_strips / 4 * shell.nodes_per_edge();
    std::size_t k = 0;
    while (l.node_x[first + k + 1] < x)
      ++k;
    const vlm::Vec3 a = node(l, first + k), b = node(l, first + k + 1);
    return a.z + (x - a.x) / (b.x - a.x) * (b.z - a.z);
  };
  EXPECT_NEAR(height_at(0.5), 0.05, 1e-3);
  EXPECT_NEAR(height_at(5.25), 0, 1e-3);
}

TEST(Shell, PointsAndNormalsLieOnTheSkinAndLookOutward) {
  const vlm::Craft craft = craft_on_body(0.05);
  const vlm::Skin skin(*craft.fuselage);
  const vlm::Lattice l = vlm::make_lattice(craft, counts({{12, 6}, {8, 4}}));
  const vlm::Row& shell = l.rows.back();
  for (std::size_t p = shell.first_panel; p < l.num_panels(); ++p) {
    const vlm::Vec3 c = l.control[p];
    EXPECT_NEAR(std::abs(c.y), skin.half_width_at(c.x, c.z), 1e-9);
    EXPECT_GT(c.y * l.normal[p].y + (c.z - skin.centre(c.x)) * l.normal[p].z, 0);
  }
}

TEST(Shell, ASymmetricCraftStillSplitsIntoHalves) {
  const vlm::Craft craft = craft_on_body(0.05);
  const vlm::LatticeOptions options = counts({{12, 6}, {8, 4}});
  const vlm::Lattice l = vlm::make_lattice(craft, options);
  const vlm::FlowSystem half(l, {1, 0, 0}, pool()), whole(l, {1, 0, 0}, pool(), vlm::SystemSize::full);
  EXPECT_TRUE(half.split_by_symmetry());
  const std::vector<vlm::Cause> causes{{{1, 0.2, 0.1}, {0.3, 0.2, 0.1}, {0.5, 0, 0}, {}}};
  const vlm::Matrix a = half.solve(causes), b = whole.solve(causes);
  for (std::size_t p = 0; p < l.num_panels(); ++p)
    EXPECT_NEAR(a(p, 0), b(p, 0), 1e-6);
}

TEST(Shell, CountsThatCannotBeLaidSayWhichCan) {
  const auto message = [](vlm::LatticeOptions options) {
    try {
      vlm::make_lattice(craft_on_body(0.05), options);
    } catch (const vlm::Error& e) {
      return std::string(e.what());
    }
    return std::string();
  };
  vlm::LatticeOptions options = counts({{12, 6}, {8, 4}});
  options.body = {24, 10};
  EXPECT_EQ(message(options),
            "fuselage: found 24 rings of 10 panels around it, wanted at least 4 rings and a "
            "multiple of 4 around");
  options = counts({{11, 6}, {8, 4}});
  EXPECT_EQ(message(options),
            "surface 'wing': 11 strips cannot be laid: the fuselage cuts the span in the middle, "
            "so their number is even; the nearest count that can is 10 or 12");
}

} // namespace
