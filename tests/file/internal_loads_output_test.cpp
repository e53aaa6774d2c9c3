#include <algorithm>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <sstream>

#include <gtest/gtest.h>
#include <nlohmann/json.hpp>
#include <unistd.h>

#include <vlm/base/gravity.hpp>
#include <vlm/file/internal_loads_output.hpp>
#include <vlm/file/record.hpp>
#include <vlm/file/text_table.hpp>

#include "../support/python.hpp"

namespace {

using nlohmann::json;

// The lake rescue service's foil, its lift three times what it carries, on a coarse lattice.
class InternalLoadsOutput : public testing::Test {
protected:
  static constexpr double wake_angle = 0.05;

  InternalLoadsOutput() {
    input = vlm::read_case(VLM_CASES_DIR "/lake-rescue/heron-880.toml");
    input.lattice.counts = {{12, 3}, {8, 3}, {5, 3}};
    input.lattice.body = {12, 8};
    vlm::ThreadPool pool(1);
    const vlm::Responses responses = vlm::make_responses(input.craft, input.lattice, wake_angle, {}, pool);
    lattice = responses.system.lattice();
    result.load_factor = 3;
    result.speed = 9;
    result.condition.alpha =
        vlm::angle_for_lift(vlm::at_turns(responses.craft.force[0], {}),
                            vlm::at_turns(responses.craft.force[2], {}),
                            result.load_factor * *input.operation.mass * vlm::standard_gravity / (9.0 * 9))
            .value();
    result.beams = vlm::internal_loads(input.craft, responses, result.condition, {}, result.speed, pool);
    result.summary = {1, true, 1, 2};
  }

  template <class Write>
  std::string written(const Write& write) const {
    const vlm::StudyHead head{
        "vlm-trim", input, lattice, wake_angle, "the operating angle", vlm::body_figures(input.craft)};
    std::ostringstream out;
    write(out, head, result);
    return out.str();
  }

