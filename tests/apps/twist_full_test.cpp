// What only programs without a sanitizer show, which holds freed memory back.

#include <string>

#include <gtest/gtest.h>
#include <sys/resource.h>

#include "run_program.hpp"

namespace {

// Peak memory of the programs run so far [bytes].
double peak_memory() {
  rusage usage{};
  getrusage(RUSAGE_CHILDREN, &usage);
  return 1024 * static_cast<double>(usage.ru_maxrss);
}

TEST(Twist, MemoryDoesNotGrowWithTheGrid) {
  const TestFolder folder;
  const auto study = [&](const char* step) {
    const std::string twists = std::string("-4:6:") + step;
    EXPECT_EQ(run_program("vlm-twist", {swept, "--incidence-deg", "-2:8:0.02", "--twist-deg", twists, "-o",
                                        folder / "foil.h5", "--strips", "8", "--panels-per-strip", "2"})
                  .exit_code,
              0);
    return peak_memory();
  };
  const double few = study("1"), many = study("0.02");
  EXPECT_GT(few, 1e6);
  // 245,000 settings more take 26 MB in the record alone.
  EXPECT_LT(many - few, 4e6);
}

} // namespace
