#include <vlm/shape/section_polar.hpp>

#include <cmath>

#include <gtest/gtest.h>

#include <vlm/base/error.hpp>

namespace {

using namespace vlm;

const SectionPolar grid{{-0.2, 0.1, 0.7}, {2e5, 1e6}, {0.012, 0.008, 0.010, 0.007, 0.015, 0.011}};

TEST(SectionPolar, ReproducesItsOwnGrid) {
  for (std::size_t i = 0; i < 3; ++i)
    for (std::size_t j = 0; j < 2; ++j) {
      EXPECT_DOUBLE_EQ(drag_coefficient(grid, grid.lift_coefficient[i], grid.reynolds[j]),
                       grid.drag_coefficient[2 * i + j]);
      EXPECT_TRUE(covers(grid, grid.lift_coefficient[i], grid.reynolds[j]));
    }
}

TEST(SectionPolar, IsLinearInLiftAndInTheLogarithmOfReynoldsNumber) {
  // A third of the way from 0.1 to 0.7: 0.010 + 0.005/3 and 0.007 + 0.004/3. √(2e5·1e6) is half way: their
  // mean.
  EXPECT_NEAR(drag_coefficient(grid, 0.3, 2e5), 0.010 + 0.005 / 3, 1e-15);
  EXPECT_NEAR(drag_coefficient(grid, 0.3, std::sqrt(2e11)), (0.017 + 0.009 / 3) / 2, 1e-15);
}

TEST(SectionPolar, HoldsItsEnds) {
  EXPECT_DOUBLE_EQ(drag_coefficient(grid, -0.9, 1e4), 0.012);
  EXPECT_DOUBLE_EQ(drag_coefficient(grid, 1.4, 9e6), 0.011);
  EXPECT_DOUBLE_EQ(drag_coefficient(grid, 0.1, 9e6), 0.007);
  EXPECT_FALSE(covers(grid, 0.71, 5e5));
  EXPECT_FALSE(covers(grid, 0.3, 1.99e5));
}

TEST(SectionPolar, OfOneEntryIsConstant) {
  const SectionPolar one{{0.2}, {5e5}, {0.009}};
  EXPECT_EQ(drag_coefficient(one, 0.9, 1e5), 0.009);
  EXPECT_EQ(drag_coefficient(one, -0.9, 1e6), 0.009);
}

TEST(SectionPolar, IsRefusedIfItIsNoGrid) {
  EXPECT_NO_THROW(check(grid));
  SectionPolar falling = grid, short_of_one = grid, of_no_drag = grid, of_no_flow = grid;
  falling.lift_coefficient[2] = 0.1;
  short_of_one.drag_coefficient.pop_back();
  of_no_drag.drag_coefficient[4] = 0;
  of_no_flow.reynolds[0] = 0;
  for (const SectionPolar& polar : {falling, short_of_one, of_no_drag, of_no_flow, SectionPolar{}})
    EXPECT_THROW(check(polar), Error);
}

} // namespace
