#include <gtest/gtest.h>

#include <atomic>
#include <chrono>
#include <numeric>
#include <stdexcept>
#include <thread>
#include <vector>

#include <vlm/base/error.hpp>
#include <vlm/base/thread_pool.hpp>
#include <vlm/base/vec3.hpp>

namespace {

TEST(BodyAxes, AreForwardStarboardDownAndTheirOwnInverse) {
  const vlm::Vec3 v{1, 2, 3};
  EXPECT_EQ(vlm::to_body_axes(v), (vlm::Vec3{-1, 2, -3}));
  EXPECT_EQ(vlm::to_body_axes(vlm::to_body_axes(v)), v);
  // Both right-handed: the cross product goes along.
  const vlm::Vec3 w{-0.5, 0.25, 2};
  EXPECT_EQ(vlm::to_body_axes(vlm::cross(v, w)), vlm::cross(vlm::to_body_axes(v), vlm::to_body_axes(w)));
}

TEST(ThreadPool, DoesEachPassOnce) {
  for (const int threads : {1, 2, 5}) {
    vlm::ThreadPool pool(threads);
    EXPECT_EQ(pool.num_threads(), threads);
    for (const std::size_t count : {std::size_t{0}, std::size_t{1}, std::size_t{1000}}) {
      std::vector<std::atomic<int>> done(count);
      pool.for_each(count, [&](std::size_t i) { ++done[i]; });
      for (const std::atomic<int>& d : done)
        EXPECT_EQ(d.load(), 1);
    }
  }
}

// Workers may sleep, look out or come too late when the next loop begins.
TEST(ThreadPool, DoesLoopsThatFollowEachOtherClosely) {
  for (const int threads : {2, 3, 5}) {
    vlm::ThreadPool pool(threads);
    std::size_t sum = 0, wanted = 0;
    for (std::size_t loop = 0; loop < 3000; ++loop) {
      const std::vector<std::size_t> values(loop % 4, loop); // gone after the loop
      std::vector<std::size_t> seen(values.size());
      pool.for_each(values.size(), [&](std::size_t i) { seen[i] += values[i]; });
      sum += std::accumulate(seen.begin(), seen.end(), std::size_t{0});
      wanted += values.size() * loop;
      if (loop % 500 == 0)
        std::this_thread::sleep_for(std::chrono::milliseconds(1)); // by then workers sleep
    }
    EXPECT_EQ(sum, wanted) << threads;
  }
}

TEST(ThreadPool, HandsOnAnExceptionAndStaysUsable) {
  vlm::ThreadPool pool(3);
  EXPECT_THROW(pool.for_each(100,
                             [](std::size_t i) {
                               if (i == 17)
                                 throw std::runtime_error("pass 17");
                             }),
               std::runtime_error);
  std::atomic<int> sum{0};
  pool.for_each(10, [&](std::size_t i) { sum += static_cast<int>(i); });
  EXPECT_EQ(sum.load(), 45);
}

TEST(ThreadPool, RefusesSenselessCounts) {
  EXPECT_THROW(vlm::ThreadPool(-1), vlm::Error);
  EXPECT_THROW(vlm::ThreadPool(1025), vlm::Error);
}

} // namespace
