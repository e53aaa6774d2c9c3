// Handling figures as they are put out: table, JSON, CSV and record.

#include <gtest/gtest.h>

#include <filesystem>
#include <sstream>

#include <nlohmann/json.hpp>
#include <unistd.h>

#include <vlm/base/error.hpp>
#include <vlm/file/handling_output.hpp>
#include <vlm/file/record.hpp>
#include <vlm/lattice/lattice.hpp>

#include "../support/python.hpp"

namespace {

using nlohmann::json;

vlm::Mode mode(const std::string& name, double growth, double swing, double k) {
  vlm::Mode m;
  m.name = name, m.growth = growth, m.angular_frequency = swing, m.reduced_frequency = k;
  m.quasi_steady = k < 0.1;
  m.share = {0.25, 0.25, 0.5};
  if (swing > 0)
    m.frequency = swing / 6.25, m.damping_ratio = 0.5;
  (growth < 0 ? m.time_to_half : m.time_to_double) = 0.75 / std::abs(growth);
  return m;
}

// Made-up figures, that grow with the speed.
vlm::HandlingPoint point(double speed) {
  vlm::Handling h;
  vlm::HandlingFigures change;
  double figure = 0.125 * speed;
  for (const vlm::HandlingFigure& f : vlm::handling_figures())
    h.figures.*f.figure = figure *= 2, change.*f.figure = -figure;
  change.pitch_lag_damping.reset();
  h.per_depth = change;
  h.load_line = -0.05;
  h.height_stiffness = 210;
  h.height_neutral_point = -0.0425;
  h.rigid.modes = {mode("oscillation in heave and pitch", -8, 16, 0.2),
                   mode("divergence in surge", 2, 0, 0.02)};
  h.on_the_deck.modes = {mode("subsidence in pitch", -25, 0, 0.25), mode("subsidence in heave", -4, 0, 0.04),
                         mode("divergence in surge", 1, 0, 0.01)};
  return {{speed, 0.05, -0.125, 0.05}, h, ""};
}

// The case of the lake rescue board, with some speeds.
struct Study {
  vlm::Case input = vlm::read_case(std::string(VLM_CASES_DIR) + "/lake-rescue/heron-880.toml");
  vlm::Lattice lattice = vlm::make_lattice(input.craft, input.lattice);
  vlm::HandlingResult result;

