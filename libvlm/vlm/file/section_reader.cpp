#include <vlm/file/section_reader.hpp>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <system_error>

#include <vlm/base/error.hpp>
#include <vlm/file/contour_file.hpp>
#include <vlm/file/typed_figures.hpp>

namespace vlm {
namespace {

constexpr std::size_t longest_designation = 40, longest_path = 1000, most_drag_entries = 1000;

Section naca(const TomlValue& table) {
  table.allow_keys({"naca", "max_lift_coefficient", "drag_table"});
  const TomlValue value = table["naca"];
  const std::string digits = value.text(longest_designation);
  return at_place_of(value, [&] { return naca_section(digits); });
}

SectionRead contour(const TomlValue& table, const std::filesystem::path& folder) {
  table.allow_keys({"contour", "max_lift_coefficient", "drag_table"});
  const TomlValue value = table["contour"];
  const auto path = folder / value.text(longest_path);
  // Pipes and devices may keep the reader waiting.
  std::error_code error;
  const auto status = std::filesystem::status(path, error);
  if (std::filesystem::is_fifo(status) || std::filesystem::is_character_file(status))
    value.fail(path.string() + ": found no plain file, wanted a text file of contour points");
  const std::string text =
      at_place_of(value, [&] { return read_text(path, "a text file of contour points"); });
  const Contour points = contour_points(text, path.string());
  ContourSection made;
  try {
    made = contour_section(table.name(), points.x, points.z);
  } catch (const Error& why) {
    throw Error(path.string() + ": " + why.what());
  }

  SectionRead result{made.section, {}};
  const bool turned = std::abs(made.angle) > 1e-6;
  const double degrees =
      turned ? made.angle * 180 / std::numbers::pi : 0; // no rounding error shown as an angle
  if (turned || std::abs(made.chord - 1) > 1e-6)
    result.notes.push_back("contour of chord " + written(made.chord, 6) + " at " + written(degrees, 4) +
                           "° to its x axis brought to chord 1 at 0°");
  if (made.section.trailing_edge_gap > 0)
    result.notes.push_back("blunt trailing edge of " +
                           written(made.section.trailing_edge_gap * percent_per_one, 4) +
                           " % of the chord kept");
  return result;
}

Section mean_line(const TomlValue& table) {
  Section result;
  if (table["mean_line"].choice({"parabola", "uniform load"}) == 0) {
    table.allow_keys({"mean_line", "camber_percent", "camber_position_percent", "thickness_percent",
                      "max_lift_coefficient", "drag_table"});
    ParabolicMeanLine line;
    line.camber = table["camber_percent"].number({-50, 50}) / percent_per_one;
    if (const TomlValue position = table["camber_position_percent"]; position.present())
      line.position = position.number({1, 99}) / percent_per_one;
    result.mean_line = line;
  } else {
    table.allow_keys({"mean_line", "design_lift_coefficient", "uniform_to_percent", "thickness_percent",
                      "max_lift_coefficient", "drag_table"});
    UniformLoadMeanLine line;
    line.design_lift = table["design_lift_coefficient"].number({-5, 5});
    const TomlValue uniform_to = table["uniform_to_percent"];
    const double a = uniform_to.number({0, 100});
    if (a > 99)
      uniform_to.fail("found " + written(a) +
                      ", wanted at most 95, for at 100 the slope is infinite at the trailing edge");
    line.a = a / percent_per_one;
    result.mean_line = line;
  }
  if (const TomlValue thickness = table["thickness_percent"]; thickness.present())
    result.thickness = thickness.number({0, 50}) / percent_per_one;
  return result;
}

std::size_t place_in(const std::vector<double>& sorted, double value) {
  return static_cast<std::size_t>(std::lower_bound(sorted.begin(), sorted.end(), value) - sorted.begin());
}

void sort_and_drop_repeats(std::vector<double>& values) {
  std::sort(values.begin(), values.end());
  values.erase(std::unique(values.begin(), values.end()), values.end());
}

std::string pair_written(double lift_coefficient, double reynolds) {
  return "lift_coefficient = " + written(lift_coefficient) + ", reynolds = " + written(reynolds);
}

// The entries may stand in any order.
SectionPolar section_polar(const TomlValue& value) {
  SectionPolar polar;
  const auto items = value.items(1, most_drag_entries, "tables, one for each point of the grid");
  for (const TomlValue& item : items) {
    item.allow_keys({"lift_coefficient", "reynolds", "drag_coefficient"});
    polar.lift_coefficient.push_back(item["lift_coefficient"].number({-5, 5}));
    polar.reynolds.push_back(item["reynolds"].number({1e3, 1e9}));
  }
  const std::vector<double> lifts = polar.lift_coefficient, reynolds = polar.reynolds;
  sort_and_drop_repeats(polar.lift_coefficient);
  sort_and_drop_repeats(polar.reynolds);

  const std::size_t columns = polar.reynolds.size();
  std::vector<bool> given(polar.lift_coefficient.size() * columns);
  polar.drag_coefficient.resize(given.size());
  for (std::size_t i = 0; i < items.size(); ++i) {
    const std::size_t place =
        place_in(polar.lift_coefficient, lifts[i]) * columns + place_in(polar.reynolds, reynolds[i]);
    if (given[place])
      items[i].fail("found " + pair_written(lifts[i], reynolds[i]) + " a second time, wanted each pair once");
    given[place] = true;
    polar.drag_coefficient[place] = items[i]["drag_coefficient"].number({1e-5, 10});
  }
  if (const auto missing = std::find(given.begin(), given.end(), false); missing != given.end()) {
    const auto place = static_cast<std::size_t>(missing - given.begin());
    value.fail("found no entry for " +
               pair_written(polar.lift_coefficient[place / columns], polar.reynolds[place % columns]) +
               ", wanted a full grid: every lift coefficient at every Reynolds number");
  }
  return polar;
}

std::string range_of(const std::vector<double>& sorted) {
  return written(sorted.front()) + " to " + written(sorted.back());
}

} // namespace

SectionRead section_from(const TomlValue& table, const std::filesystem::path& folder) {
  table.allow_keys({"naca", "contour", "mean_line", "camber_percent", "camber_position_percent",
                    "design_lift_coefficient", "uniform_to_percent", "thickness_percent",
                    "max_lift_coefficient", "drag_table"});
  std::string kinds;
  int num_kinds = 0;
  for (const std::string kind : {"naca", "contour", "mean_line"})
    if (table[kind].present())
      kinds += (num_kinds++ == 0 ? "" : " beside ") + kind;
  if (num_kinds != 1)
    table.fail("found " + (num_kinds == 0 ? "nothing" : kinds) + ", wanted one of naca, contour, mean_line");

  SectionRead result;
  if (kinds == "contour")
    result = contour(table, folder);
  else
    result.section = kinds == "naca" ? naca(table) : mean_line(table);
  result.section.name = table.name();
  if (const TomlValue most_lift = table["max_lift_coefficient"]; most_lift.present())
    result.section.max_lift_coefficient = most_lift.number({0.1, 5});
  if (const TomlValue drag = table["drag_table"]; drag.present()) {
    const SectionPolar polar = section_polar(drag);
    result.notes.push_back("drag table for lift coefficients " + range_of(polar.lift_coefficient) +
                           " and Reynolds numbers " + range_of(polar.reynolds) +
                           "; beyond them the nearest value holds");
    result.section.polar = polar;
  }
  return result;
}

} // namespace vlm
