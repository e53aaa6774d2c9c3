#include <algorithm>
#include <cmath>
#include <filesystem>

#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include <vlm/file/text_table.hpp>

#include "run_program.hpp"

namespace {

using nlohmann::json;
using vlm::fixed;

std::string placement_output(std::vector<std::string> arguments, const std::string& file) {
  arguments.insert(arguments.begin(), file);
  const Outcome outcome = run_program("vlm-twist", arguments);
  EXPECT_EQ(outcome.exit_code, 0) << outcome.err;
  EXPECT_EQ(outcome.err, "");
  return outcome.out;
}

std::string under_rider(const std::vector<std::string>& arguments) {
  std::vector<std::string> all{"--speed-m-s", "6"};
  all.insert(all.end(), arguments.begin(), arguments.end());
  return placement_output(all, test_case("ridden.toml"));
}

TEST(Placement, UnmovedIsWhatTheTrimSays) {
  const json point = json::parse(under_rider({"--moved-aft-mm", "0", "--json"}))["points"][0];
  const auto trim_json = [](std::vector<std::string> more) {
    more.insert(more.begin(), {test_case("ridden.toml"), "--speeds-m-s", "6", "--json"});
    return json::parse(run_program("vlm-trim", more).out)["points"][0];
  };
  const json trim = trim_json({}), handling = trim_json({"--handling"});
  // The wake of the trim lies within 1e-6 rad of its angle.
  const auto expect = [&](const char* name, const json& other, const char* theirs) {
    const double wanted = other[theirs];
    EXPECT_NEAR(point[name].get<double>(), wanted, 2e-5 * std::abs(wanted)) << name;
  };
  for (const char* name : {"angle_deg", "load_station_mm", "front_foot_percent", "lift_n", "drag_n",
                           "lift_to_drag", "percent_of_lift_limit", "greatest_local_lift_coefficient"})
    expect(name, trim, name);
  EXPECT_NEAR(point["surface_lift_n"].get<double>(), trim["parts"][1]["lift_n"].get<double>(),
              1e-6 * trim["lift_n"].get<double>());
  expect("surface_drag_n", trim["parts"][1], "drag_n");
  const json& figures = handling["figures"];
  expect("neutral_point_mm", figures, "neutral_point_mm");
  expect("static_margin_percent", figures, "static_margin_percent");
  for (const char* name :
       {"pitch_stiffness_n_m_per_rad", "pitch_rate_damping_n_m_s_per_rad", "deck_pitch_stiffness_n_m_per_rad",
        "deck_pitch_rate_damping_n_m_s_per_rad", "roll_damping_n_m_s_per_rad"})
    expect(name, figures, name);
}

TEST(Placement, GridRunsIncidenceFastestAndKeepsWhatWasTyped) {
  const json result =
      json::parse(under_rider({"--moved-aft-mm", "-40:40:40", "--moved-up-mm", "10", "--area-percent",
                               "70:110:40", "--incidence-deg", "-2:0:0.5", "--json"}));
  ASSERT_EQ(result["points"].size(), 30U);
  const json& p = result["points"][16];
  EXPECT_EQ(p["moved_aft_mm"], 0);
  EXPECT_EQ(p["moved_up_mm"], 10);
  EXPECT_EQ(p["area_percent"], 110);
  EXPECT_EQ(p["incidence_deg"], -1.5);
  EXPECT_EQ(result["study"]["surface"], "stabilizer");
  EXPECT_EQ(result["wake"]["chosen_by"], "that of the craft as drawn");
  double least = 1e9;
  for (const json& each : result["points"])
    least = std::min(least, each["drag_n"].get<double>());
  EXPECT_EQ(result["least_drag"]["drag_n"], least);
}

TEST(Placement, CarriesTheLiftOfACaseWithoutARider) {
  const json result = json::parse(placement_output(
      {"--moved-aft-mm", "0", "--speed-m-s", "5", "--wake-angle-deg", "3", "--json"}, swept));
  const json settings =
      json::parse(run_program("vlm-twist", {swept, "--incidence-deg", "-1", "--twist-deg", "0", "--speed-m-s",
                                            "5", "--wake-angle-deg", "3", "--json"})
                      .out);
  const json &p = result["points"][0], &q = settings["points"][0];
  for (const char* name : {"angle_deg", "centre_of_lift_mm", "neutral_point_mm", "static_margin_percent",
                           "surface_lift_n", "induced_drag_n"})
    EXPECT_NEAR(p[name].get<double>(), q[name].get<double>(), 1e-9 * std::abs(q[name].get<double>())) << name;
  EXPECT_TRUE(p["load_station_mm"].is_null());
  EXPECT_TRUE(p["deck_pitch_stiffness_n_m_per_rad"].is_null());
}

TEST(Placement, TableShowsMarkedPointsWithinItsSize) {
  const std::vector<std::string> grid{"--moved-aft-mm", "-60:60:10",         "--moved-up-mm",
                                      "-10:20:15",      "--load-station-mm", "-125:-110"};
  const std::string table = under_rider(grid);
  const std::vector<std::string> lines = lines_of(table);
  EXPECT_LE(lines.size(), vlm::table_lines);
  for (const std::string& line : lines)
    EXPECT_LE(vlm::columns_of(line), vlm::table_width) << line;
  std::vector<std::string> as_json = grid;
  as_json.emplace_back("--json");
  const json result = json::parse(under_rider(as_json));
  const auto is_shown = [&](const json& p, const std::string& mark) {
    return std::any_of(lines.begin(), lines.end(), [&](const std::string& line) {
      return line.ends_with("  " + mark) &&
             line.find(" " + fixed(p["load_station_mm"].get<double>(), 1) + " ") != std::string::npos &&
             line.find(" " + fixed(p["drag_n"].get<double>(), 2) + " ") != std::string::npos;
    });
  };
  EXPECT_TRUE(is_shown(result["least_drag"], "a")) << table;
  EXPECT_TRUE(is_shown(result["least_drag_within_limits"], "b")) << table;
}

TEST(Placement, RefusesWhatCannotBe) {
  const auto refusal = [](std::vector<std::string> arguments) {
    arguments.insert(arguments.begin(), {test_case("ridden.toml"), "--speed-m-s", "6"});
    const Outcome outcome = run_program("vlm-twist", arguments);
    EXPECT_EQ(outcome.exit_code, 2) << outcome.err;
    return outcome.err;
  };
  const auto expect = [&](const std::vector<std::string>& arguments, const std::string& words) {
    const std::string said = refusal(arguments);
    EXPECT_NE(said.find(words), std::string::npos) << said;
  };
  expect({"--area-percent", "0"}, "--area-percent: found 0 %, wanted percentages from 1 to 1000");
  expect({"--moved-up-mm", "400"}, "no place of the surface can be: ");
  expect({"--moved-up-mm", "400"}, "above the still surface");
  expect({"--moved-up-mm", "0", "--twist-deg", "1"}, "--twist-deg: found it beside --moved-up-mm");
  expect({"--load-station-mm", "-9:9", "--twist-deg", "1", "--incidence-deg", "1"},
         "--load-station-mm: found no --moved-aft-mm");
  expect({"--moved-up-mm", "0", "--mass-kg", "80", "--load-station-mm", "-9:9"}, "no rider to stand there");
  expect({"--moved-aft-mm", "0:99:0.01", "--area-percent", "50:200:1"}, "wanted fewer: take longer steps");
  const Outcome no_speed = run_program("vlm-twist", {even, "--moved-aft-mm", "9"});
  EXPECT_NE(no_speed.err.find("write --speed-m-s V"), std::string::npos) << no_speed.err;
}

TEST(Placement, LeavesAnOlderRecordAloneWhereNoPlaceCanBe) {
  const TestFolder folder;
  const std::string record = folder / "places.h5";
  under_rider({"--moved-aft-mm", "0", "-o", record});
  const auto size = std::filesystem::file_size(record);
  const auto time = std::filesystem::last_write_time(record);
  EXPECT_EQ(run_program("vlm-twist",
                        {test_case("ridden.toml"), "--speed-m-s", "6", "--moved-up-mm", "400", "-o", record})
                .exit_code,
            2);
  EXPECT_EQ(std::filesystem::file_size(record), size);
  EXPECT_EQ(std::filesystem::last_write_time(record), time);
  EXPECT_FALSE(std::filesystem::exists(record + ".partial"));
}

TEST(Placement, RecordHoldsTheFiguresOfJson) {
  expect_record_as_json("vlm-twist", {test_case("ridden.toml"), "--speed-m-s", "4", "--moved-aft-mm",
                                      "-20:20:20", "--moved-up-mm", "0:400:400"});
}

} // namespace
