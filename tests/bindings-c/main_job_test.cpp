// A program in C99, linked to the shared library, against the C++ library.

#include <cstdlib>
#include <map>

#include <gtest/gtest.h>

#include <vlm/file/with_record.hpp>

#include "../apps/run_program.hpp"
#include "handles.hpp"

namespace {

TEST(CInterface, AProgramInCGivesTheFiguresOfCppToTheLastBit) {
  const Outcome outcome = run_program(VLM_C_JOB, {ridden});
  ASSERT_EQ(outcome.exit_code, 0) << outcome.err;
  std::map<std::string, double> told;
  for (const std::string& line : lines_of(outcome.out))
    told[line.substr(0, line.rfind(' '))] = std::strtod(line.c_str() + line.rfind(' '), nullptr);

  std::map<std::string, double> expected;
  const auto expect_forces = [&](const std::string& name, const vlm::PolarPoint& p) {
    expected[name + " lift"] = p.lift_coefficient;
    expected[name + " drag"] = p.induced_drag_coefficient;
    expected[name + " pitch"] = p.pitching_moment_coefficient;
    expected[name + " roll"] = p.rolling_moment_coefficient;
    expected[name + " neutral_point"] = p.neutral_point.value();
  };
  vlm::ThreadPool pool(1);

  vlm::Craft wing;
  const vlm::Section section = vlm::naca_section("23012");
  wing.surfaces = {vlm::mirrored({"wing",
                                  {},
                                  0,
                                  vlm::Curve::smooth,
                                  {{0, 0, 0, 0.14, 0, section},
                                   {0.3, 0, 0.01, 0.11, 0, section},
                                   {0.4, -0.02, 0.03, 0.05, -0.05, section}}})};
  wing.reference_surface = "wing";
  vlm::LatticeOptions options;
  options.counts = {{16, 5}};
  const vlm::Responses alone = vlm::make_responses(wing, options, 0.05, {}, pool, vlm::Motions::all);
  expected["wing panels"] = 80;
  expect_forces("wing", vlm::polar_point(alone, {0.07, 0.02, {0.01, 0, 0.005}}));

  vlm::Case c = vlm::read_case(ridden);
  vlm::PolarChoice angles;
  for (const double alpha : {0.0, 0.03, 0.06})
    angles.conditions.push_back({alpha, 0, {}});
  const vlm::Lattice lattice = vlm::make_lattice(c.craft, c.lattice);
  expected["polar told"] = 3;
  expect_forces("polar", vlm::polar_with_record(c, lattice, angles, {}, {}, pool).points[2]);

  c.operation.speed = 7;
  vlm::TwistStudy study;
  study.surface = 1;
  study.shape = vlm::linear_twist();
  study.incidences = {-0.03, -0.01};
  study.twists = {-0.02, 0, 0.02};
  study.lift_coefficient = vlm::lift_coefficient(c.operation, c.craft);
  const double wake = vlm::operating_wake(c.craft, c.lattice, c.wake, study.lift_coefficient, pool).angle;
  const vlm::Responses responses = vlm::twist_responses(c.craft, c.lattice, study, wake, pool);
  const vlm::TwistResult twist = vlm::twist_study_with_record(c, responses, study, {}, {}, {}, pool);
  expected["twist drag"] = twist.points[4].induced_drag_coefficient.value();
  expected["twist centre"] = twist.points[4].centre_of_lift.value();
  expected["twist least"] =
      static_cast<double>(vlm::twist_marks(twist, responses.reference).least_drag.value());

  const std::vector<double> speeds{6, 8};
  const vlm::TrimResult trim =
      vlm::trim_with_marks(vlm::make_ride(c.craft, c.lattice, c.wake, c.drag, *c.loading), speeds, {}, pool);
  expected["trim station"] = trim.points[1].state.load_station;
  expected["trim drag"] = trim.points[1].state.drag;
  expected["trim take_off"] = trim.marks->take_off.at->speed;

  EXPECT_EQ(told, expected);
}

} // namespace
