#include <vlm/file/mast_reader.hpp>

#include <cmath>

#include <vlm/file/typed_figures.hpp>

namespace vlm {
namespace {

constexpr double least_rise = 1e-6; // [m] between stations

using NamedSection = std::function<Section(const TomlValue&)>;

std::vector<Station> from_stations(const TomlValue& table, const NamedSection& section) {
  table.allow_keys({"name", "position_mm", "strips", "panels_per_strip", "stations"});
  std::vector<Station> result;
  for (const TomlValue& item : table["stations"].items(2, most_stations, "tables, one for each station")) {
    item.allow_keys({"height_mm", "leading_edge_mm", "chord_mm", "twist_deg", "section"});
    Station station;
    station.z = length(item["height_mm"]);
    if (!result.empty() && station.z < result.back().z + least_rise)
      item["height_mm"].refuse("at least " + written(least_rise * mm_per_m) +
                               " more than that of the station before, in order from the foot upward");
    station.leading_edge = length(item["leading_edge_mm"]);
    station.chord = length(item["chord_mm"], positive_length);
    station.twist = optional_angle(item["twist_deg"]);
    station.section = section(item["section"]);
    result.push_back(std::move(station));
  }
  return result;
}

std::vector<Station> from_length(const TomlValue& table, const NamedSection& section) {
  const double span = length(table["length_mm"], positive_length), rake = optional_angle(table["rake_deg"]);
  Station foot;
  foot.chord = length(table["chord_mm"], positive_length);
  foot.section = section(table["section"]);
  Station top = foot;
  top.z = span * std::cos(rake);
  top.leading_edge = span * std::sin(rake);
  top.chord = optional_length(table["top_chord_mm"], positive_length).value_or(foot.chord);
  return {foot, top};
}

} // namespace

Surface mast_from(const TomlValue& table, const NamedSection& section) {
  table.allow_keys({"name", "position_mm", "length_mm", "chord_mm", "top_chord_mm", "rake_deg", "section",
                    "strips", "panels_per_strip", "stations"});
  Surface result;
  result.name = table["name"].present() ? table["name"].text(longest_name) : "mast";
  const TomlValue position = table["position_mm"];
  result.position = point(position);
  if (result.position.y != 0)
    position.fail("found y = " + written(result.position.y * mm_per_m) +
                  ", wanted 0, for a mast stands in the centre plane");
  result.stations = table["stations"].present() ? from_stations(table, section) : from_length(table, section);
  result.pierces = true;
  return result;
}

} // namespace vlm
