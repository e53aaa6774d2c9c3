#include <gtest/gtest.h>

#include <vlm/flow/influence.hpp>

#include "../support/wings.hpp"

namespace {

using vlm::Vec3;
constexpr double two_pi = 2 * std::numbers::pi;

TEST(VortexSegment, TendsToTheInfiniteLineAtSecondOrder) {
  // At distance 1 abreast of the middle of a segment of length 2a: (1/2π)·a/√(a² + 1), short of 1/2π by 1/(4π
  // a²).
  const auto shortfall = [](double a) {
    return 1 / two_pi -
           vlm::segment_velocity(Vec3{0, 1, 0} - Vec3{-a, 0, 0}, Vec3{0, 1, 0} - Vec3{a, 0, 0}).z;
  };
  EXPECT_NEAR(wings::observed_order(0, shortfall(50), shortfall(50) + shortfall(100)), 2, 0.01);
  EXPECT_NEAR(shortfall(50) * 2 * two_pi * 2500, 1, 1e-3);
}

TEST(VortexSegment, ReversingItsEndsReversesTheVelocity) {
  const Vec3 a{0.3, -0.2, 0.5}, b{-0.7, 0.4, 0.1};
  EXPECT_EQ(vlm::segment_velocity(a, b), -vlm::segment_velocity(b, a));
}

TEST(VortexSegment, InducesNothingOnItsOwnLine) {
  const Vec3 a{0.1, 0.2, 0.3}, direction{1.0 / 3, 2.0 / 3, 2.0 / 3};
  for (const double t : {-5.0, -1e-3, 0.25, 0.5, 0.999, 1.001, 7.0}) {
    const Vec3 point = a + t * direction;
    const Vec3 v = vlm::segment_velocity(point - a, point - (a + direction));
    EXPECT_LT(vlm::norm(v), 1e-10) << "t = " << t;
  }
}

TEST(VortexRay, IsTheLimitOfALongSegment) {
  const Vec3 start{0.2, -0.1, 0.3}, along = vlm::normalized({1, 0.2, 0.1}), point{0.5, 0.4, -0.2};
  const Vec3 ray = vlm::ray_velocity(point - start, along);
  const Vec3 segment = vlm::segment_velocity(point - start, point - (start + 1e7 * along));
  EXPECT_LT(vlm::norm(ray - segment), 1e-12);
}

TEST(VortexRay, TwoOppositeRaysMakeAnInfiniteLine) {
  const Vec3 along{1, 0, 0}, point{0, 2, 0};
  const Vec3 both = vlm::ray_velocity(point, along) - vlm::ray_velocity(point, -along);
  EXPECT_NEAR(both.z, 1 / (two_pi * 2), 1e-15);
}

TEST(VortexRay, StaysExactCloseBehindItsStart) {
  // Far downstream, a hair off the axis, r − d·r cancels: the velocity is that of an infinite line there.
  const Vec3 v = vlm::ray_velocity({1e4, 1e-5, 0}, {1, 0, 0});
  EXPECT_NEAR(v.z * two_pi * 1e-5, 1, 1e-12);
}

} // namespace
