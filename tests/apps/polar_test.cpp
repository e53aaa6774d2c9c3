#include <algorithm>
#include <filesystem>
#include <fstream>
#include <numbers>

#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include <vlm/file/text_table.hpp>

#include "run_program.hpp"

namespace {

using nlohmann::json;
using vlm::fixed;

std::string polar_output(std::vector<std::string> arguments) {
  const Outcome outcome = run_program("vlm-polar", arguments);
  EXPECT_EQ(outcome.exit_code, 0);
  EXPECT_EQ(outcome.err, "");
  return outcome.out;
}

std::string shown(const json& value, int decimals) {
  return value.is_null() ? "–" : fixed(value.get<double>(), decimals);
}

TEST(Polar, TableAndJsonHoldTheSameFigures) {
  const std::vector<std::string> sweep{swept, "--angle-deg", "-2:8:0.5"};
  const std::string table = polar_output(sweep);
  const json result = json::parse(polar_output({swept, "--angle-deg", "-2:8:0.5", "--json"}));
  ASSERT_EQ(result["points"].size(), 21U);
  for (const json& p : result["points"]) {
    const std::vector<std::string> wanted{shown(p["lift_coefficient"], 5),
                                          shown(p["induced_drag_coefficient"], 6),
                                          shown(p["near_field_difference_percent"], 2),
                                          shown(p["span_efficiency"], 4),
                                          shown(p["pitching_moment_coefficient"], 5),
                                          shown(p["centre_of_lift_mm"], 2),
                                          shown(p["neutral_point_mm"], 2),
                                          shown(p["drag_n"], 2),
                                          shown(p["lift_to_drag"], 2)};
    EXPECT_EQ(words_after(table, shown(p["angle_deg"], 2) + " "), wanted);
  }
}

TEST(Polar, SharesHaveATableOfTheirOwn) {
  const std::string table = polar_output({swept, "--angle-deg", "1:3:1"});
  const json result = json::parse(polar_output({swept, "--angle-deg", "1:3:1", "--json"}));
  const std::string shares = table.substr(table.find("share %"));
  for (const json& p : result["points"])
    EXPECT_EQ(words_after(shares, shown(p["angle_deg"], 2) + " "),
              (std::vector<std::string>{shown(p["parts"][0]["share_percent"], 2),
                                        shown(p["parts"][1]["share_percent"], 2)}));
}

TEST(Polar, DragAddsUpAndNamesItsSources) {
  const json result = json::parse(polar_output({swept, "--angle-deg", "2", "--json"}));
  const json& point = result["points"][0];
  double sum = 0, percent = 0;
  for (const json& item : point["drag"]) {
    sum += item["drag_n"].get<double>();
    percent += item["percent"].get<double>();
    EXPECT_GT(item["source"].get<std::string>().size(), 10U) << item;
  }
  EXPECT_GE(point["drag"].size(), 4U); // induced and friction of two surfaces
  EXPECT_NEAR(sum, point["drag_n"].get<double>(), 1e-9);
  EXPECT_NEAR(percent, 100, 1e-9);
  EXPECT_NEAR(point["lift_to_drag"].get<double>(), point["lift_n"].get<double>() / sum, 1e-9);
}

TEST(Polar, HeadStatesWhatTheFiguresReferTo) {
  const std::string table = polar_output({swept, "--angle-deg", "0:4:1"});
  for (const std::string part :
       {"Swept foil, lake rescue patrol", "area 840.0 cm²", "x -50.0, y 0.0, z 0.0 mm",
        "fresh, 20.0 °C: 998.2 kg/m³, viscosity 1.0034e-6 m²/s, vapour at 2339 Pa", "10×4",
        "along the stream at 2.000 deg (the middle of the sweep)"})
    EXPECT_NE(table.find(part), std::string::npos) << part << "\n" << table;
}

TEST(Polar, TellsTheWater) {
  const json water = json::parse(polar_output({even, "--angle-deg", "1", "--json"}))["water"];
  EXPECT_EQ(water["kind"], "fresh");
  EXPECT_EQ(water["temperature_c"], 20);
  EXPECT_TRUE(water["salinity_g_kg"].is_null());
  EXPECT_NEAR(water["density_kg_m3"].get<double>(), 998.2041, 1e-4);
  EXPECT_NEAR(water["kinematic_viscosity_m2_s"].get<double>(), 1.003369e-6, 1e-12);
  EXPECT_NEAR(water["vapour_pressure_pa"].get<double>(), 2339.19, 0.01);

  const TestFolder folder;
  std::string sea = content(even);
  sea.insert(sea.find("[reference]"), "[water]\nkind = \"sea\"\n\n");
  std::ofstream(folder / "sea.toml") << sea;
  EXPECT_NE(polar_output({folder / "sea.toml", "--angle-deg", "1"})
                .find("sea, 15.0 °C, 35.2 g/kg: 1026.0 kg/m³, viscosity 1.1892e-6 m²/s, vapour at 1674 Pa"),
            std::string::npos);
  EXPECT_EQ(json::parse(
                polar_output({folder / "sea.toml", "--angle-deg", "1", "--json"}))["water"]["salinity_g_kg"],
            35.16504);
}

TEST(Polar, NotesOfTheCaseArePrinted) {
  EXPECT_NE(polar_output({even, "--angle-deg", "1"}).find("fresh water of 998.2041 kg/m³ (20 °C) assumed"),
            std::string::npos);
}

TEST(Polar, SweepGoesOnThroughZeroLift) {
  const std::vector<std::string> none = words_after(polar_output({even, "--angle-deg", "-1:1:1"}), "0.00 ");
  ASSERT_EQ(none.size(), 9U);
  EXPECT_EQ(none[0], "0.00000"); // lift
  EXPECT_EQ(none[2], "–");       // near-field difference of no drag
  EXPECT_EQ(none[3], "–");       // span efficiency
  EXPECT_EQ(none[5], "–");       // centre of lift
  EXPECT_NE(none[6], "–");       // neutral point
  EXPECT_EQ(none[7], "–");       // share

  const json points = json::parse(polar_output({even, "--angle-deg", "-1:1:1", "--json"}))["points"];
  ASSERT_EQ(points.size(), 3U);
  EXPECT_TRUE(points[1]["span_efficiency"].is_null());
  EXPECT_TRUE(points[1]["parts"][1]["share_percent"].is_null());
  EXPECT_NEAR(points[2]["lift_coefficient"].get<double>(), -points[0]["lift_coefficient"].get<double>(),
              1e-12);

  const auto csv = lines_of(polar_output({even, "--angle-deg", "-1:1:1", "--csv"}));
  ASSERT_EQ(csv.size(), 4U);
  EXPECT_NE(csv[2].find(",,,"), std::string::npos) << csv[2];
}

TEST(Polar, CsvHasALineOfNamesAndNothingElseThanPoints) {
  const auto csv = lines_of(polar_output({swept, "--angle-deg", "0:2:0.5", "--csv"}));
  ASSERT_EQ(csv.size(), 6U);
  EXPECT_EQ(csv[0],
            "angle_deg,sideslip_deg,roll_rate,pitch_rate,yaw_rate,lift_coefficient,induced_drag_coefficient,"
            "near_field_difference_percent,span_efficiency,"
            "pitching_moment_coefficient,centre_of_lift_mm,neutral_point_mm,side_force_coefficient,"
            "rolling_moment_coefficient,yawing_moment_coefficient,wake_angle_deg,lift_n,drag_n,lift_to_drag,"
            "percent_of_lift_limit,share_percent front wing,"
            "share_percent stabilizer");
  const auto commas = std::count(csv[0].begin(), csv[0].end(), ',');
  for (const std::string& line : csv)
    EXPECT_EQ(std::count(line.begin(), line.end(), ','), commas);
  EXPECT_EQ(csv[2].substr(0, 4), "0.5,");
}

TEST(Polar, LongSweepsAndManySurfacesStayWithinTheTable) {
  for (const auto& arguments : std::vector<std::vector<std::string>>{
           {swept, "--angle-deg", "-10:10:0.01"}, {test_case("ladder.toml"), "--angle-deg", "-5:5:0.1"}}) {
    const std::string table = polar_output(arguments);
    const auto lines = lines_of(table);
    EXPECT_LE(lines.size(), vlm::table_lines) << table;
    EXPECT_GE(lines.size(), vlm::table_lines - 5) << table;
    for (const std::string& line : lines)
      EXPECT_LE(vlm::columns_of(line), vlm::table_width) << line;
    EXPECT_FALSE(words_after(table, arguments[2].substr(0, arguments[2].find(':')) + ".00").empty()) << table;
  }
}

TEST(Polar, SolvesDoNotGrowWithTheSweep) {
  const json few = json::parse(polar_output({swept, "--angle-deg", "0:1:1", "--json"})),
             many = json::parse(polar_output({swept, "--angle-deg", "0:1:0.01", "--json"}));
  EXPECT_EQ(many["num_points"], 101);
  EXPECT_EQ(many["solves"], few["solves"]);
  EXPECT_EQ(many["factorisations"], 1);
}

TEST(Polar, RelaidWakeFollowsEachAngle) {
  const json result = json::parse(polar_output({swept, "--angle-deg", "0:4:2", "--relay-wake", "--json"}));
  EXPECT_EQ(result["factorisations"], 3);
  EXPECT_TRUE(result["wake"]["angle_deg"].is_null());
  for (const json& p : result["points"])
    EXPECT_EQ(p["wake_angle_deg"], p["angle_deg"]);
}

TEST(Polar, WakeOptionsReachTheStudy) {
  const json body = json::parse(polar_output({swept, "--angle-deg", "4", "--wake", "body", "--json"})),
             given =
                 json::parse(polar_output({swept, "--angle-deg", "4", "--wake-angle-deg", "0", "--json"}));
  EXPECT_EQ(body["wake"]["along"], "body");
  EXPECT_EQ(given["wake"]["angle_deg"], 0);
  EXPECT_EQ(body["points"][0]["lift_coefficient"], given["points"][0]["lift_coefficient"]);
}

TEST(Polar, SpanLoadingAddsUpToTheLift) {
  const json result = json::parse(polar_output({swept, "--angle-deg", "0", "--strips", "40", "--json"}));
  const json& loading = result["points"][0]["span_loading"];
  ASSERT_EQ(loading.size(), 80U);
  double force = 0; // trapezoids of the vertical force on the wing, none at the tips
  double y = -420, load = 0;
  for (const json& strip : loading) {
    if (strip["surface"] != "front wing")
      continue;
    force += (strip["lift_n_per_m"].get<double>() + load) / 2 * (strip["y_mm"].get<double>() - y) / 1000;
    y = strip["y_mm"];
    load = strip["lift_n_per_m"];
  }
  force += load / 2 * (420 - y) / 1000;
  const double unit = 0.5 * 998.2 * 5 * 5 * 0.084;
  const double lift = result["points"][0]["parts"][0]["lift_coefficient"].get<double>() * unit;
  EXPECT_NEAR(force, lift, 0.02 * lift); // trapezoids over 40 strips
}

TEST(Polar, OutlineDrawsEachSurfaceWithTheSizeThatTheHeadStates) {
  for (const std::string& file : {swept, std::string(VLM_CASES_DIR) + "/lake-rescue/heron-880.toml"}) {
    const json result = json::parse(polar_output({file, "--angle-deg", "0", "--json"}));
    for (const json& surface : result["surfaces"]) {
      const bool upright = surface["surface"] == "mast"; // drawn and measured in z
      const char* across = upright ? "z_mm" : "y_mm";
      double area = 0, port = 0, starboard = 0; // trapezoids between the points
      const json* before = nullptr;
      for (const json& p : result["outline"]) {
        if (p["surface"] != surface["surface"])
          continue;
        port = std::min(port, p[across].get<double>());
        starboard = std::max(starboard, p[across].get<double>());
        if (before != nullptr)
          area += 0.01 * 0.5 * ((*before)["chord_mm"].get<double>() + p["chord_mm"].get<double>()) *
                  (p[across].get<double>() - (*before)[across].get<double>());
        before = &p;
      }
      EXPECT_NEAR(starboard - port, surface["span_mm"], 1e-9) << file;
      EXPECT_NEAR(area / surface["area_cm2"].get<double>(), 1, 1e-3) << file;
    }
  }
}

TEST(Polar, OutlineHoldsTheStationsInCraftAxes) {
  const json result = json::parse(polar_output({swept, "--angle-deg", "0", "--json"}));
  std::vector<json> stations;
  for (const json& p : result["outline"])
    if (p["surface"] == "stabilizer" && p["station"] == true)
      stations.push_back(p);
  ASSERT_EQ(stations.size(), 3U);
  for (std::size_t i = 0; i < 3; ++i) {
    const double y = 200 * (static_cast<double>(i) - 1);
    EXPECT_NEAR(stations[i]["x_mm"].get<double>(), i == 1 ? 480 : 500, 1e-9);
    EXPECT_NEAR(stations[i]["y_mm"].get<double>(), y, 1e-9);
    EXPECT_NEAR(stations[i]["z_mm"].get<double>(), 20, 1e-9);
    EXPECT_NEAR(stations[i]["chord_mm"].get<double>(), i == 1 ? 60 : 40, 1e-9);
  }
}

TEST(Polar, WithoutASpeedCirculationIsGivenOverTheSpeed) {
  const json with = json::parse(polar_output({even, "--angle-deg", "3", "--speed-m-s", "4", "--json"})),
             without = json::parse(polar_output({even, "--angle-deg", "3", "--json"}));
  const json &dimensional = with["points"][0]["span_loading"][2],
             &plain = without["points"][0]["span_loading"][2];
  EXPECT_FALSE(plain.contains("lift_n_per_m"));
  EXPECT_NEAR(dimensional["circulation_m2_s"].get<double>(),
              4 * plain["circulation_over_speed_m"].get<double>(), 1e-14);
  EXPECT_NEAR(
      dimensional["lift_n_per_m"].get<double>(),
      with["water"]["density_kg_m3"].get<double>() * 4 * dimensional["circulation_m2_s"].get<double>(), 1e-9);
}

TEST(Polar, FiguresDoNotDependOnThreads) {
  EXPECT_EQ(polar_output({swept, "--angle-deg", "0:3:1", "--csv", "--threads", "1"}),
            polar_output({swept, "--angle-deg", "0:3:1", "--csv", "--threads", "3"}));
}

// At the steeper angles the craft stands out of the water.
// Below depth Froude number 3, in a turn and out of it; one with a fuselage, a mast and drag of the section's
// own.
TEST(Polar, RecordHoldsTheFiguresOfJson) {
  const std::string ridden = test_case("ridden.toml");
  expect_record_as_json("vlm-polar", {ridden, "--angle-deg", "0:4:2", "--speed-m-s", "4"});
  expect_record_as_json("vlm-polar", {heron, "--angle-deg", "1:3:2", "--strips", "8", "--panels-per-strip",
                                      "2", "--sideslip-deg", "2", "--roll-rate-deg-s", "5",
                                      "--pitch-rate-deg-s", "3", "--yaw-rate-deg-s", "4", "--relay-wake"});
  expect_record_as_json("vlm-polar", {ridden, "--angle-deg", "3", "--speed-m-s", "4", "--derivatives"});
}

TEST(Polar, AStudyThatFailsLeavesNoRecord) {
  const TestFolder folder;
  const std::string record = folder / "foil.h5";
  const Outcome outcome = run_program(
      "vlm-polar", {heron, "--angle-deg", "0:40:10", "--relay-wake", "--depth-mm", "120", "-o", record});
  EXPECT_EQ(outcome.exit_code, 2);
  EXPECT_NE(outcome.err.find("error: "), std::string::npos);
  EXPECT_FALSE(std::filesystem::exists(record));
  EXPECT_FALSE(std::filesystem::exists(record + ".partial"));
}

TEST(Polar, RecordIsWrittenBesideTheTable) {
  const TestFolder folder;
  const std::string record = folder / "foil.h5";
  EXPECT_EQ(polar_output({swept, "--angle-deg", "0:3:1", "-o", record}),
            polar_output({swept, "--angle-deg", "0:3:1"}));
  EXPECT_EQ(content(record).substr(1, 3), "HDF");
  EXPECT_FALSE(std::filesystem::exists(record + ".partial"));
  const std::string complete = run_program("h5dump", {"-a", "/complete", record}).out;
  EXPECT_NE(complete.find("(0): 1"), std::string::npos) << complete;
  const std::string panels = run_program("h5dump", {"-H", "-d", "/VTKHDF/CellData/circulation", record}).out;
  EXPECT_NE(panels.find("( 80 )"), std::string::npos) << panels;
}

TEST(Polar, DemonstrationCraftIsBalancedAtItsOperation) {
  const json points = json::parse(polar_output({heron, "--angle-deg", "-2:8:0.5", "--json"}))["points"];
  EXPECT_LT(points.front()["lift_coefficient"].get<double>(), 0.2);
  EXPECT_GT(points.back()["lift_coefficient"].get<double>(), 0.8);
  for (const json& p : points)
    EXPECT_GT(p["neutral_point_mm"].get<double>(), p["centre_of_lift_mm"].get<double>()) << p["angle_deg"];
}

TEST(Polar, WholeCraftHasAllItsParts) {
  const json result = json::parse(polar_output({heron, "--angle-deg", "4", "--json"}));
  EXPECT_NEAR(result["fuselage"]["length_mm"].get<double>(), 800, 1e-9);
  EXPECT_EQ(result["fuselage"]["rings"], 24);
  EXPECT_NE(polar_output({heron, "--angle-deg", "4"}).find("length 800.0, width 28.0, height 36.0 mm"),
            std::string::npos);
  const json point = result["points"][0];
  std::vector<std::string> parts;
  double lift = 0;
  for (const json& part : point["parts"]) {
    parts.push_back(part["part"]);
    lift += part["lift_coefficient"].get<double>();
  }
  EXPECT_EQ(parts, (std::vector<std::string>{"front wing", "stabilizer", "mast", "fuselage"}));
  EXPECT_NEAR(lift, point["lift_coefficient"].get<double>(), 1e-12);
  std::vector<std::string> causes;
  for (const json& item : point["drag"])
    causes.push_back(item["part"].get<std::string>() + ": " + item["cause"].get<std::string>());
  for (const std::string wanted :
       {"front wing: induced", "fuselage: friction and form", "mast - fuselage: junction",
        "mast - still surface: spray", "stabilizer: friction and form"})
    EXPECT_NE(std::find(causes.begin(), causes.end(), wanted), causes.end()) << wanted;
}

TEST(Polar, SlowRunsAreBracketed) {
  const json fast = json::parse(polar_output({heron, "--angle-deg", "4", "--json"}));
  EXPECT_TRUE(fast["still_surface"]["image_holds"].get<bool>());
  EXPECT_FALSE(fast["points"][0].contains("without_image"));
  // √(9.80665 · 0.3) = 1.71522 m/s.
  EXPECT_NEAR(fast["still_surface"]["depth_froude_number"].get<double>(), 5.5 / 1.71522, 1e-4);

  const std::vector<std::string> slow{heron, "--angle-deg", "4", "--speed-m-s", "4"};
  std::vector<std::string> slow_json = slow;
  slow_json.emplace_back("--json");
  const json result = json::parse(polar_output(slow_json));
  EXPECT_FALSE(result["still_surface"]["image_holds"].get<bool>());
  const json& point = result["points"][0];
  EXPECT_GT(point["without_image"]["lift_coefficient"].get<double>(),
            point["lift_coefficient"].get<double>());
  EXPECT_GT(point["wave_drag_upper_estimate_n"].get<double>(), 0);
  const std::string table = polar_output(slow);
  EXPECT_NE(table.find("warning"), std::string::npos);
  std::vector<std::string> slow_csv = slow;
  slow_csv.emplace_back("--csv");
  const auto csv = lines_of(polar_output(slow_csv));
  EXPECT_NE(csv[0].find("lift_coefficient_without_image"), std::string::npos) << csv[0];
  EXPECT_NE(csv[1].find(point["without_image"]["lift_coefficient"].dump().substr(0, 8)), std::string::npos)
      << csv[1];
  EXPECT_NE(table.find(shown(point["without_image"]["lift_coefficient"], 5)), std::string::npos);
}

TEST(Polar, DepthAndBankAreThoseOfTheCommand) {
  const auto lift = [](std::vector<std::string> more) {
    std::vector<std::string> arguments{heron, "--angle-deg", "4", "--json"};
    arguments.insert(arguments.end(), more.begin(), more.end());
    return json::parse(polar_output(arguments))["points"][0]["lift_coefficient"].get<double>();
  };
  EXPECT_LT(lift({"--depth-mm", "150"}), lift({}));
  EXPECT_LT(lift({"--depth-mm", "300", "--bank-deg", "30"}), lift({}));
  EXPECT_NEAR(lift({"--depth-mm", "300"}), lift({}), 1e-12);
}

TEST(Polar, DerivativesAreOneLineEachUnderThreeHeadings) {
  const auto lines = lines_of(polar_output({heron, "--angle-deg", "4", "--derivatives"}));
  EXPECT_LE(lines.size(), 40U);
  for (const std::string& line : lines)
    EXPECT_LE(vlm::columns_of(line), 100U) << line;
  for (const std::string heading : {"stiffness", "damping", "coupling"})
    EXPECT_EQ(std::count(lines.begin(), lines.end(), heading), 1) << heading;
  const json all =
      json::parse(polar_output({heron, "--angle-deg", "4", "--derivatives", "--json"}))["derivatives"];
  EXPECT_EQ(all.size(), 32U); // six components against five motions, and two against depth
  for (const json& d : all) {
    double sum = 0;
    for (const json& part : d["parts"])
      sum += part["value"].get<double>();
    EXPECT_NEAR(sum, d["value"].get<double>(), 1e-9 * (1 + std::abs(sum))) << d["name"];
  }
  const auto line = std::find_if(lines.begin(), lines.end(), [](const std::string& l) {
    return l.find("rolling moment due to roll rate") != std::string::npos;
  });
  ASSERT_NE(line, lines.end());
  for (const json& d : all) {
    const bool found = line->find(shown(d["value"], 5)) != std::string::npos;
    EXPECT_TRUE(found || d["name"] != "rolling moment due to roll rate") << *line;
  }
}

// The derivatives of a slow run stand beside those without the image; depth has no counterpart there.
TEST(Polar, SlowDerivativesAreBracketed) {
  const TestFolder folder;
  const std::string record = folder / "slow.h5";
  const std::vector<std::string> at{swept, "--angle-deg", "4", "--derivatives", "--depth-mm", "300"};
  std::vector<std::string> fast = at, slow = at;
  fast.insert(fast.end(), {"--speed-m-s", "6"}); // √(9.80665 · 0.3) = 1.71522 m/s: Froude number 3.5
  slow.insert(slow.end(), {"--speed-m-s", "4"}); // 2.3
  const auto as_json = [](std::vector<std::string> arguments, const std::vector<std::string>& more) {
    arguments.insert(arguments.end(), more.begin(), more.end());
    return json::parse(polar_output(arguments));
  };
  EXPECT_EQ(polar_output(fast).find("no image"), std::string::npos);
  const json fast_result = as_json(fast, {"--json"}); // the loop would not keep a temporary alive
  for (const json& d : fast_result["derivatives"])
    EXPECT_FALSE(d.contains("value_without_image")) << d["name"];

  const json result = as_json(slow, {"--json", "-o", record});
  const std::string table = polar_output(slow);
  EXPECT_NE(table.find("warning"), std::string::npos) << table;
  EXPECT_NE(table.find("CL " + shown(result["points"][0]["lift_coefficient"], 5) + " (no image " +
                       shown(result["points"][0]["without_image"]["lift_coefficient"], 5) + ")"),
            std::string::npos)
      << table;
  std::size_t num_shown = 0, num_without_counterpart = 0;
  for (const json& d : result["derivatives"]) {
    const json& bare = d["value_without_image"];
    const bool of_depth = d["name"].get<std::string>().find("depth") != std::string::npos;
    EXPECT_EQ(bare.is_null(), of_depth) << d["name"];
    if (of_depth)
      ++num_without_counterpart;
    double sum = 0;
    for (const json& part : d["parts"]) {
      EXPECT_EQ(part["value_without_image"].is_null(), of_depth) << d["name"];
      sum += of_depth ? 0 : part["value_without_image"].get<double>();
    }
    EXPECT_NEAR(sum, of_depth ? 0 : bare.get<double>(), 1e-9 * (1 + std::abs(sum))) << d["name"];
    const std::vector<std::string> row = words_after(table, d["name"].get<std::string>() + " ");
    if (row.empty())
      continue;
    ++num_shown;
    EXPECT_EQ(row[1], shown(bare, !of_depth && std::abs(bare.get<double>()) >= 10 ? 3 : 5)) << d["name"];
    if (d["name"] == "lift due to angle of attack") { // which the image takes from
      EXPECT_GT(std::abs(bare.get<double>()), std::abs(d["value"].get<double>())) << d["name"];
    }
  }
  EXPECT_GE(num_shown, 10U) << table;
  EXPECT_EQ(num_without_counterpart, 2U);
  const std::string written =
      run_program("h5dump", {"-H", "-d", "/derivatives_without_image/value", record}).out;
  EXPECT_NE(written.find("( 30 )"), std::string::npos) << written;
}

TEST(Polar, SidewaysStreamShowsSidewaysLoads) {
  const std::vector<std::string> command{heron, "--angle-deg",      "4", "--sideslip-deg",
                                         "3",   "--yaw-rate-deg-s", "20"};
  std::vector<std::string> as_json = command;
  as_json.emplace_back("--json");
  const json point = json::parse(polar_output(as_json))["points"][0];
  EXPECT_NEAR(point["sideslip_deg"].get<double>(), 3, 1e-9);
  // r b/2V = 20° · π/180 · 0.86 m / (2 · 5.5 m/s)
  EXPECT_NEAR(point["yaw_rate"].get<double>(), 20 * std::numbers::pi / 180 * 0.86 / 11, 1e-9);
  EXPECT_LT(point["side_force_coefficient"].get<double>(), 0); // water from starboard pushes to port
  EXPECT_TRUE(point["near_field_difference_percent"].is_null());
  EXPECT_NE(polar_output(command).find(shown(point["side_force_coefficient"], 5)), std::string::npos);
}

TEST(Polar, DragAtSpeedsCarriesTheMass) {
  const std::vector<std::string> command{
      heron, "--speeds-m-s", "4.5:7.5:1.5", "--strips", "8", "--panels-per-strip", "3"};
  std::vector<std::string> in_json = command;
  in_json.push_back("--json");
  const json result = json::parse(polar_output(in_json));
  ASSERT_EQ(result["points"].size(), 3U);
  for (const json& p : result["points"]) {
    EXPECT_NEAR(p["lift_n"].get<double>(), 98 * 9.80665, 1e-6);
    double sum = 0;
    for (const json& item : p["drag"])
      sum += item["drag_n"].get<double>();
    EXPECT_NEAR(sum, p["drag_n"].get<double>(), 1e-9);
  }
  const auto lines = lines_of(polar_output(command));
  EXPECT_LE(lines.size(), 45U);
  for (const std::string& line : lines)
    EXPECT_LE(vlm::columns_of(line), 100U) << line;
}

TEST(Polar, SideslipAndRatesAreStatedAndBringSideForceRollAndYaw) {
  const std::vector<std::string> turning{swept, "--angle-deg",       "0:4:2", "--sideslip-deg",
                                         "5",   "--roll-rate-deg-s", "20",    "--yaw-rate-deg-s",
                                         "-1.5"};
  const std::string table = polar_output(turning);
  for (const std::string part : {"motion        sideslip 5.00 deg, roll rate 20.00 deg/s, p b/2V 0.02932, ",
                                 "yaw rate -1.50 deg/s, r b/2V", " -0.00220\n"})
    EXPECT_NE(table.find(part), std::string::npos) << part << "\n" << table;
  std::vector<std::string> as_json = turning;
  as_json.push_back("--json");
  const json points = json::parse(polar_output(as_json))["points"];
  ASSERT_EQ(points.size(), 3U);
  for (const json& p : points) {
    EXPECT_NEAR(p["sideslip_deg"].get<double>(), 5, 1e-9);
    EXPECT_NEAR(p["roll_rate"].get<double>(), 20 * std::numbers::pi / 180 * 0.84 / (2 * 5), 1e-12);
    EXPECT_EQ(p["pitch_rate"], 0);
    EXPECT_LT(p["rolling_moment_coefficient"].get<double>(), -0.01); // it is damped
    const std::vector<std::string> row = words_after(table, shown(p["angle_deg"], 2) + " ");
    ASSERT_GE(row.size(), 7U);
    EXPECT_EQ((std::vector<std::string>{row[4], row[5], row[6]}),
              (std::vector<std::string>{shown(p["side_force_coefficient"], 5),
                                        shown(p["rolling_moment_coefficient"], 5),
                                        shown(p["yawing_moment_coefficient"], 5)}));
  }
}

TEST(Polar, DerivativesStandInGroupsWithTheSharesOfTheParts) {
  const std::vector<std::string> command{swept, "--angle-deg", "3", "--derivatives"};
  const std::string table = polar_output(command);
  const json result = json::parse(polar_output({swept, "--angle-deg", "3", "--derivatives", "--json"}));
  ASSERT_EQ(result["derivatives"].size(), 30U);
  ASSERT_EQ(result["points"].size(), 1U);
  std::size_t num_shown = 0;
  for (const json& d : result["derivatives"]) {
    const bool rate = d["name"].get<std::string>().find(" rate") != std::string::npos;
    EXPECT_EQ(d["unit"], rate ? "per rate" : "per rad");
    const double value = d["value"];
    double sum = 0;
    for (const json& part : d["parts"])
      sum += part["value"].get<double>();
    EXPECT_NEAR(sum, value, 1e-10);
    const std::vector<std::string> row = words_after(table, d["name"].get<std::string>() + " ");
    if (row.empty())
      continue;
    ++num_shown;
    EXPECT_EQ(row, (std::vector<std::string>{fixed(value, std::abs(value) < 10 ? 5 : 3), "per",
                                             rate ? "rate" : "rad", shown(d["parts"][0]["share_percent"], 1),
                                             shown(d["parts"][1]["share_percent"], 1)}))
        << d["name"];
  }
  EXPECT_GE(num_shown, 15U);
  EXPECT_NE(table.find(std::to_string(30 - num_shown) + " more vanish"), std::string::npos) << table;
  const std::size_t stiffness = table.find("\nstiffness\n"), damping = table.find("\ndamping\n"),
                    coupling = table.find("\ncoupling\n");
  EXPECT_LT(stiffness, table.find("pitching moment due to angle of attack"));
  EXPECT_LT(damping, table.find("rolling moment due to roll rate"));
  EXPECT_LT(table.find("yawing moment due to yaw rate"), coupling);
  EXPECT_LT(stiffness, damping);
  EXPECT_LT(coupling, table.find("drag due to angle of attack"));
}

TEST(Polar, DerivativesOfAnyCraftStayWithinTheTable) {
  const std::vector<std::string> slow{"--depth-mm", "3000", "--speed-m-s", "10"}; // Froude number 1.8
  for (const auto& [file, more] : std::vector<std::pair<std::string, std::vector<std::string>>>{
           {swept, {}}, {swept, slow}, {test_case("ladder.toml"), {}}, {test_case("ladder.toml"), slow}}) {
    std::vector<std::string> arguments{file, "--angle-deg", "3", "--derivatives", "--sideslip-deg", "4"};
    arguments.insert(arguments.end(), more.begin(), more.end());
    const std::string table = polar_output(arguments);
    EXPECT_EQ(table.find("no image") != std::string::npos, !more.empty()) << table;
    EXPECT_LE(lines_of(table).size(), vlm::table_lines) << table;
    for (const std::string& line : lines_of(table))
      EXPECT_LE(vlm::columns_of(line), vlm::table_width) << line;
    EXPECT_NE(table.find("more couplings: --json or -o"), std::string::npos) << table;
  }
}

// The force along the stream in a turn is induced drag and what the moments do against the turn.
TEST(Polar, DragInATurnIsThatOfTheNearField) {
  const auto turning = [](const std::string& rate) {
    const json result = json::parse(polar_output(
        {heron, "--angle-deg", "4", "--pitch-rate-deg-s", rate, "--wake-angle-deg", "4", "--json"}));
    const double pressure = 0.5 * result["water"]["density_kg_m3"].get<double>() * 5.5 * 5.5 *
                            result["reference"]["area_cm2"].get<double>() * 1e-4;
    const json point = result["points"][0];
    double induced = 0, near = 0;
    for (const json& item : point["drag"])
      if (item["cause"] == "induced" || item["cause"] == "tilt of the lift by the turn")
        induced += item["drag_n"].get<double>();
    for (const json& part : point["parts"])
      near += part["near_field_drag_coefficient"].get<double>() * pressure;
    return std::pair(induced, near);
  };
  for (const std::string rate : {"-20", "0", "20"}) {
    const auto [induced, near] = turning(rate);
    EXPECT_NEAR(induced / near, 1, 0.03) << rate;
  }
  EXPECT_GT(turning("20").first, 1.8 * turning("-20").first);
}

TEST(Polar, DerivativesOfAFlatWingWithoutLiftAreThere) {
  const TestFolder folder;
  const std::filesystem::path path = folder / "flat-wing.toml";
  std::ofstream(path) << R"(title = "Flat plate"
[section.flat]
mean_line = "parabola"
camber_percent = 0
thickness_percent = 0.1
[[surface]]
name = "plate"
stations = [
  { y_mm = -300, leading_edge_mm = 0, chord_mm = 100, section = "flat" },
  { y_mm = 300, leading_edge_mm = 0, chord_mm = 100, section = "flat" },
]
)";
  const std::string table = polar_output({path.string(), "--angle-deg", "0", "--derivatives"});
  EXPECT_NE(table.find("lift due to angle of attack"), std::string::npos) << table;
  EXPECT_EQ(table.find("rolling moment due to sideslip"), std::string::npos) << table; // none without lift
}

