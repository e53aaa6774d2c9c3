#include <gtest/gtest.h>

#include <fstream>

#include <nlohmann/json.hpp>

#include <vlm/file/text_table.hpp>

#include "run_program.hpp"

namespace {

using nlohmann::json;

// A craft of two tapered surfaces whose lengths are so many times those of the first; few panels, for what is
// asserted holds of any lattice.
std::string written(const TestFolder& folder, const std::string& title, double wing, double tail) {
  const auto surface = [](const std::string& name, const std::string& more, double root, double tip,
                          double half_span) {
    return "[[surface]]\nname = \"" + name + "\"\n" + more +
           "\nmirror = true\nstrips = 8\npanels_per_strip = 2\nstations = [{ y_mm = 0, leading_edge_mm = 0, "
           "chord_mm = " +
           std::to_string(root) + ", section = \"s\" }, { y_mm = " + std::to_string(half_span) +
           ", leading_edge_mm = " + std::to_string(root - tip) + ", chord_mm = " + std::to_string(tip) +
           ", section = \"s\" }]\n";
  };
  const std::string file = folder / (title + ".toml");
  std::ofstream(file) << "title = \"" << title << "\"\n[water]\nkind = \"fresh\"\ndepth_mm = 300\n"
                      << "[reference]\nsurface = \"wing\"\n[operation]\nspeed_m_s = 5.5\n"
                      << "[rider]\nmass_kg = 70\ncentre_height_mm = 950\n[deck]\nheight_mm = 770\n"
                      << "[section.s]\nnaca = \"2412\"\nmax_lift_coefficient = 1.2\n"
                      << surface("wing", "position_mm = [-150, 0, 0]", 130 * wing, 80 * wing, 400 * wing)
                      << surface("tail", "position_mm = [450, 0, 10]\nincidence_deg = -3", 60 * tail,
                                 40 * tail, 200 * tail);
  return file;
}

TEST(Compare, HelpTellsWhatItTakes) {
  const Outcome outcome = run_program("vlm-compare", {"--help"});
  EXPECT_EQ(outcome.exit_code, 0);
  EXPECT_NE(outcome.out.find("vlm-compare CASE CASE..."), std::string::npos);
  for (const char* option : {"--track-mm", "--swap", "--angle-deg", "--speeds-m-s"})
    EXPECT_NE(outcome.out.find(option), std::string::npos) << option;
}

void expect_refused(const std::vector<std::string>& words, const std::string& message) {
  const Outcome outcome = run_program("vlm-compare", words);
  EXPECT_EQ(outcome.exit_code, 2);
  EXPECT_EQ(outcome.out, "");
  EXPECT_EQ(outcome.err, "vlm-compare: error: " + message + "\n");
}

TEST(Compare, WrongCasesAreRefused) {
  expect_refused({heron}, "a range with one craft: found one case, wanted two or more");
  expect_refused({heron, heron}, "title: found 'Heron 880, lake rescue foil board' twice, wanted a title of "
                                 "its own for each craft");
  expect_refused({heron, even},
                 even + ": found no [rider], wanted [rider] and [deck] (docs/case.md) to balance it");
}

TEST(Compare, RecordReplacesNoCase) {
  const TestFolder folder;
  const std::string first = written(folder, "Tern 840", 1, 1), larger = written(folder, "Tern 1016", 1.1, 1),
                    other = written(folder, "Plover", 1, 1.1);
  for (const std::string& file : {larger, other}) {
    const std::string kept = content(file);
    const Outcome outcome = run_program("vlm-compare", {first, larger, "--swap", other, "-o", file});
    EXPECT_EQ(outcome.exit_code, 2);
    EXPECT_EQ(outcome.out, "");
    EXPECT_NE(outcome.err.find(file + ": found a file that is no record"), std::string::npos) << outcome.err;
    EXPECT_EQ(content(file), kept);
  }
}

TEST(Compare, SaysThatARunWasKilled) {
  const TestFolder folder;
  const std::string first = written(folder, "Tern 840", 1, 1), larger = written(folder, "Tern 1016", 1.1, 1),
                    record = folder / "range.h5",
                    note = record + ".partial: left by a run that did not end, replaced";
  std::ofstream(record + ".partial") << "half a record";
  const json result = json::parse(run_program("vlm-compare", {first, larger, "-o", record, "--json"}).out);
  EXPECT_EQ(result["points"][0]["notes"].back(), note);
  EXPECT_EQ(result["points"][1]["notes"].dump().find("left by"), std::string::npos);
  std::ofstream(record + ".partial") << "half a record";
  const std::string table = run_program("vlm-compare", {first, larger, "-o", record}).out;
  EXPECT_NE(table.find("– A, note: " + note.substr(0, 60)), std::string::npos) << table;
}

TEST(Compare, RecordHoldsTheFiguresOfJson) {
  const TestFolder folder;
  const std::string first = written(folder, "Tern 840", 1, 1), larger = written(folder, "Tern 1016", 1.1, 1);
  expect_record_as_json("vlm-compare",
                        {first, larger, "--track-mm", "200", "--speeds-m-s", "1:7:3", "--swap", larger});
}

TEST(Compare, TableJsonAndCsvSayTheSame) {
  const TestFolder folder;
  const std::string first = written(folder, "Tern 840", 1, 1), larger = written(folder, "Tern 1016", 1.1, 1);
  const std::vector<std::string> words{first, larger, "--track-mm", "200", "--speeds-m-s", "5:7:1"};
  const auto put_out = [&](const std::string& form) {
    std::vector<std::string> all = words;
    if (!form.empty())
      all.push_back(form);
    const Outcome outcome = run_program("vlm-compare", all);
    EXPECT_EQ(outcome.exit_code, 0);
    EXPECT_EQ(outcome.err, "");
    return outcome.out;
  };
  const json result = json::parse(put_out("--json"));
  EXPECT_EQ(result["speed_m_s"], 5.5); // the first case's
  const json &a = result["points"][0], &b = result["points"][1];
  EXPECT_NEAR(b["area_cm2"].get<double>() / a["area_cm2"].get<double>(), 1.21, 1e-6);
  EXPECT_NEAR(a["equal_lift_area_cm2"].get<double>(), a["area_cm2"].get<double>(), 1e-6);
  // All else is the first craft: at its area, it is that.
  EXPECT_NEAR(b["equal_lift_area_cm2"].get<double>(), a["area_cm2"].get<double>(), 0.01);
  EXPECT_GT(b["lift_at_equal_angle_n"], a["lift_at_equal_angle_n"]);
  EXPECT_EQ(b["next_smaller"], a["title"]);
  EXPECT_LT(b["take_off_step_m_s"], 0);
  for (int k = 0; k < 3; ++k)
    EXPECT_NEAR(b["speeds"][k]["track_mm"].get<double>() + b["speeds"][k]["load_station_mm"].get<double>(),
                200 + a["speeds"][k]["load_station_mm"].get<double>(), 1e-6);

  const std::string table = put_out("");
  const std::vector<std::string> lines = lines_of(table);
  EXPECT_LE(lines.size(), vlm::table_lines);
  for (const std::string& line : lines)
    EXPECT_LE(vlm::columns_of(line), vlm::table_width) << line;
  const std::vector<std::string> track = words_after(table, "mast in the track, mm");
  ASSERT_EQ(track.size(), 2U);
  EXPECT_EQ(track[1], vlm::fixed(b["track_mm"].get<double>(), 1));
  EXPECT_NE(table.find("graduated on-water testing"), std::string::npos);
  EXPECT_NE(table.find("depth Froude number 3"), std::string::npos); // 300 mm under at 5 m/s: 2.9

  const std::vector<std::string> csv = lines_of(put_out("--csv"));
  ASSERT_EQ(csv.size(), 3U);
  EXPECT_NE(csv[0].find("load_station_mm at 6 m/s"), std::string::npos);
  EXPECT_EQ(csv[2].substr(0, 9), "Tern 1016");
}

TEST(Compare, StabilizersOfTheOldFamilyStandInForThemselves) {
  const TestFolder folder;
  const std::string first = written(folder, "Tern", 1, 1),
                    other = written(folder, "Tern with a larger tail", 1, 1.1);
  const Outcome outcome = run_program("vlm-compare", {first, other, "--json", "--swap", other});
  ASSERT_EQ(outcome.exit_code, 0) << outcome.err;
  const json points = json::parse(outcome.out)["points"];
  // To rounding of the file's lengths, and the micrometre that the balance is sought to.
  EXPECT_NEAR(points[0]["swap_area_scale"].get<double>(), 1 / 1.21, 1e-3);
  EXPECT_NEAR(points[0]["swap_incidence_change_deg"].get<double>(), 0, 1e-3);
  EXPECT_EQ(points[1]["swap_area_scale"], 1);
  EXPECT_EQ(points[1]["swap_as_drawn_load_station_off_mm"], 0);
  EXPECT_GT(points[0]["swap_as_drawn_neutral_point_off_mm"], 1);

  // Of one wing there are no steps; the table calls stabilizers as its list does.
  EXPECT_TRUE(points[0]["lift_step_n"].is_null());
  EXPECT_TRUE(points[1]["lift_step_n"].is_null());
  const std::string table = run_program("vlm-compare", {first, other, "--swap", other, first}).out;
  EXPECT_EQ(table.find("next smaller"), std::string::npos) << table;
  EXPECT_NE(table.find("no. 1 of Tern with a larger tail; no. 2 of Tern\n"), std::string::npos) << table;
  const std::vector<std::string> members = words_after(table, "stabilizer in place of its own on A");
  EXPECT_EQ(members, (std::vector<std::string>{"no.", "2", "no.", "1"}));
}

// 70 kg at 1 m/s are beyond any craft of this size, and said so beside what can be known.
TEST(Compare, CraftsThatCannotBalanceSayWhy) {
  const TestFolder folder;
  const std::string first = written(folder, "Tern 840", 1, 1), larger = written(folder, "Tern 1016", 1.1, 1);
  const Outcome outcome = run_program(
      "vlm-compare", {first, larger, "--speed-m-s", "1", "--angle-deg", "3", "--speeds-m-s", "1"});
  EXPECT_EQ(outcome.exit_code, 0);
  EXPECT_NE(outcome.out.find("– A, B, balance: no angle of attack within"), std::string::npos) << outcome.out;
}

} // namespace
