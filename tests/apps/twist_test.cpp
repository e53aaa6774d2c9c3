#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include <nlohmann/json.hpp>

#include <vlm/file/text_table.hpp>

#include "run_program.hpp"

namespace {

using nlohmann::json;
using vlm::fixed;

std::string twist_output(const std::string& incidences, const std::string& twists,
                         const std::vector<std::string>& more, const std::string& file = swept) {
  std::vector<std::string> words{file, "--incidence-deg", incidences, "--twist-deg", twists};
  words.insert(words.end(), more.begin(), more.end());
  const Outcome outcome = run_program("vlm-twist", words);
  EXPECT_EQ(outcome.exit_code, 0);
  EXPECT_EQ(outcome.err, "");
  return outcome.out;
}

TEST(Twist, StudiesTheSurfaceThatIsNotTheReference) {
  const json result = json::parse(twist_output("-1", "0", {"--json"}));
  EXPECT_EQ(result["study"]["surface"], "stabilizer");
  EXPECT_EQ(result["study"]["twist_shape"], "linear");
  EXPECT_EQ(result["wake"]["chosen_by"], "the operating angle of the case");
}

TEST(Twist, UnchangedSettingAgreesWithThePolarAtItsAngle) {
  const json point = json::parse(twist_output("-1", "0", {"--json", "--wake-angle-deg", "3"}))["points"][0];
  const json polar =
      json::parse(run_program("vlm-polar", {swept, "--json", "--wake-angle-deg", "3", "--angle-deg",
                                            std::to_string(point["angle_deg"].get<double>())})
                      .out)["points"][0];
  // The angle is passed on to a millionth of a degree.
  for (const std::string name :
       {"induced_drag_coefficient", "pitching_moment_coefficient", "centre_of_lift_mm", "neutral_point_mm"})
    EXPECT_NEAR(point[name].get<double>(), polar[name].get<double>(), 1e-5) << name;
  EXPECT_NEAR(point["surface_share_percent"].get<double>(), polar["parts"][1]["share_percent"].get<double>(),
              1e-5);
}

TEST(Twist, TwistRunsFastestAndStepsAreExact) {
  const json points = json::parse(twist_output("0:0.2:0.1", "0.3:0:-0.1", {"--json"}))["points"];
  ASSERT_EQ(points.size(), 12U);
  EXPECT_EQ(points[2]["incidence_deg"], 0);
  EXPECT_EQ(points[2]["twist_deg"], 0.1);
  EXPECT_EQ(points[11]["incidence_deg"], 0.2);
  EXPECT_EQ(points[11]["twist_deg"], 0);
}

TEST(Twist, MarkedPointsAreTheLeastOfTheirKind) {
  const json result =
      json::parse(twist_output("-4:4:0.5", "-4:4:0.5", {"--json", "--centre-of-lift-mm", "-90:-60"}));
  double least = 1, least_within = 1;
  for (const json& p : result["points"]) {
    const double drag = p["induced_drag_coefficient"], centre = p["centre_of_lift_mm"];
    EXPECT_EQ(p["keeps_limits"], centre >= -90 && centre <= -60);
    least = std::min(least, drag);
    if (p["keeps_limits"])
      least_within = std::min(least_within, drag);
  }
  EXPECT_EQ(result["least_drag"]["induced_drag_coefficient"], least);
  EXPECT_EQ(result["least_drag_within_limits"]["induced_drag_coefficient"], least_within);
  EXPECT_TRUE(result["nearest_to_limits"].is_null());
}

TEST(Twist, TableShowsTheFiguresOfTheMarkedPoints) {
  const std::vector<std::string> limits{"--centre-of-lift-mm", "-90:-60"};
  const std::string table = twist_output("-4:4:0.5", "-4:4:0.5", limits);
  const json result = json::parse(twist_output("-4:4:0.5", "-4:4:0.5", {"--json", limits[0], limits[1]}));
  const auto expect = [&](const std::string& label, const std::string& name, int decimals,
                          std::size_t first) {
    const auto words = words_after(table, label);
    ASSERT_GT(words.size(), first) << label << "\n" << table;
    std::string word = words[first];
    if (word.back() == ',')
      word.pop_back();
    EXPECT_EQ(word, fixed(result["least_drag"][name].get<double>(), decimals)) << label;
  };
  expect("incidence, twist [deg]", "incidence_deg", 2, 0);
  expect("incidence, twist [deg]", "twist_deg", 2, 1);
  expect("angle of attack [deg]", "angle_deg", 3, 0);
  expect("lift slope [1/rad]", "lift_slope_per_rad", 4, 0);
  expect("moment Cm at zero lift, at this lift", "zero_lift_moment_coefficient", 5, 0);
  expect("margin to centre of lift [% chord]", "static_margin_percent", 2, 0);
  expect("centre of lift, neutral point [mm]", "centre_of_lift_mm", 2, 0);
  expect("load on stabilizer [% of lift, N]", "surface_share_percent", 2, 0);
  expect("load on stabilizer [% of lift, N]", "surface_lift_n", 2, 1);
  expect("induced drag [CDi, N]", "induced_drag_coefficient", 6, 0);
  expect("induced drag [CDi, N]", "induced_drag_n", 3, 1);
  expect("near field off by [%]", "near_field_difference_percent", 2, 0);
  expect("peak local lift coefficient", "peak_local_lift_coefficient", 4, 0);
  expect("at y [mm], [% of semispan]", "peak_y_mm", 1, 0);
  expect("at y [mm], [% of semispan]", "peak_semispan_percent", 1, 1);
}

TEST(Twist, MapMarksBothPoints) {
  const std::string table = twist_output("-4:4:0.1", "-4:4:0.1", {"--centre-of-lift-mm", "-90:-60"});
  const json result =
      json::parse(twist_output("-4:4:0.1", "-4:4:0.1", {"--json", "--centre-of-lift-mm", "-90:-60"}));
  for (const auto& [name, mark] :
       {std::pair("least_drag", "a"), std::pair("least_drag_within_limits", "b")}) {
    const json& point = result[name];
    const std::string cell = fixed(1000 * point["induced_drag_coefficient"].get<double>(), 3) + mark;
    const auto row = words_after(table, fixed(point["incidence_deg"].get<double>(), 2) + " ");
    EXPECT_NE(std::find(row.begin(), row.end(), cell), row.end()) << cell << "\n" << table;
  }
}

TEST(Twist, LeastDragOnTheBorderIsSaid) {
  const std::string sentence = "The least drag lies on the border of the grid";
  EXPECT_NE(twist_output("2:4:1", "0:1:1", {}).find(sentence), std::string::npos);
  EXPECT_EQ(twist_output("-8:8:0.5", "-12:12:0.5", {}).find(sentence), std::string::npos);
}

TEST(Twist, WithoutASettingThatKeepsTheLimitsTheNearestIsShown) {
  const std::vector<std::string> limits{"--centre-of-lift-mm", "100:200"};
  EXPECT_NE(twist_output("-1:1:0.5", "-1:1:0.5", limits)
                .find("No setting keeps the limits; the nearest to them is shown."),
            std::string::npos);
  const json result = json::parse(twist_output("-1:1:0.5", "-1:1:0.5", {"--json", limits[0], limits[1]}));
  EXPECT_TRUE(result["least_drag_within_limits"].is_null());
  double most_aft = -1e9;
  for (const json& p : result["points"])
    most_aft = std::max(most_aft, p["centre_of_lift_mm"].get<double>());
  EXPECT_EQ(result["nearest_to_limits"]["centre_of_lift_mm"], most_aft);
}

TEST(Twist, LiftIsTakenFromTheCommandOrTheCase) {
  const auto lift = [](const std::vector<std::string>& more) {
    std::vector<std::string> words{"--json"};
    words.insert(words.end(), more.begin(), more.end());
    return json::parse(twist_output("0", "0", words))["study"]["lift_coefficient"].get<double>();
  };
  const double of_case = 70 * 9.80665 / (0.5 * 998.2 * 25 * 0.084);
  EXPECT_NEAR(lift({}), of_case, 1e-12);
  EXPECT_EQ(lift({"--lift-coefficient", "0.25"}), 0.25);
  EXPECT_NEAR(lift({"--mass-kg", "35"}), of_case / 2, 1e-12);
  EXPECT_NEAR(lift({"--speed-m-s", "10"}), of_case / 4, 1e-12);
}

TEST(Twist, WithoutASpeedForcesAreUndefined) {
  const json point = json::parse(twist_output("0", "0", {"--json"}, even))["points"][0];
  EXPECT_TRUE(point["induced_drag_n"].is_null());
  EXPECT_EQ(words_after(twist_output("0", "0", {}, even), "induced drag [CDi, N]").back(), "–");
}

TEST(Twist, SolvesDoNotGrowWithTheGrid) {
  const json one = json::parse(twist_output("0", "0", {"--json"})),
             many = json::parse(twist_output("0:1:0.1", "0:1:0.1", {"--json"}));
  EXPECT_EQ(many["num_points"], 121);
  EXPECT_EQ(many["solves"], one["solves"]);
  EXPECT_EQ(many["factorisations"], one["factorisations"]);
}

TEST(Twist, ShapeOfTheCaseTurnsTheTipsLess) {
  const json plain = json::parse(twist_output("-1", "4", {"--json"}))["points"][0],
             late = json::parse(twist_output("-1", "4", {"--json", "--shape", "late"}))["points"][0];
  EXPECT_LT(late["surface_lift_coefficient"], plain["surface_lift_coefficient"]);
}

TEST(Twist, TableStaysWithinItsBounds) {
  const std::string ladder = test_case("ladder.toml");
  const std::vector<std::string> limits{"--centre-of-lift-mm", "-900:-800", "--least-static-margin-percent",
                                        "15"};
  std::vector<std::string> of_ladder = limits;
  of_ladder.insert(of_ladder.end(), {"--surface", "wing number 3 of the ladder on the boat"});
  for (const std::string& table : {twist_output("-4:4:0.125", "-4:4:0.0625", limits),
                                   twist_output("-1:1:0.01", "-1:1:0.01", of_ladder, ladder)}) {
    EXPECT_LE(lines_of(table).size(), vlm::table_lines) << table;
    for (const std::string& line : lines_of(table))
      EXPECT_LE(vlm::columns_of(line), vlm::table_width) << line;
  }
}

TEST(Twist, CsvHasALineOfNamesAndNothingElseThanPoints) {
  const auto csv = lines_of(twist_output("0:1:1", "0:2:1", {"--csv"}));
  ASSERT_EQ(csv.size(), 7U);
  EXPECT_EQ(csv[0],
            "incidence_deg,twist_deg,angle_deg,lift_slope_per_rad,zero_lift_moment_coefficient,"
            "pitching_moment_coefficient,static_margin_percent,centre_of_lift_mm,neutral_point_mm,"
            "surface_lift_coefficient,surface_share_percent,surface_lift_n,induced_drag_coefficient,"
            "induced_drag_n,near_field_difference_percent,peak_local_lift_coefficient,peak_surface,peak_y_mm,"
            "peak_semispan_percent,percent_of_lift_limit,keeps_limits");
  EXPECT_EQ(csv[6].substr(0, 4), "1,2,");
}

TEST(Twist, DemonstrationCraftHasAPlausibleOperation) {
  const json result = json::parse(twist_output("-0.4", "0", {"--json"}, heron));
  EXPECT_LT(result["study"]["lift_coefficient"], 0.8);
  EXPECT_GT(result["points"][0]["static_margin_percent"], 5);
  EXPECT_LT(std::abs(result["points"][0]["centre_of_lift_mm"].get<double>()), 120);
}

TEST(Twist, SlowStudiesStandBesideThoseWithoutTheImage) {
  const std::vector<std::string> fast{heron, "--incidence-deg",    "-1:1:1", "--twist-deg", "0", "--strips",
                                      "8",   "--panels-per-strip", "3"};
  std::vector<std::string> slow = fast;
  slow.insert(slow.end(), {"--speed-m-s", "4.5"});
  const auto put_out = [](std::vector<std::string> arguments, const std::string& form) {
    if (!form.empty())
      arguments.push_back(form);
    const Outcome outcome = run_program("vlm-twist", arguments);
    EXPECT_EQ(outcome.exit_code, 0) << outcome.err;
    return outcome.out;
  };
  EXPECT_FALSE(json::parse(put_out(fast, "--json"))["points"][0].contains("angle_without_image_deg"));
  const json points = json::parse(put_out(slow, "--json"))["points"];
  ASSERT_EQ(points.size(), 3U);
  for (const json& p : points) // the image takes lift: without it a smaller angle carries the same
    EXPECT_LT(p["angle_without_image_deg"].get<double>(), p["angle_deg"].get<double>());
  EXPECT_NE(put_out(slow, "--csv").find("induced_drag_coefficient_without_image"), std::string::npos);
  EXPECT_NE(put_out(slow, "").find("without the image"), std::string::npos);
  EXPECT_LE(lines_of(put_out(slow, "")).size(), 40U);
}

TEST(Twist, RecordHoldsTheFiguresOfJson) {
  expect_record_as_json("vlm-twist", {swept, "--incidence-deg", "-2:0:1", "--twist-deg", "0:1:1",
                                      "--centre-of-lift-mm", "-100:100"});
}

} // namespace