TEST(Polar, ASpeedThatCannotBeRiddenDoesNotEndTheOthers) {
  const json result = json::parse(polar_output({heron, "--speeds-m-s", "2:6:4", "--json"}));
  ASSERT_EQ(result["points"].size(), 2U);
  EXPECT_TRUE(result["points"][0]["drag_n"].is_null());
  EXPECT_EQ(result["points"][0]["refusal"],
            "no angle of attack within ±28 degrees carries the lift: go faster, carry less or take a larger "
            "craft");
  EXPECT_GT(result["points"][1]["drag_n"].get<double>(), 0);
  EXPECT_EQ(lines_of(polar_output({heron, "--speeds-m-s", "2:6:4", "--csv"})).back().substr(0, 2), "6,");
  const std::string table = polar_output({heron, "--speeds-m-s", "1:6:1"});
  EXPECT_NE(table.find("– at 1.00, 2.00 m/s: no angle of attack"), std::string::npos) << table;
  for (const char* form : {"--csv", "--json"}) {
    const Outcome none = run_program("vlm-polar", {heron, "--speeds-m-s", "1:2:1", form});
    EXPECT_EQ(none.exit_code, 2);
    EXPECT_EQ(none.out, "");
    EXPECT_EQ(none.err, "vlm-polar: error: --speeds-m-s: no angle of attack within ±28 degrees carries the "
                        "lift: go faster, carry less or take a larger craft\n");
  }
}

} // namespace
