#include <vlm/file/section_reader.hpp>

#include <cmath>
#include <numbers>

#include <vlm/base/error.hpp>
#include <vlm/file/contour_file.hpp>

namespace vlm {
namespace {

constexpr double percent = 100;
constexpr std::size_t longest_designation = 40, longest_path = 1000;

Section naca(const TomlValue& table) {
  table.allow_keys({"naca"});
  const TomlValue value = table["naca"];
  const std::string digits = value.text(longest_designation);
  return at_place_of(value, [&] { return naca_section(digits); });
}

SectionRead contour(const TomlValue& table, const std::filesystem::path& folder) {
  table.allow_keys({"contour"});
  const TomlValue value = table["contour"];
  const auto path = folder / value.text(longest_path);
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
    result.notes.push_back("blunt trailing edge of " + written(made.section.trailing_edge_gap * percent, 4) +
                           " % of the chord kept");
  return result;
}

Section mean_line(const TomlValue& table) {
  Section result;
  if (table["mean_line"].choice({"parabola", "uniform load"}) == 0) {
    table.allow_keys({"mean_line", "camber_percent", "camber_position_percent", "thickness_percent"});
    ParabolicMeanLine line;
    line.camber = table["camber_percent"].number({-50, 50}) / percent;
    if (const TomlValue position = table["camber_position_percent"]; position.present())
      line.position = position.number({1, 99}) / percent;
    result.mean_line = line;
  } else {
    table.allow_keys({"mean_line", "design_lift_coefficient", "uniform_to_percent", "thickness_percent"});
    UniformLoadMeanLine line;
    line.design_lift = table["design_lift_coefficient"].number({-5, 5});
    const TomlValue uniform_to = table["uniform_to_percent"];
    const double a = uniform_to.number({0, 100});
    if (a > 99)
      uniform_to.fail("found " + written(a) +
                      ", wanted at most 95, for at 100 the slope is infinite at the trailing edge");
    line.a = a / percent;
    result.mean_line = line;
  }
  if (const TomlValue thickness = table["thickness_percent"]; thickness.present())
    result.thickness = thickness.number({0, 50}) / percent;
  return result;
}

} // namespace

SectionRead section_from(const TomlValue& table, const std::filesystem::path& folder) {
  table.allow_keys({"naca", "contour", "mean_line", "camber_percent", "camber_position_percent",
                    "design_lift_coefficient", "uniform_to_percent", "thickness_percent"});
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
  return result;
}

} // namespace vlm
