// What is printed of a state in which some strip is beyond its section's max_lift_coefficient. Heron 880
// takes off at 4.14 m/s.

#include <algorithm>
#include <optional>
#include <sstream>

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

// The column of that name, a number a line; nothing of an empty one.
std::vector<std::optional<double>> csv_column(const std::string& program, std::vector<std::string> words,
                                              const std::string& name) {
  words.emplace_back("--csv");
  const Outcome outcome = run_program(program, coarse(words));
  EXPECT_EQ(outcome.exit_code, 0) << outcome.err;
  std::vector<std::optional<double>> column;
  std::size_t place = 0;
  for (const std::string& line : lines_of(outcome.out)) {
    std::vector<std::string> cells;
    std::istringstream in(line);
    for (std::string cell; std::getline(in, cell, ',');)
      cells.push_back(cell);
    if (line == lines_of(outcome.out).front()) {
      place = static_cast<std::size_t>(std::find(cells.begin(), cells.end(), name) - cells.begin());
      EXPECT_LT(place, cells.size()) << line;
    } else {
      const bool given = place < cells.size() && !cells[place].empty();
      column.push_back(given ? std::optional(std::stod(cells[place])) : std::nullopt);
    }
  }
  return column;
}

TEST(BeyondLiftLimit, IsToldToProgramsInPercent) {
  const std::string name = "percent_of_lift_limit";
  const auto sweep = csv_column("vlm-polar", {heron, "--angle-deg", "6:24:6"}, name);
  ASSERT_EQ(sweep.size(), 4U);
  EXPECT_LT(sweep[0], 100);
  for (std::size_t i = 1; i < sweep.size(); ++i)
    EXPECT_GT(sweep[i], std::max(100.0, *sweep[i - 1])) << i;
  // At the speed of take-off the limit is met, and lift goes with the square of speed.
  const auto trim = csv_column("vlm-trim", {heron, "--speeds-m-s", "4:5:1"}, name),
             drag = csv_column("vlm-polar", {heron, "--speeds-m-s", "4:5:1"}, name),
             handling = csv_column("vlm-trim", {heron, "--speeds-m-s", "4:5:1", "--handling"}, name);
  ASSERT_EQ(trim.size(), 2U);
  EXPECT_GT(trim[0], 100);
  EXPECT_LT(trim[1], 100);
  EXPECT_NEAR(*handling.front(), *trim[0], 1e-9);
  EXPECT_NEAR(*handling.back(), *trim[1], 1e-9);
  EXPECT_NEAR(*drag.back(), *trim[1], 1); // the weight, and not what the pull lifts
  const auto twist = csv_column(
      "vlm-twist", {heron, "--speed-m-s", "3", "--incidence-deg", "0:2:1", "--twist-deg", "0"}, name);
  ASSERT_EQ(twist.size(), 3U);
  for (const auto& share : twist)
    EXPECT_GT(share, 100);
  for (const auto& share : csv_column("vlm-polar", {even, "--angle-deg", "0:40:20"}, name))
    EXPECT_FALSE(share.has_value());
}

} // namespace
