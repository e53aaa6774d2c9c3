// The reach to the surface as table, JSON and CSV.

#include <algorithm>
#include <numbers>
#include <sstream>
#include <string>
#include <vector>

#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include <vlm/file/reach_output.hpp>
#include <vlm/file/text_table.hpp>

namespace vlm {
namespace {

class ReachOutput : public testing::Test {
protected:
  ReachOutput() {
    input.lattice.counts = {{8, 3}, {6, 3}, {4, 3}};
    input.lattice.body = {12, 8};
    lattice = make_lattice(input.craft, input.lattice, 0.06);
    result.study = {{0.06, 0.02, {}}, {0.2, 0.3}, {0, 20 / degrees, 60 / degrees}};
    ThreadPool pool(1);
    result.summary = run_reach_study(
        input.craft, input.lattice, result.study, [&](const ReachPoint& p) { result.points.push_back(p); },
        {}, pool);
  }

  StudyHead head() const {
    return {"vlm-reach", input, lattice, 0.06, "the angle of attack", body_figures(input.craft)};
  }

  template <class Write>
  std::string text(const Write& write) const {
    std::ostringstream out;
    write(out, head(), result);
    return out.str();
  }

  static std::vector<std::string> lines_of(const std::string& text) {
    std::vector<std::string> lines;
    std::istringstream in(text);
    for (std::string line; std::getline(in, line);)
      lines.push_back(line);
    return lines;
  }

  static constexpr double degrees = 180 / std::numbers::pi;
  Case input = read_case(VLM_CASES_DIR "/lake-rescue/heron-880.toml");
  Lattice lattice;
  ReachResult result;
};

TEST_F(ReachOutput, TableFitsATerminalAndSaysWhatItGoesBy) {
  const std::string table = text(write_reach_table);
  const std::vector<std::string> lines = lines_of(table);
  EXPECT_LE(lines.size(), table_lines) << table;
  for (const std::string& line : lines)
    EXPECT_LE(columns_of(line), table_width) << line;
  std::string flat = table; // as if it had not been wrapped
  for (std::size_t at = 0; (at = flat.find("\n  ", at)) != std::string::npos;)
    flat.replace(at, 3, " ");
  for (const char* words : {"comes out first, at", "certain", "graduated tests on the water"})
    EXPECT_NE(flat.find(words), std::string::npos) << words << '\n' << table;
  std::size_t marks = 0;
  for (std::size_t at = 0; (at = flat.find("common practice, no source", at)) != std::string::npos; ++at)
    ++marks;
  EXPECT_EQ(marks, 3U) << table; // one a criterion
}

TEST_F(ReachOutput, TableOfManyPointsShowsSome) {
  const std::vector<ReachPoint> six = result.points;
  for (int k = 0; k < 10; ++k)
    result.points.insert(result.points.end(), six.begin(), six.end());
  const std::string table = text(write_reach_table);
  EXPECT_LE(lines_of(table).size(), table_lines) << table;
  EXPECT_NE(table.find("of 66 points"), std::string::npos) << table;
}

TEST_F(ReachOutput, JsonHasEveryTipStripAndWarning) {
  const nlohmann::json json = nlohmann::json::parse(text(write_reach_json));
  ASSERT_EQ(json["points"].size(), 6U);
  EXPECT_EQ(json["num_points_wanted"], 6);
  EXPECT_EQ(json["ventilation_criteria"].size(), 3U);
  const auto& level = json["points"][3];
  EXPECT_EQ(level["depth_mm"], 300);
  EXPECT_EQ(level["tips"].size(), 4U);
  EXPECT_EQ(level["tips"][0]["surface"], "front wing");
  EXPECT_EQ(level["tips"][0]["side"], "port");
  EXPECT_EQ(level["strips"].size(), lattice.strips.size());
  EXPECT_EQ(level["refusal"], "");
  const auto& banked = json["points"][4];
  EXPECT_DOUBLE_EQ(banked["tips"][0]["level_lift_coefficient"], level["tips"][0]["lift_coefficient"]);
  EXPECT_NEAR(banked["tips"][0]["lift_n_per_m"].get<double>(),
              0.5 * input.craft.water.density * 5.5 * 5.5 * 1e-3 *
                  banked["strips"][0]["chord_mm"].get<double>() *
                  banked["tips"][0]["lift_coefficient"].get<double>(),
              1e-9);
  const auto& breached = json["points"][5]; // 430 mm of half span at 60 degrees: 372 mm up
  EXPECT_EQ(breached["ventilation"], "certain");
  EXPECT_TRUE(breached["tips"][0]["lift_coefficient"].is_null());
  EXPECT_LT(breached["tips"][0]["depth_mm"], 0);
  EXPECT_NE(breached["refusal"], "");
}

TEST_F(ReachOutput, CsvHasALineATipAndPoint) {
  const std::vector<std::string> lines = lines_of(text(write_reach_csv));
  ASSERT_EQ(lines.size(), 1U + 6 * 4);
  const auto commas = [](const std::string& line) { return std::count(line.begin(), line.end(), ','); };
  EXPECT_EQ(lines[0].substr(0, 24), "origin_depth_mm,bank_deg");
  EXPECT_EQ(lines[13].substr(0, 23), "300,0,front wing,port,2");
  EXPECT_EQ(commas(lines[13]), commas(lines[0]));
}

} // namespace
} // namespace vlm
