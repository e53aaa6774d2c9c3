#include <algorithm>

#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include <vlm/file/text_table.hpp>

#include "run_program.hpp"

namespace {

using nlohmann::json;
using vlm::fixed;

const std::string ridden = test_case("ridden.toml");

std::vector<std::string> with(std::vector<std::string> arguments) {
  arguments.insert(arguments.begin(), ridden);
  return arguments;
}

std::string trim_output(const std::vector<std::string>& arguments) {
  const Outcome outcome = run_program("vlm-trim", arguments);
  EXPECT_EQ(outcome.exit_code, 0) << outcome.err;
  EXPECT_EQ(outcome.err, "");
  return outcome.out;
}

TEST(TrimProgram, TableAndJsonHoldTheSameFigures) {
  const std::string table = trim_output(with({"--speeds-m-s", "4:8:2"}));
  const json result = json::parse(trim_output(with({"--speeds-m-s", "4:8:2", "--json"})));
  ASSERT_EQ(result["points"].size(), 3U);
  std::vector<std::string> angles, stations, drags, feet;
  for (const json& p : result["points"]) {
    angles.push_back(fixed(p["angle_deg"].get<double>(), 2));
    stations.push_back(fixed(p["load_station_mm"].get<double>(), 1));
    drags.push_back(fixed(p["drag_n"].get<double>(), 2));
    feet.push_back(fixed(p["front_foot_percent"].get<double>(), 1));
    EXPECT_NEAR(p["power_w"].get<double>(), p["drag_n"].get<double>() * p["speed_m_s"].get<double>(), 1e-6);
  }
  EXPECT_EQ(words_after(table, "angle of attack, deg "), angles);
  EXPECT_EQ(words_after(table, "load station, mm aft of the mast axis "), stations);
  EXPECT_EQ(words_after(table, "drag, N "), drags);
  EXPECT_EQ(words_after(table, "front foot, % "), feet);
  const json& marks = result["marked_speeds"];
  EXPECT_FALSE(marks["take_off"]["image_holds"].get<bool>()); // at 300 mm below 5.1 m/s
  EXPECT_NE(table.find("take-off (image does not hold)"), std::string::npos);
  EXPECT_NE(table.find("warning: below depth Froude 3"), std::string::npos);
  EXPECT_FALSE(result["points"][0]["drag_without_image_n"].is_null());
  EXPECT_TRUE(result["points"][2]["drag_without_image_n"].is_null());
  EXPECT_NE(table.find("graduated on-water testing"), std::string::npos);
  EXPECT_NE(result["caution"].get<std::string>().find("graduated on-water testing"), std::string::npos);
}

TEST(TrimProgram, FindsTheIncidenceForALoadStation) {
  const json as_drawn = json::parse(trim_output(with({"--speeds-m-s", "5.5", "--json"})));
  const double wanted = as_drawn["points"][0]["load_station_mm"].get<double>() - 30;
  const json fitted = json::parse(trim_output(with(
      {"--speeds-m-s", "5.5", "--load-station-mm", fixed(wanted, 3), "--incidence-deg", "-4:4", "--json"})));
  EXPECT_LT(fitted["fitted_incidence"]["incidence_deg"].get<double>(), -1.01); // the case has -1
  EXPECT_NEAR(fitted["points"][0]["load_station_mm"].get<double>(), wanted, 1e-2);
}

TEST(TrimProgram, ViewsSayWhatTheyAreNot) {
  const json handling = json::parse(trim_output(with({"--speeds-m-s", "6", "--handling", "--json"})));
  EXPECT_NE(handling.dump().find("no substitute for graduated on-water testing"), std::string::npos);
  EXPECT_EQ(handling.dump().find("image does not hold"), std::string::npos); // depth Froude number 3.5
  const json slow = json::parse(trim_output(with({"--speeds-m-s", "4", "--handling", "--json"}))); // 2.3
  EXPECT_NE(slow["warning"].get<std::string>().find("image does not hold"), std::string::npos);
  EXPECT_FALSE(slow["points"][0]["image_holds"].get<bool>());
  EXPECT_NE(trim_output(with({"--speeds-m-s", "4", "--handling"})).find("image does not hold"),
            std::string::npos);
  const std::string loads =
      trim_output(with({"--speeds-m-s", "8", "--internal-loads", "--load-factor", "2"}));
  EXPECT_NE(loads.find("licensed engineer"), std::string::npos);
  const std::string reach = trim_output(with({"--speeds-m-s", "5.5", "--reach-bank-deg", "0:40:20"}));
  EXPECT_NE(reach.find("common practice, no source"), std::string::npos);
}

// Twice the masses at √2 of the speed, buoyancy as it was: with 82 kg and 0.9 kg of water displaced the lift
// is (164 - 0.9)/(82 - 0.9) = 2.0111 times as much, nearly all along the span at the same angle.
TEST(TrimProgram, LoadFactorScalesInternalLoads) {
  const auto root = [&](const std::string& speed, const std::string& factor) {
    const json result = json::parse(
        trim_output(with({"--speeds-m-s", speed, "--internal-loads", "--load-factor", factor, "--json"})));
    return result;
  };
  const json one = root("5.5", "1"), two = root("7.7781745930520230", "2");
  const auto bending = [](const json& result) { // at the root of the front wing's first half
    const json& stations = result["points"][0]["beams"][0]["stations"];
    return std::abs(stations.back()["flatwise_bending_n_m"].get<double>());
  };
  ASSERT_GT(bending(one), 10);
  EXPECT_NEAR(bending(two) / bending(one), 2.0111, 2e-3);
}

// At 2 m/s nothing balances, at 4 m/s the image does not hold, at 60 degrees a tip is out of the water.
TEST(TrimProgram, RecordsHoldTheFiguresOfJson) {
  for (const std::vector<std::string>& view : {std::vector<std::string>{"--speeds-m-s", "2:6:2"},
                                               {"--speeds-m-s", "2:6:2", "--handling"},
                                               {"--speeds-m-s", "8", "--internal-loads"},
                                               {"--speeds-m-s", "5.5", "--reach-bank-deg", "0:60:30"}})
    expect_record_as_json("vlm-trim", with(view));
}

// 300 mm under in fresh water the cavitation number is 1 at 14.3 m/s.
TEST(TrimProgram, WarnsOfALowCavitationNumber) {
  const std::string low = "warning: cavitation number";
  EXPECT_EQ(trim_output(with({"--speeds-m-s", "10:14:4"})).find(low), std::string::npos);
  EXPECT_NE(trim_output(with({"--speeds-m-s", "10:20:10"})).find(low + " 0.51 at 20.0 m/s"),
            std::string::npos);
  EXPECT_NE(trim_output(with({"--speeds-m-s", "10:20:10", "--handling"})).find(low), std::string::npos);
  EXPECT_NE(trim_output(with({"--speeds-m-s", "20", "--internal-loads"})).find(low), std::string::npos);
}

// On the face of a wave drag cannot be more than the weight, however fast.
TEST(TrimProgram, DoesNotAdviseToGoFasterWhereTheDragIsTooGreat) {
  const TestFolder folder;
  const std::filesystem::path path = folder / "wave.toml";
  std::string text = content(ridden);
  text.erase(text.find("[drive]"));
  std::ofstream(path) << text << "[drive]\nkind = \"wave\"\n";
  const Outcome outcome = run_program("vlm-trim", {path.string(), "--speeds-m-s", "90"});
  EXPECT_EQ(outcome.exit_code, 2);
  EXPECT_NE(outcome.err.find("the drag at 90 m/s is not balanced"), std::string::npos) << outcome.err;
  EXPECT_NE(outcome.err.find("go slower"), std::string::npos) << outcome.err;
  EXPECT_EQ(outcome.err.find("go faster"), std::string::npos) << outcome.err;
}

struct Wrong {
  std::vector<std::string> arguments;
  std::string says;
};

TEST(TrimProgram, SaysWhatIsWrong) {
  const std::vector<Wrong> all{
      {with({}), "--speeds-m-s"},
      {{even, "--speeds-m-s", "5"}, "found no [rider]"},
      {with({"--speeds-m-s", "1"}), "no angle of attack within ±28 degrees balances 81 kg at 1 m/s"},
      {with({"--speeds-m-s", "2.9:3.1:0.1"}), "without some strip beyond its section's max_lift_coefficient"},
      {with({"--speeds-m-s", "5", "--handling", "--internal-loads"}), "wanted one of the two"},
      {with({"--speeds-m-s", "3", "--internal-loads"}), "of its section's max_lift_coefficient"},
      {with({"--speeds-m-s", "1", "--handling"}), "no angle of attack within"},
      {with({"--speeds-m-s", "5", "--load-factor", "2"}), "found no --internal-loads"},
      {with({"--speeds-m-s", "5:6:1", "--internal-loads"}), "found 2 speeds, wanted a single one"},
      {with({"--speeds-m-s", "5", "--internal-loads", "--load-factor", "0"}), "--load-factor"},
      {with({"--speeds-m-s", "5", "--load-station-mm", "-100"}), "wanted --incidence-deg"},
      {with({"--speeds-m-s", "5", "--incidence-deg", "-1:1"}), "found no --load-station-mm"},
      {with({"--speeds-m-s", "5", "--load-station-mm", "0", "--incidence-deg", "2:-2"}), "lower end first"},
      {with({"--speeds-m-s", "5", "--reach-bank-deg", "0:85:5"}), "79"},
  };
  for (const Wrong& wrong : all) {
    const Outcome outcome = run_program("vlm-trim", wrong.arguments);
    EXPECT_EQ(outcome.exit_code, 2) << wrong.says;
    EXPECT_NE(outcome.err.find(wrong.says), std::string::npos) << outcome.err;
    EXPECT_EQ(outcome.err.find('\n'), outcome.err.size() - 1) << outcome.err;
    EXPECT_EQ(outcome.out, "");
  }
}

} // namespace
