// What is printed of a state in which some strip is beyond its section's max_lift_coefficient. Heron 880
// takes off at 4.14 m/s.

#include <gtest/gtest.h>

#include "run_program.hpp"

namespace {

const std::string beyond = "warning: ! beyond a section's max_lift_coefficient";

std::string printed(const std::string& program, const std::vector<std::string>& words) {
  const Outcome outcome = run_program(program, words);
  EXPECT_EQ(outcome.exit_code, 0) << outcome.err;
  EXPECT_LE(lines_of(outcome.out).size(), 40U) << outcome.out;
  EXPECT_NE(lines_of(outcome.out).back().find("no substitute for graduated on-water testing"),
            std::string::npos)
      << outcome.out;
  return outcome.out;
}

bool has(const std::string& text, const std::string& part) {
  return text.find(part) != std::string::npos;
}

// Coarse, so that the sections alone count.
std::vector<std::string> coarse(std::vector<std::string> words) {
  words.insert(words.end(), {"--strips", "8", "--panels-per-strip", "2"});
  return words;
}

TEST(BeyondLiftLimit, DragAtSpeedsMarksTheColumn) {
  const Outcome slow = run_program("vlm-polar", coarse({heron, "--speeds-m-s", "4:5:1"}));
  EXPECT_EQ(slow.exit_code, 0);
  EXPECT_TRUE(has(slow.out, " 4.0 m/s! ") && has(slow.out, " 5.0 m/s\n") && has(slow.out, beyond))
      << slow.out;
  const Outcome fast = run_program("vlm-polar", coarse({heron, "--speeds-m-s", "5:6:1"}));
  EXPECT_TRUE(has(fast.out, " 5.0 m/s ") && !has(fast.out, "!")) << fast.out;
}

TEST(BeyondLiftLimit, PolarMarksTheAngle) {
  const std::string sweep = printed("vlm-polar", coarse({heron, "--angle-deg", "6:24:6"}));
  EXPECT_FALSE(words_after(sweep, "6.00 ").empty());
  for (const char* angle : {"12.00!", "18.00!", "24.00!"})
    EXPECT_FALSE(words_after(sweep, angle).empty()) << sweep;
  EXPECT_TRUE(has(sweep, beyond));
  EXPECT_TRUE(has(printed("vlm-polar", coarse({heron, "--angle-deg", "24", "--derivatives"})), beyond));
  EXPECT_FALSE(has(printed("vlm-polar", coarse({heron, "--angle-deg", "0:6:2"})), "!"));
}

TEST(BeyondLiftLimit, NothingIsSaidWhereNoSectionGivesOne) {
  EXPECT_FALSE(has(printed("vlm-polar", {even, "--angle-deg", "0:40:20"}), "!"));
  const std::string grid =
      printed("vlm-twist", {even, "--lift-coefficient", "2", "--incidence-deg", "0:1:1", "--twist-deg", "0"});
  EXPECT_FALSE(has(grid, "!") || has(grid, "lift limit")) << grid;
}

TEST(BeyondLiftLimit, TrimMarksTheColumnAndHandlingToo) {
  const std::string trim = printed("vlm-trim", coarse({heron, "--speeds-m-s", "4:8:0.5"}));
  EXPECT_EQ(words_after(trim, "speed, m/s ").front(), "4.0!");
  EXPECT_EQ(words_after(trim, "speed, m/s ").at(1), "4.5");
  EXPECT_TRUE(has(trim, beyond));
  EXPECT_FALSE(has(trim, "take-off!")); // it is the limit itself
  EXPECT_FALSE(has(printed("vlm-trim", coarse({heron, "--speeds-m-s", "5:8:1"})), "!"));
  const std::string handling = printed("vlm-trim", coarse({heron, "--speeds-m-s", "4:5:1", "--handling"}));
  EXPECT_TRUE(has(handling, " 4.0 m/s! ") && has(handling, beyond)) << handling;
}

TEST(BeyondLiftLimit, TwistMarksSettings) {
  const std::vector<std::string> grid{"--incidence-deg", "-4:4:4", "--twist-deg", "-6:6:6"};
  const auto study = [&](const std::string& speed) {
    std::vector<std::string> words{heron, "--speed-m-s", speed};
    words.insert(words.end(), grid.begin(), grid.end());
    return printed("vlm-twist", coarse(words));
  };
  const std::string slow = study("3");
  EXPECT_TRUE(has(slow, "a!") && has(slow, beyond)) << slow;
  EXPECT_EQ(words_after(slow, "nearest to a lift limit [%]").front().back(), '!');
  EXPECT_FALSE(has(study("5.5"), "!"));
  const std::string placed =
      printed("vlm-twist", coarse({heron, "--moved-aft-mm", "0:20:20", "--speed-m-s", "4"}));
  EXPECT_TRUE(has(placed, "a!") && has(placed, beyond)) << placed;
}

TEST(BeyondLiftLimit, ComparisonMarksWhatIsBalancedBeyondIt) {
  const std::string other = VLM_CASES_DIR "/lake-rescue/heron-1050.toml";
  const std::string table =
      printed("vlm-compare", coarse({heron, other, "--speed-m-s", "4", "--speeds-m-s", "4:6:1"}));
  const auto angles = words_after(table, "balanced: angle of attack, deg");
  ASSERT_EQ(angles.size(), 2U);
  EXPECT_EQ(angles[0].back(), '!'); // 4.14 m/s
  EXPECT_NE(angles[1].back(), '!'); // 3.81 m/s
  EXPECT_TRUE(has(table, beyond));
  EXPECT_FALSE(has(printed("vlm-compare", coarse({heron, other, "--speed-m-s", "6"})), "!"));
}

} // namespace
