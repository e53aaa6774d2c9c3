// Several threads: each with handles of its own, and all reading one solution.

#include <string>
#include <thread>
#include <vector>

#include <gtest/gtest.h>

#include <vlm/vlm.h>

#include "handles.hpp"

namespace {

constexpr std::size_t num_threads = 4;
constexpr vlm_condition drifting{0.06, 0.01, 0, 0, 0};

template <class Work>
void at_once(const Work& work) {
  std::vector<std::thread> threads;
  for (std::size_t i = 0; i < num_threads; ++i)
    threads.emplace_back([&work, i] { work(i); });
  for (std::thread& thread : threads)
    thread.join();
}

double lift_of(const vlm_solution* solution, const vlm_condition& condition) {
  vlm_forces forces{};
  EXPECT_EQ(vlm_solution_forces(solution, &condition, &forces), VLM_OK) << vlm_message();
  return forces.lift_coefficient;
}

TEST(CInterfaceConcurrent, ThreadsWithHandlesOfTheirOwn) {
  std::vector<double> lift(num_threads);
  at_once([&](std::size_t i) {
    Handle<vlm_case> c(vlm_case_free);
    Handle<vlm_solution> solution(vlm_solution_free);
    EXPECT_EQ(vlm_case_read(ridden.c_str(), &c.get), VLM_OK);
    EXPECT_EQ(vlm_solve(c.get, 0.05, VLM_MOTIONS_ALL, 2, &solution.get), VLM_OK);
    EXPECT_EQ(vlm_solution_forces(solution.get, nullptr, nullptr), VLM_ERROR_NULL);
    EXPECT_STRNE(vlm_message(), "");
    lift[i] = lift_of(solution.get, drifting);
    EXPECT_STREQ(vlm_message(), "");
  });
  for (const double each : lift)
    EXPECT_EQ(each, lift[0]);
}

TEST(CInterfaceConcurrent, ThreadsThatReadOneSolution) {
  Handle<vlm_case> c(vlm_case_free);
  Handle<vlm_solution> solution(vlm_solution_free);
  ASSERT_EQ(vlm_case_read(ridden.c_str(), &c.get), VLM_OK);
  ASSERT_EQ(vlm_solve(c.get, 0.05, VLM_MOTIONS_ALL, 1, &solution.get), VLM_OK);
  const double expected = lift_of(solution.get, drifting);
  at_once([&](std::size_t) {
    for (int time = 0; time < 20; ++time)
      EXPECT_EQ(lift_of(solution.get, drifting), expected);
    std::size_t count = 0;
    EXPECT_EQ(vlm_solution_num_derivatives(solution.get, &count), VLM_OK);
    std::vector<vlm_derivative> derivatives(count);
    EXPECT_EQ(vlm_solution_derivatives(solution.get, &drifting, derivatives.data(), count, nullptr, 0),
              VLM_OK);
    vlm_drag drag{};
    EXPECT_EQ(vlm_solution_drag(solution.get, &drifting, 6, &drag), VLM_OK);
    const double points[] = {0.3, 0.1, 0.05};
    double velocity[3], downwash[1];
    EXPECT_EQ(vlm_solution_velocity(solution.get, &drifting, 6, points, velocity, 3), VLM_OK);
    EXPECT_EQ(vlm_solution_downwash(solution.get, &drifting, points, 3, downwash, 1), VLM_OK);
    // A case that nobody changes is read likewise.
    Handle<vlm_polar> polar(vlm_polar_free);
    EXPECT_EQ(vlm_run_polar(c.get, &drifting, 1, nullptr, nullptr, &polar.get), VLM_OK);
  });
}

} // namespace
