// What the studies of the C interface give.

#include <cmath>
#include <vector>

#include <gtest/gtest.h>

#include <vlm/base/thread_pool.hpp>
#include <vlm/file/case.hpp>
#include <vlm/file/with_record.hpp>
#include <vlm/vlm.h>

#include "../apps/run_program.hpp"
#include "beside_cpp.hpp"
#include "handles.hpp"

namespace {

using std::string;

struct Told {
  std::vector<std::size_t> done;
  std::size_t total = 0, stop_at = 0;
};

int tell(std::size_t done, std::size_t total, void* user) {
  Told& told = *static_cast<Told*>(user);
  told.done.push_back(done);
  told.total = total;
  return done == told.stop_at;
}

TEST(CInterface, RunsPolarsAndWritesTheirRecord) {
  const TestFolder folder;
  const auto handle = case_read();
  const std::vector<vlm_condition> conditions{{0, 0, 0, 0, 0}, gliding, {0.1, 0, 0, 0, 0}};
  const string record = (folder / "polar.h5").string();
  Told told;
  const vlm_run run{tell, &told, 1, record.c_str(), "a test"};
  Handle<vlm_polar> polar(vlm_polar_free);
  ASSERT_DONE(vlm_run_polar(handle.get, conditions.data(), 3, nullptr, &run, &polar.get));
  EXPECT_EQ(told.done, (std::vector<std::size_t>{1, 2, 3}));
  EXPECT_EQ(told.total, 3U);
  EXPECT_EQ(run_program("h5ls", {record + "/polar"}).exit_code, 0);
  EXPECT_NE(run_program("h5dump", {"-a", "/command", record}).out.find("a test"), string::npos);

  vlm::Case cpp = vlm::read_case(ridden);
  vlm::ThreadPool pool(1);
  const vlm::Lattice lattice = vlm::make_lattice(cpp.craft, cpp.lattice);
  vlm::PolarChoice choice;
  for (const vlm_condition& c : conditions)
    choice.conditions.push_back({c.alpha, 0, {}});
  const vlm::PolarResult result = vlm::polar_with_record(cpp, lattice, choice, {}, {}, pool);
  std::size_t count = 0;
  ASSERT_DONE(vlm_polar_num_points(polar.get, &count));
  ASSERT_EQ(count, 3U);
  std::vector<vlm_forces> points(3);
  ASSERT_DONE(vlm_polar_forces(polar.get, points.data(), 3));
  for (std::size_t i = 0; i < 3; ++i)
    expect_same(points[i], result.points[i]);
  vlm_part_forces parts[2];
  ASSERT_DONE(vlm_polar_part_forces(polar.get, 1, parts, 2));
  expect_same(parts[1], result.points[1].parts[1]);
  std::vector<vlm_strip_loading> loading(lattice.strips.size());
  ASSERT_DONE(vlm_polar_span_loading(polar.get, 2, 6, loading.data(), loading.size()));
  expect_same(loading, loading_of(lattice, result.points[2], 6, cpp.craft.water.density));

  ASSERT_DONE(vlm_polar_num_without_image(polar.get, &count)); // its speed is not known
  EXPECT_EQ(count, 0U);
}

TEST(CInterface, PolarsBelowTheFroudeNumberOfTheImageAreABracket) {
  const auto handle = case_read();
  const vlm_operation slow{{4, 1}, {0, 0}, {0, 0}};
  ASSERT_DONE(vlm_case_set_operation(handle.get, &slow));
  int needed = 7;
  ASSERT_DONE(vlm_case_needs_bracket(handle.get, 5.14, &needed)); // 3 √(9.80665 · 0.3) = 5.146
  EXPECT_EQ(needed, 1);
  ASSERT_DONE(vlm_case_needs_bracket(handle.get, 5.15, &needed));
  EXPECT_EQ(needed, 0);
  Handle<vlm_polar> polar(vlm_polar_free);
  const double wake = 0.05;
  ASSERT_DONE(vlm_run_polar(handle.get, &gliding, 1, &wake, nullptr, &polar.get));
  std::size_t count = 0;
  ASSERT_DONE(vlm_polar_num_without_image(polar.get, &count));
  ASSERT_EQ(count, 1U);
  vlm_forces with, without;
  ASSERT_DONE(vlm_polar_forces(polar.get, &with, 1));
  ASSERT_DONE(vlm_polar_forces_without_image(polar.get, &without, 1));
  EXPECT_EQ(with.wake_angle, wake);
  EXPECT_GT(without.lift_coefficient, 1.01 * with.lift_coefficient); // the still surface takes lift
}

TEST(CInterface, CancelledStudiesKeepWhatWasDone) {
  const auto handle = case_read();
  const vlm_condition conditions[3] = {gliding, gliding, gliding};
  Told told;
  told.stop_at = 2;
  const vlm_run run{tell, &told, 1, nullptr, nullptr};
  const double wake = 0.05;
  Handle<vlm_polar> polar(vlm_polar_free);
  ASSERT_EQ(vlm_run_polar(handle.get, conditions, 3, &wake, &run, &polar.get), VLM_CANCELLED);
  EXPECT_EQ(string(vlm_message()), string("vlm_run_polar: ") + vlm_status_text(VLM_CANCELLED));
  std::size_t count = 0;
  ASSERT_DONE(vlm_polar_num_points(polar.get, &count));
  EXPECT_EQ(count, 2U);

  const double speeds[] = {6, 7, 8};
  Handle<vlm_trim> trim(vlm_trim_free);
  ASSERT_EQ(vlm_run_trim(handle.get, speeds, 3, &run, &trim.get), VLM_CANCELLED);
  ASSERT_DONE(vlm_trim_num_points(trim.get, &count));
  EXPECT_EQ(count, 2U);
  const char* why = nullptr;
  ASSERT_DONE(vlm_trim_mark_refusal(trim.get, VLM_TAKE_OFF, &why));
  EXPECT_NE(string(why).find("cancelled"), string::npos);

  std::vector<double> many(10'000);
  for (std::size_t i = 0; i < many.size(); ++i)
    many[i] = 1e-6 * static_cast<double>(i);
  const double zero = 0;
  const vlm_operation operation{{7, 1}, {0, 0}, {0, 0}};
  ASSERT_DONE(vlm_case_set_operation(handle.get, &operation));
  const vlm_twist_study study{1, nullptr, many.data(), many.size(), &zero, 1, {0, 0}, {0, 0}, {0, 0}};
  const vlm_run at_once{[](std::size_t, std::size_t, void*) { return 1; }, nullptr, 1, nullptr, nullptr};
  Handle<vlm_twist> twist(vlm_twist_free);
  ASSERT_EQ(vlm_run_twist_study(handle.get, &study, &at_once, &twist.get), VLM_CANCELLED);
  ASSERT_DONE(vlm_twist_num_points(twist.get, &count));
  EXPECT_GT(count, 0U);
  EXPECT_LT(count, many.size());
}

TEST(CInterface, RunsTwistStudies) {
  const TestFolder folder;
  const auto handle = case_read();
  const vlm_operation operation{{7, 1}, {0, 0}, {0, 0}};
  ASSERT_DONE(vlm_case_set_operation(handle.get, &operation));
  const double fraction[] = {0, 0.5, 1}, value[] = {0, 0.1, 1};
  ASSERT_DONE(vlm_case_add_twist_shape(handle.get, "late", fraction, value, 3, VLM_CURVE_SMOOTH));
  const double incidences[] = {-0.04, -0.02, 0}, twists[] = {-0.02, 0.02};
  const vlm_twist_study study{1, "late", incidences, 3, twists, 2, {-0.2, 1}, {0.1, 1}, {0.05, 1}};
  const string record = (folder / "twist.h5").string();
  const vlm_run run{nullptr, nullptr, 2, record.c_str(), nullptr};
  Handle<vlm_twist> twist(vlm_twist_free);
  ASSERT_DONE(vlm_run_twist_study(handle.get, &study, &run, &twist.get));
  EXPECT_EQ(run_program("h5ls", {record + "/twist"}).exit_code, 0);
  EXPECT_NE(run_program("h5dump", {"-a", "/command", record}).out.find("through the C interface"),
            string::npos);

  vlm::Case cpp = vlm::read_case(ridden);
  cpp.operation.speed = 7;
  vlm::TwistStudy wanted;
  wanted.surface = 1;
  wanted.shape = {"late", {0, 0.5, 1}, {0, 0.1, 1}, vlm::Curve::smooth};
  wanted.incidences = {-0.04, -0.02, 0};
  wanted.twists = {-0.02, 0.02};
  wanted.lift_coefficient = vlm::lift_coefficient(cpp.operation, cpp.craft);
  vlm::ThreadPool pool(1);
  const double wake =
      vlm::operating_wake(cpp.craft, cpp.lattice, cpp.wake, wanted.lift_coefficient, pool).angle;
  const vlm::Responses responses = vlm::twist_responses(cpp.craft, cpp.lattice, wanted, wake, pool);
  const vlm::TwistResult result =
      vlm::twist_study_with_record(cpp, responses, wanted, {-0.2, 0.1, 0.05}, {}, {}, pool);
  const vlm::TwistMarks marks = vlm::twist_marks(result, responses.reference);

  std::size_t count = 0;
  ASSERT_DONE(vlm_twist_num_points(twist.get, &count));
  ASSERT_EQ(count, 6U);
  std::vector<vlm_twist_point> points(6);
  ASSERT_DONE(vlm_twist_points(twist.get, points.data(), 6));
  for (std::size_t i = 0; i < 6; ++i) {
    const vlm::TwistPoint& p = result.points[i];
    EXPECT_EQ(points[i].incidence, p.incidence);
    EXPECT_EQ(points[i].twist, p.twist);
    expect_same(points[i].alpha, p.alpha);
    expect_same(points[i].lift_slope, p.lift_slope);
    expect_same(points[i].zero_lift_moment, p.zero_lift_moment);
    expect_same(points[i].pitching_moment_coefficient, p.pitching_moment_coefficient);
    expect_same(points[i].static_margin, p.static_margin);
    expect_same(points[i].centre_of_lift, p.centre_of_lift);
    expect_same(points[i].neutral_point, p.neutral_point);
    expect_same(points[i].surface_lift_coefficient, p.surface_lift_coefficient);
    expect_same(points[i].induced_drag_coefficient, p.induced_drag_coefficient);
    expect_same(points[i].near_drag_excess, p.near_drag_excess);
    expect_same(points[i].peak_local_lift, p.peak_local_lift);
    EXPECT_EQ(points[i].peak_strip, p.peak_strip);
  }
  vlm_twist_marks found;
  ASSERT_DONE(vlm_twist_find_marks(twist.get, &found));
  EXPECT_EQ(found.least_drag.defined, marks.least_drag.has_value());
  EXPECT_EQ(found.least_drag.index, marks.least_drag.value_or(0));
  EXPECT_EQ(found.within_limits.defined, marks.within_limits.has_value());
  EXPECT_EQ(found.within_limits.index, marks.within_limits.value_or(0));
}

TEST(CInterface, TrimsClaimTheirRecordBeforeTheStudy) {
  const TestFolder folder;
  const auto handle = case_read();
  const double speed = 1; // at which there is no balance
  string record = (folder / "trim.h5").string();
  const vlm_run run{[](std::size_t, std::size_t, void* user) {
                      return std::filesystem::exists(*static_cast<string*>(user) + ".partial") ? 0 : 1;
                    },
                    &record, 1, record.c_str(), nullptr};
  Handle<vlm_trim> trim(vlm_trim_free);
  ASSERT_DONE(vlm_run_trim(handle.get, &speed, 1, &run, &trim.get));
  EXPECT_TRUE(std::filesystem::exists(record));
}

TEST(CInterface, RunsTrims) {
  const TestFolder folder;
  const auto handle = case_read();
  const double speeds[] = {2, 6, 8};
  const string record = (folder / "trim.h5").string();
  const vlm_run run{nullptr, nullptr, 1, record.c_str(), nullptr};
  Handle<vlm_trim> trim(vlm_trim_free);
  ASSERT_DONE(vlm_run_trim(handle.get, speeds, 3, &run, &trim.get));
  EXPECT_EQ(run_program("h5ls", {record + "/trim"}).exit_code, 0);

  const vlm::Case cpp = vlm::read_case(ridden);
  vlm::ThreadPool pool(1);
  const vlm::TrimResult result = vlm::trim_with_marks(
      vlm::make_ride(cpp.craft, cpp.lattice, cpp.wake, cpp.drag, *cpp.loading), speeds, {}, pool);
  std::size_t count = 0;
  ASSERT_DONE(vlm_trim_num_points(trim.get, &count));
  ASSERT_EQ(count, 3U);
  vlm_trim_point points[3];
  ASSERT_DONE(vlm_trim_points(trim.get, points, 3));
  for (std::size_t i = 0; i < 3; ++i) {
    const vlm::TrimPoint& p = result.points[i];
    EXPECT_EQ(points[i].speed, p.speed);
    EXPECT_EQ(points[i].balanced, p.solved());
    EXPECT_EQ(points[i].alpha, p.state.alpha);
    EXPECT_EQ(points[i].load_station, p.state.load_station);
    EXPECT_EQ(points[i].lift, p.state.lift);
    EXPECT_EQ(points[i].drag, p.state.drag);
    EXPECT_EQ(points[i].drive_force, p.state.drive_force);
    EXPECT_EQ(points[i].wave_slope, p.state.wave_slope);
    EXPECT_EQ(points[i].deceleration, p.state.deceleration);
    EXPECT_EQ(points[i].power, p.figures.power);
    EXPECT_EQ(points[i].wake_angle, p.wake_angle);
    expect_same(points[i].lift_to_drag, p.lift_to_drag);
    expect_same(points[i].front_foot_share, p.front_foot_share);
    expect_same(points[i].share_of_limit, p.figures.share_of_limit);
    const char* why = nullptr;
    ASSERT_DONE(vlm_trim_refusal(trim.get, i, &why));
    EXPECT_EQ(why, p.refusal);
    EXPECT_EQ(string(why).empty(), points[i].balanced == 1);
  }
  EXPECT_EQ(points[0].balanced, 0); // far too slow
  EXPECT_EQ(points[2].balanced, 1);

  vlm_speed_mark marks[VLM_NUM_MARKS];
  ASSERT_DONE(vlm_trim_marks(trim.get, marks, VLM_NUM_MARKS));
  for (std::size_t i = 0; i < VLM_NUM_MARKS; ++i) {
    const vlm::SpeedMark& mark = *result.marks.*vlm::named_speed_marks[i].mark;
    ASSERT_EQ(marks[i].defined, mark.at.has_value());
    const char* why = nullptr;
    ASSERT_DONE(vlm_trim_mark_refusal(trim.get, i, &why));
    EXPECT_EQ(string(why).empty(), marks[i].defined == 1);
    if (!mark.at)
      continue;
    EXPECT_EQ(marks[i].speed, mark.at->speed);
    EXPECT_EQ(marks[i].alpha, mark.at->alpha);
    EXPECT_EQ(marks[i].load_station, mark.at->load_station);
    EXPECT_EQ(marks[i].lift, mark.at->lift);
    EXPECT_EQ(marks[i].drag, mark.at->drag);
    EXPECT_EQ(marks[i].power, mark.at->power);
  }
  EXPECT_STREQ(vlm::named_speed_marks[VLM_TAKE_OFF].name, "take_off");
  EXPECT_STREQ(vlm::named_speed_marks[VLM_BEST_GLIDE].name, "best_glide");
  EXPECT_STREQ(vlm::named_speed_marks[VLM_LEAST_POWER].name, "least_power");
  EXPECT_STREQ(vlm::named_speed_marks[VLM_TOP_SPEED].name, "top_speed");
}

} // namespace
