#include <string>

#include <gtest/gtest.h>

#include "../support/errors.hpp"
#include "../support/wings.hpp"

#include <vlm/study/operation.hpp>

namespace {

using namespace wings;

std::string error_of(const vlm::Operation& operation, const vlm::Craft& craft) {
  return errors::error_of([&] { vlm::lift_coefficient(operation, craft); });
}

TEST(Operation, LiftToCarryIsWeightOverDynamicPressureAndArea) {
  vlm::Craft craft = craft_of({rectangle(5)}); // chord 1 m, span 5 m
  craft.water.density = 1000;
  // By hand: 1000 kg × 9.80665 m/s² / (½ × 1000 kg/m³ × (2 m/s)² × 5 m²) = 9806.65/10,000, standard gravity
  // of the 3rd CGPM, 1901.
  EXPECT_DOUBLE_EQ(vlm::lift_coefficient({2, 1000, {}}, craft), 0.980665);
  EXPECT_EQ(vlm::lift_coefficient({2, {}, 0.4}, craft), 0.4);
}

TEST(Operation, WhatLacksSaysSo) {
  const vlm::Craft craft = craft_of({rectangle(5)});
  const std::string lacking =
      "the study needs the lift to be carried: give a lift coefficient, or mass and speed together";
  EXPECT_EQ(error_of({{}, 90, {}}, craft), lacking);
  EXPECT_EQ(error_of({5, {}, {}}, craft), lacking);
  EXPECT_EQ(error_of({0, 90, {}}, craft), "speed: found 0.000000 m/s, wanted one above 0");
}

} // namespace
