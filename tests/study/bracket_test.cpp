// Studies beside themselves without the image of a still surface too slow to mirror.

#include <atomic>

#include <gtest/gtest.h>

#include "../support/wings.hpp"

#include <vlm/study/bracket.hpp>

namespace {

using namespace wings;

constexpr double slow = 5, fast = 9, wake_angle = 0.05; // Froude numbers of the depth 1.8 and 3.2

// A wing and a stabilizer below a still surface.
vlm::Craft craft_at(double depth) {
  vlm::Surface stabilizer = tapered(4, 0.6, 0, "stabilizer");
  stabilizer.position = {4, 0, 0.1};
  vlm::Craft craft = craft_of({tapered(6, 0.5, 0.2), stabilizer});
  craft.still_surface = {vlm::Boundary::free, depth, {}, 0};
  return craft;
}

const vlm::Craft near_surface = craft_at(0.8);
// The image is there but too far to be felt: it induces a millionth of what the wing does itself.
const vlm::Craft deep = craft_at(500);
const vlm::LatticeOptions coarse_lattice = counts({{12, 3}, {12, 3}});
constexpr double far_image = 1e-5; // its share in coefficients of order one

std::vector<vlm::PolarPoint> polar_of(const vlm::Craft& craft,
                                      const std::vector<vlm::Condition>& conditions) {
  std::vector<vlm::PolarPoint> points;
  vlm::polar(
      craft, coarse_lattice, conditions, wake_angle,
      [&](std::span<const vlm::PolarPoint> more) { points.insert(points.end(), more.begin(), more.end()); },
      {}, pool());
  return points;
}

vlm::TwistStudy twist_study() {
  vlm::TwistStudy study;
  study.surface = 1;
  study.shape = vlm::linear_twist();
  study.incidences = {-0.02, 0.01};
  study.twists = {0, 0.03};
  study.lift_coefficient = 0.3;
  return study;
}

TEST(Bracket, IsNeededByAFreeSurfaceBelowAFroudeNumberOfThree) {
  // 3 √(9.80665 m/s² · 0.8 m) = 8.4029 m/s.
  EXPECT_TRUE(vlm::needs_bracket(near_surface, 8.40));
  EXPECT_FALSE(vlm::needs_bracket(near_surface, 8.41));
  EXPECT_FALSE(vlm::needs_bracket(near_surface, std::nullopt));
  vlm::Craft other = near_surface;
  other.still_surface.boundary = vlm::Boundary::none;
  EXPECT_FALSE(vlm::needs_bracket(other, slow));
  other.still_surface = {vlm::Boundary::wall, 0.8, 0.5, 0};
  EXPECT_FALSE(vlm::needs_bracket(other, slow));
}

TEST(Bracket, OfAPolarHasTheFiguresOfGreatDepth) {
  const std::vector<vlm::Condition> conditions{{0.03, 0, {}}, {0.06, 0, {}}};
  const auto without =
      vlm::polar_without_image(near_surface, coarse_lattice, conditions, wake_angle, slow, {}, pool());
  const auto with = polar_of(near_surface, conditions), far_below = polar_of(deep, conditions);
  ASSERT_EQ(without.size(), 2U);
  for (std::size_t i = 0; i < 2; ++i) {
    EXPECT_NEAR(without[i].lift_coefficient, far_below[i].lift_coefficient, far_image);
    EXPECT_NEAR(without[i].induced_drag_coefficient, far_below[i].induced_drag_coefficient, far_image);
    EXPECT_GT(without[i].lift_coefficient, 1.05 * with[i].lift_coefficient);
  }
}

TEST(Bracket, OfATwistStudyHasTheFiguresOfGreatDepth) {
  const vlm::TwistStudy study = twist_study();
  const auto without =
      vlm::twist_study_without_image(near_surface, coarse_lattice, study, wake_angle, slow, {}, pool());
  std::vector<vlm::TwistPoint> far_below;
  vlm::run_twist_study(
      deep, vlm::twist_responses(deep, coarse_lattice, study, wake_angle, pool()), study,
      [&](std::span<const vlm::TwistPoint> more) { far_below.assign(more.begin(), more.end()); }, {}, pool());
  ASSERT_EQ(without.size(), 4U);
  ASSERT_EQ(far_below.size(), 4U);
  for (std::size_t i = 0; i < 4; ++i) {
    EXPECT_EQ(without[i].incidence, far_below[i].incidence);
    EXPECT_EQ(without[i].twist, far_below[i].twist);
    EXPECT_NEAR(without[i].alpha.value(), far_below[i].alpha.value(), far_image);
    EXPECT_NEAR(without[i].induced_drag_coefficient.value(), far_below[i].induced_drag_coefficient.value(),
                far_image);
  }
}

TEST(Bracket, OfDerivativesHasTheFiguresOfGreatDepthAndNoneAgainstDepth) {
  const vlm::Condition at{0.05, 0.03, {}};
  const auto without =
      vlm::derivatives_without_image(near_surface, coarse_lattice, at, wake_angle, slow, pool());
  const auto far_below = vlm::derivatives(
      vlm::make_responses(deep, coarse_lattice, wake_angle, {}, pool(), vlm::Motions::all), at);
  ASSERT_EQ(without.size(), 30U); // six components against five motions
  for (std::size_t i = 0; i < 30; ++i) {
    EXPECT_EQ(without[i].name, far_below[i].name);
    EXPECT_NEAR(without[i].value, far_below[i].value, far_image * (1 + std::abs(far_below[i].value)))
        << without[i].name;
  }
}

TEST(Bracket, IsEmptyWhereTheImageHolds) {
  const std::vector<vlm::Condition> conditions{{0.03, 0, {}}};
  EXPECT_TRUE(vlm::polar_without_image(near_surface, coarse_lattice, conditions, wake_angle, fast, {}, pool())
                  .empty());
  EXPECT_TRUE(vlm::twist_study_without_image(near_surface, coarse_lattice, twist_study(), wake_angle, fast,
                                             {}, pool())
                  .empty());
  EXPECT_TRUE(
      vlm::derivatives_without_image(near_surface, coarse_lattice, conditions[0], wake_angle, fast, pool())
          .empty());
}

TEST(Bracket, IsEmptyIfCancelledAndTellsNoProgress) {
  std::atomic<bool> cancel = false;
  vlm::RunControl control;
  control.cancel = &cancel;
  bool told = false;
  control.progress = [&](std::size_t, std::size_t) { told = true; };
  const std::vector<vlm::Condition> conditions{{0.03, 0, {}}};
  const auto points = [&] {
    return vlm::polar_without_image(near_surface, coarse_lattice, conditions, wake_angle, slow, control,
                                    pool())
               .size() +
           vlm::twist_study_without_image(near_surface, coarse_lattice, twist_study(), wake_angle, slow,
                                          control, pool())
               .size();
  };
  EXPECT_EQ(points(), 5U);
  EXPECT_FALSE(told);
  cancel = true;
  EXPECT_EQ(points(), 0U);
}

} // namespace