  explicit Study(const std::vector<double>& speeds) {
    for (const double speed : speeds)
      result.points.push_back(point(speed));
    result.points.push_back({{1.5}, std::nullopt, "no angle of attack carries the weight"});
    result.summary.num_points = result.points.size();
  }
  vlm::StudyHead head() const {
    return {"vlm-trim", input, lattice, std::nullopt, "each speed", vlm::body_figures(input.craft)};
  }
  template <class Write>
  std::string text(const Write& write) const {
    std::ostringstream out;
    write(out, head(), result);
    return out.str();
  }
};

TEST(HandlingOutput, TableFitsATerminalAndWarns) {
  for (const std::size_t speeds : {0U, 1U, 3U, 9U}) {
    std::vector<double> all;
    for (std::size_t i = 0; i < speeds; ++i)
      all.push_back(4 + 0.5 * static_cast<double>(i));
    const std::string table = Study(all).text(vlm::write_handling_table);
    std::istringstream lines(table);
    std::size_t count = 0;
    for (std::string line; std::getline(lines, line); ++count) {
      std::size_t columns = 0;
      for (const char c : line)
        columns += (static_cast<unsigned char>(c) & 0xC0U) != 0x80U;
      EXPECT_LE(columns, 100U) << line;
    }
    EXPECT_LE(count, 40U) << table;
    EXPECT_NE(table.find(vlm::handling_notice), std::string::npos);
    EXPECT_NE(table.find("no angle of attack carries the weight"), std::string::npos);
    if (speeds > 0) {
      EXPECT_NE(table.find("0.200*"), std::string::npos) << table;
      EXPECT_NE(table.find("neutral point in height, mm"), std::string::npos);
    }
  }
}

TEST(HandlingOutput, JsonHasAllFiguresUnderTheirUnits) {
  const json all = json::parse(Study({5.5}).text(vlm::write_handling_json));
  EXPECT_EQ(all.at("notice"), vlm::handling_notice);
  ASSERT_EQ(all.at("points").size(), 2U);
  const json& p = all["points"][0];
  EXPECT_DOUBLE_EQ(p.at("figures").at("neutral_point_mm"), 1375);
  EXPECT_DOUBLE_EQ(p["figures"].at("static_margin_percent"), 275);
  EXPECT_DOUBLE_EQ(p["figures"].at("pitch_stiffness_n_m_per_rad"), 5.5);
  EXPECT_DOUBLE_EQ(p["figures"].at("height_stiffness_n_per_m"), 210);
  EXPECT_DOUBLE_EQ(p.at("per_depth").at("pitch_stiffness_n_m_per_rad_per_m"), -5.5);
  EXPECT_FALSE(p["per_depth"].contains("pitch_lag_damping_n_m_s_per_rad_per_m"));
  const json& modes = p.at("motion").at("rigid").at("modes");
  EXPECT_EQ(modes.at(0).at("name"), "oscillation in heave and pitch");
  EXPECT_EQ(modes.at(0).at("quasi_steady"), false);
  EXPECT_EQ(modes.at(1).at("quasi_steady"), true);
  EXPECT_TRUE(modes.at(1).at("frequency_hz").is_null());
  EXPECT_EQ(all["points"][1].at("refusal"), "no angle of attack carries the weight");
  EXPECT_FALSE(all["points"][1].contains("figures"));
}

TEST(HandlingOutput, CsvHasALineAFigureAndALineAMode) {
  std::istringstream lines(Study({4, 5.5}).text(vlm::write_handling_csv));
  std::size_t count = 0;
  std::string names, line;
  std::getline(lines, names);
  while (std::getline(lines, line)) {
    ++count;
    EXPECT_EQ(std::count(line.begin(), line.end(), ','), std::count(names.begin(), names.end(), ',')) << line;
    EXPECT_TRUE(line.ends_with(vlm::handling_notice)) << line;
  }
  EXPECT_EQ(count, 2 * (vlm::handling_figures().size() + 3 + 5) + 1);
}

TEST(HandlingOutput, RecordReadsAsItWasWritten) {
  const Study study({4, 5.5});
  const std::filesystem::path folder =
      std::filesystem::path(testing::TempDir()) / ("vlm-handling-" + std::to_string(getpid()));
  std::filesystem::create_directories(folder);
  const std::string record = (folder / "heron.h5").string();
  {
    vlm::RecordWriter writer(record, study.input, study.lattice, std::nullopt, "vlm-trim heron.toml");
    EXPECT_THROW(writer.write_handling({}), vlm::Error);
    writer.write_handling(study.result.points);
    writer.close(true);
  }
  python::expect_readable(record, "/handling/speed 4 5.5 1.5\n"
                                  "/handling/alpha 0.05 0.05 0\n"
                                  "/handling/neutral_point 1 1.375 0\n"
                                  "/handling/neutral_point_valid 1 1 0\n"
                                  "/handling/per_depth_static_margin -2 -2.75 0\n"
                                  "/handling/per_depth_pitch_lag_damping_valid 0 0 0\n"
                                  "/handling/height_stiffness 210 210 0\n"
                                  "/handling/rigid_growth -8 2 0 -8 2 0 0 0 0\n"
                                  "/handling/rigid_growth_valid 1 1 0 1 1 0 0 0 0\n"
                                  "/handling/on_the_deck_quasi_steady 0 1 1 0 1 1 0 0 0\n"
                                  "/handling/on_the_deck_pitch_share 0.5 0.5 0.5 0.5 0.5 0.5 0 0 0\n");
  python::expect_true(record,
                      "(h := record['handling']) and h.attrs['notice'].startswith('Handling figures are "
                      "linear') and h['rigid_mode_name'].asstr()[0, 1] == 'divergence in surge' and "
                      "h['refusal'].asstr()[2] == 'no angle of attack carries the weight'");
  std::filesystem::remove_all(folder);
}

} // namespace
