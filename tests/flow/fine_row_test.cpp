#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <vector>

#include <vlm/flow/fine_row.hpp>
#include <vlm/flow/influence_state.hpp>

#include "../support/wings.hpp"

namespace {

using namespace wings;

// Lan (J. Aircraft 11, 1974): circulations times their number are samples of a polynomial in cos θ at
// θ = (2k − 1)π/2n, here of every degree that so many panels can hold.
TEST(FineRow, TakesAPolynomialAtMorePlaces) {
  for (const std::size_t panels : {2U, 5U, 8U}) {
    const vlm::Lattice lattice =
        vlm::make_lattice(craft_of({rectangle(4)}), counts({{4, static_cast<int>(panels)}}));
    const vlm::FineRow fine = vlm::fine_row(lattice, lattice.rows[0]);
    ASSERT_GT(fine.lines, panels);
    for (std::size_t degree = 0; degree < panels; ++degree) {
      const auto sample = [&](std::size_t i, std::size_t count) {
        const double theta =
            (2 * static_cast<double>(i) + 1) * std::numbers::pi / (2 * static_cast<double>(count));
        return std::cos(static_cast<double>(degree) * theta) / static_cast<double>(count);
      };
      for (std::size_t i = 0; i < fine.lines; ++i) {
        double circulation = 0;
        for (std::size_t k = 0; k < panels; ++k)
          circulation += fine.share(i, k) * sample(k, panels);
        EXPECT_NEAR(circulation, sample(i, fine.lines), 1e-14) << panels << ' ' << degree << ' ' << i;
      }
    }
  }
}

// The shell as it is seen from its fine lines, by single segments: from a tail clear of it, whose row has no
// root on it, and as plain lines from the wing that ends on its meridians and from a point in the water.
TEST(FineRow, OfAShellIsWhatAClearSurfaceSees) {
  vlm::Craft craft = craft_with_all();
  craft.still_surface = {};
  std::erase_if(craft.surfaces, [](const vlm::Surface& s) { return s.pierces; });
  vlm::LatticeOptions options = counts_with_all();
  options.counts.pop_back();
  const vlm::Lattice lattice = vlm::make_lattice(craft, options);
  const vlm::Influence influence(lattice, {1, 0, 0});
  const vlm::Influence::State& state = influence.state();
  const vlm::Row& shell = lattice.rows.back();
  const vlm::FineRow fine = vlm::fine_row(lattice, shell);
  EXPECT_EQ(fine.core, 0);
  const auto fine_node = [&](std::size_t edge, std::size_t i) {
    const std::size_t at = edge * (fine.lines + 1) + i;
    return vlm::Vec3{fine.x[at], fine.y[at], fine.z[at]};
  };
  for (std::size_t e = 0; e <= shell.num_strips; ++e) {
    const vlm::Vec3 end = fine_node(e, fine.lines);
    EXPECT_NEAR(norm(end - lattice.node(shell, e, shell.panels_per_strip)), 0, 1e-12); // the tail point
  }
  const vlm::Vec3 point = lattice.control[lattice.rows[2].first_panel + 5], up{0, 0.6, 0.8};
  ASSERT_EQ(lattice.rows[2].ends[0], vlm::RowEnd::tip);
  std::vector<double> clear(state.row_size), rooted(state.row_size), water(state.row_size);
  state.wash_row({point, up}, 2, clear);
  state.wash_row({point, up}, 0, rooted);
  state.wash_row({point, up}, std::nullopt, water);
  // Horseshoes from a line over the rest of its strip's edges to the tail.
  const auto horseshoe = [&](std::size_t strip, std::size_t line, std::size_t last, const auto& node) {
    vlm::Vec3 v = vlm::segment_velocity(point - node(strip, line), point - node(strip + 1, line));
    for (std::size_t i = line; i < last; ++i) {
      v += vlm::segment_velocity(point - node(strip + 1, i), point - node(strip + 1, i + 1));
      v += vlm::segment_velocity(point - node(strip, i + 1), point - node(strip, i));
    }
    return dot(v, up);
  };
  const auto node = [&](std::size_t edge, std::size_t k) { return lattice.node(shell, edge, k); };
  double greatest = 0;
  for (const std::size_t strip : {std::size_t{0}, std::size_t{3}})
    for (std::size_t k = 0; k < shell.panels_per_strip; ++k) {
      const std::size_t in_row = state.place_in_row[shell.first_panel + strip * shell.panels_per_strip + k];
      double seen = 0;
      for (std::size_t i = 0; i < fine.lines; ++i)
        seen += fine.share(i, k) * horseshoe(strip, i, fine.lines, fine_node);
      EXPECT_NEAR(clear[in_row], seen, 1e-12);
      const double plain = horseshoe(strip, k, shell.panels_per_strip, node);
      EXPECT_NEAR(rooted[in_row], plain, 1e-12);
      EXPECT_NEAR(water[in_row], plain, 1e-12);
      greatest = std::max(greatest, std::abs(seen - plain));
    }
  EXPECT_GT(greatest, 1e-4); // they differ
}

} // namespace
