// What the C interface gives beside what the C++ library gives for the same: to the last bit.

#pragma once

#include <optional>
#include <vector>

#include <gtest/gtest.h>

#include <vlm/force/polar_point.hpp>
#include <vlm/force/span_loading.hpp>
#include <vlm/vlm.h>

#include "handles.hpp"

#define ASSERT_DONE(call) ASSERT_EQ(call, VLM_OK) << vlm_message()

inline Handle<vlm_case> case_read() {
  Handle<vlm_case> handle(vlm_case_free);
  EXPECT_EQ(vlm_case_read(ridden.c_str(), &handle.get), VLM_OK) << vlm_message();
  return handle;
}

inline void expect_same(const vlm_figure& c, const std::optional<double>& cpp) {
  EXPECT_EQ(c.defined, cpp.has_value());
  EXPECT_EQ(c.value, cpp.value_or(0));
}

inline void expect_same(const vlm_forces& c, const vlm::PolarPoint& cpp) {
  EXPECT_EQ(c.condition.alpha, cpp.condition.alpha);
  EXPECT_EQ(c.condition.beta, cpp.condition.beta);
  EXPECT_EQ(c.condition.roll_rate, cpp.condition.rates.x);
  EXPECT_EQ(c.condition.pitch_rate, cpp.condition.rates.y);
  EXPECT_EQ(c.condition.yaw_rate, cpp.condition.rates.z);
  EXPECT_EQ(c.wake_angle, cpp.wake_angle);
  EXPECT_EQ(c.lift_coefficient, cpp.lift_coefficient);
  EXPECT_EQ(c.induced_drag_coefficient, cpp.induced_drag_coefficient);
  EXPECT_EQ(c.side_force_coefficient, cpp.side_force_coefficient);
  EXPECT_EQ(c.rolling_moment_coefficient, cpp.rolling_moment_coefficient);
  EXPECT_EQ(c.pitching_moment_coefficient, cpp.pitching_moment_coefficient);
  EXPECT_EQ(c.yawing_moment_coefficient, cpp.yawing_moment_coefficient);
  expect_same(c.near_drag_excess, cpp.near_drag_excess);
  expect_same(c.span_efficiency, cpp.span_efficiency);
  expect_same(c.centre_of_lift, cpp.centre_of_lift);
  expect_same(c.neutral_point, cpp.neutral_point);
}

inline void expect_same(const vlm_part_forces& c, const vlm::PartLoads& cpp) {
  EXPECT_EQ(c.lift_coefficient, cpp.lift);
  EXPECT_EQ(c.induced_drag_coefficient, cpp.induced_drag);
  EXPECT_EQ(c.near_drag_coefficient, cpp.near_drag);
  EXPECT_EQ(c.side_force_coefficient, cpp.side_force);
  EXPECT_EQ(c.rolling_moment_coefficient, cpp.rolling_moment);
  EXPECT_EQ(c.pitching_moment_coefficient, cpp.pitching_moment);
  EXPECT_EQ(c.yawing_moment_coefficient, cpp.yawing_moment);
  expect_same(c.lift_share, cpp.share);
}

inline void expect_same(const std::vector<vlm_strip_loading>& c, const vlm::SpanLoading& cpp) {
  ASSERT_EQ(c.size(), cpp.circulation.size());
  for (std::size_t i = 0; i < c.size(); ++i) {
    EXPECT_EQ(c[i].circulation, cpp.circulation[i]);
    EXPECT_EQ(c[i].lift_per_metre, cpp.lift_per_metre[i]);
    EXPECT_EQ(c[i].lift_coefficient, cpp.lift_coefficient[i]);
  }
}

inline vlm::SpanLoading loading_of(const vlm::Lattice& lattice, const vlm::PolarPoint& point, double speed,
                                   double density) {
  std::vector<double> circulation = point.strip_circulation;
  for (double& gamma : circulation)
    gamma *= speed;
  return vlm::span_loading(lattice, circulation, speed, density);
}