  vlm::Case input;
  vlm::Lattice lattice;
  vlm::InternalLoadResult result;
};

TEST_F(InternalLoadsOutput, TableFitsATerminalAndShowsTheGreatestOfEveryPart) {
  const std::string table = written(vlm::write_internal_loads_table);
  std::istringstream in(table);
  std::vector<std::string> lines;
  for (std::string line; std::getline(in, line);)
    lines.push_back(line);
  EXPECT_LE(lines.size(), vlm::table_lines) << table;
  EXPECT_GE(lines.size(), vlm::table_lines - 4) << table;
  for (const std::string& line : lines)
    EXPECT_LE(vlm::columns_of(line), vlm::table_width) << line;
  EXPECT_NE(table.find("load factor of 3.0: 9.0 m/s"), std::string::npos) << table;
  // The halves are alike and stand in one line; 3 · 98 kg, less what the fuselage bears, hang on two.
  const auto wing = table.find("front wing, each half");
  ASSERT_NE(wing, std::string::npos) << table;
  EXPECT_EQ(table.find("port tip"), std::string::npos);
  EXPECT_EQ(table.find("*-"), std::string::npos); // all greatest at the supports
  for (const char* name :
       {"stabilizer, each half", "fuselage, nose to mast", "fuselage, tail to mast", "mast, foot to board"})
    EXPECT_NE(table.find(name), std::string::npos) << name;
  // Straight ahead nothing pushes the mast sideways; edgewise it is bent by drag.
  const auto mast = std::find_if(lines.begin(), lines.end(),
                                 [](const std::string& line) { return line.starts_with("mast, foot"); });
  ASSERT_NE(mast, lines.end());
  std::istringstream words(mast->substr(std::string("mast, foot to board").size()));
  std::vector<std::string> cells{std::istream_iterator<std::string>(words), {}};
  ASSERT_EQ(cells.size(), 9U) << *mast;
  for (const std::size_t side : {3U, 6U, 8U}) // flatwise shear and bending, torsion
    EXPECT_EQ(cells[side], "–") << *mast;
  for (const std::size_t ahead : {4U, 5U, 7U})
    EXPECT_NE(cells[ahead], "–") << *mast;
  EXPECT_NE(table.find("– no side load in this condition"), std::string::npos);
  const vlm::BeamStation& root = result.beams[1].stations.back();
  EXPECT_GT(2 * root.loads[vlm::flatwise_shear], 0.8 * 3 * 98 * 9.8);
  EXPECT_NE(table.find(vlm::fixed(root.loads[vlm::flatwise_bending], 1)), std::string::npos);
  const std::string caution(vlm::internal_load_caution);
  EXPECT_NE(table.find(caution.substr(0, 50)), std::string::npos);
}

TEST_F(InternalLoadsOutput, JsonHoldsEveryCut) {
  const json read = json::parse(written(vlm::write_internal_loads_json));
  EXPECT_EQ(read["caution"], std::string(vlm::internal_load_caution));
  EXPECT_EQ(read["load_factor"], 3);
  EXPECT_EQ(read["program"], "vlm-trim");
  const json& beams = read["points"][0]["beams"];
  ASSERT_EQ(beams.size(), 7U);
  for (std::size_t i = 0; i < beams.size(); ++i) {
    const vlm::Beam& beam = result.beams[i];
    EXPECT_EQ(beams[i]["part"], beam.part);
    ASSERT_EQ(beams[i]["stations"].size(), beam.stations.size());
    for (std::size_t k = 0; k < beam.stations.size(); ++k) {
      EXPECT_EQ(beams[i]["stations"][k]["torsion_n_m"], beam.stations[k].loads[vlm::torsion]);
      EXPECT_EQ(beams[i]["stations"][k]["y_mm"], 1000 * beam.stations[k].point.y);
    }
    const json& bending = beams[i]["greatest"][3];
    EXPECT_EQ(bending["load"], "flatwise bending");
    for (const json& station : beams[i]["stations"])
      EXPECT_LE(std::abs(station["flatwise_bending_n_m"].get<double>()),
                std::abs(bending["flatwise_bending_n_m"].get<double>()));
  }
}

TEST_F(InternalLoadsOutput, CsvHasALineACutAndTheCaution) {
  std::istringstream in(written(vlm::write_internal_loads_csv));
  std::string line;
  std::getline(in, line);
  EXPECT_EQ(line,
            "part,from,to,x_mm,y_mm,z_mm,along_mm,chord_mm,flatwise_shear_n,edgewise_shear_n,axial_force_n,"
            "flatwise_bending_n_m,edgewise_bending_n_m,torsion_n_m,load_factor,speed_m_s,angle_deg,"
            "caution");
  std::size_t lines = 0, cuts = 0;
  for (; std::getline(in, line); ++lines)
    EXPECT_NE(line.find("licensed engineer"), std::string::npos);
  for (const vlm::Beam& beam : result.beams)
    cuts += beam.stations.size();
  EXPECT_EQ(lines, cuts);
}

TEST_F(InternalLoadsOutput, RecordIsReadByStrangers) {
  const std::filesystem::path folder =
      std::filesystem::path(testing::TempDir()) / ("vlm-internal-loads-" + std::to_string(getpid()));
  std::filesystem::create_directories(folder);
  const std::string record = (folder / "heron.h5").string();
  vlm::RecordWriter writer(record, input, lattice, wake_angle, "vlm-trim heron-880.toml --internal-loads");
  writer.write_internal_loads(result);
  writer.close(true);
  std::ostringstream text;
  text.precision(17);
  const auto expect = [&](const std::string& name, const auto& figure) {
    text << "/internal_loads" << name;
    for (std::size_t b = 0; b < result.beams.size(); ++b)
      for (const vlm::BeamStation& station : result.beams[b].stations)
        text << ' ' << figure(b, station);
    text << '\n';
  };
  expect("/flatwise_bending", [](std::size_t, const auto& s) { return s.loads[vlm::flatwise_bending]; });
  expect("/torsion", [](std::size_t, const auto& s) { return s.loads[vlm::torsion]; });
  expect("/station_beam", [](std::size_t b, const auto&) { return b; });
  text << "/internal_loads@load_factor 3\n/internal_loads@speed 9\n";
  python::expect_readable(record, text.str());
  python::expect_true(record,
                      "(g := record['internal_loads']) and g.attrs['caution'].startswith('Internal loads are "
                      "linear') and list(g['beam'].asstr())[:2] == ['front wing, port tip to skin', 'front "
                      "wing, starboard tip to skin'] and g['point'].shape == (len(g['station']), 3)");
  std::filesystem::remove_all(folder);
}

} // namespace
