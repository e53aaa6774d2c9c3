#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include <vlm/flow/fine_row.hpp>

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

} // namespace
