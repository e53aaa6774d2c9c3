#include <vlm/file/handling_output.hpp>

#include <algorithm>
#include <array>
#include <cstring>
#include <utility>

#include <vlm/file/text_table.hpp>
#include <vlm/force/lift_limit.hpp>
#include <vlm/study/bracket.hpp>

namespace vlm {
namespace {

constexpr std::size_t most_handling_columns = 4;

// How the rider is held: in words, as a field, and its modes.
struct Hold {
  const char* name;
  const char* key;
  RideModes Handling::*modes;
};
constexpr std::array holds{Hold{"rigid", "rigid", &Handling::rigid},
                           Hold{"on the deck", "on_the_deck", &Handling::on_the_deck}};

// How a unit is put out: its end of a field's name, what a table says and how many decimals it takes. Lengths
// are in millimetres, margins in percent of the chord.
struct OutputUnit {
  const char* unit;
  const char* suffix;
  const char* shown;
  double factor;
  int decimals;
};
constexpr std::array output_units{
    OutputUnit{"m", "_mm", "mm", 1000, 1},
    OutputUnit{"1", "_percent", "% of chord", 100, 1},
    OutputUnit{"N/m", "_n_per_m", "N/m", 1, 1},
    OutputUnit{"N/rad", "_n_per_rad", "N/rad", 1, 0},
    OutputUnit{"N m/rad", "_n_m_per_rad", "N m/rad", 1, 1},
    OutputUnit{"N m s/rad", "_n_m_s_per_rad", "N m s/rad", 1, 2},
    OutputUnit{"rad/s/(N m)", "_rad_per_s_per_n_m", "rad/s per N m", 1, 4},
};

const OutputUnit& output_unit(const char* unit) {
  return *std::find_if(output_units.begin(), output_units.end(),
                       [&](const OutputUnit& u) { return std::strcmp(u.unit, unit) == 0; });
}

// A figure of a speed, with its change per metre of depth, in SI.
struct HandlingLine {
  const char* name;
  const char* key;
  const char* unit;
  std::optional<double> value, per_depth;
};

std::vector<HandlingLine> lines_of(const Handling& h) {
  std::vector<HandlingLine> lines;
  for (const HandlingFigure& f : handling_figures())
    lines.push_back(
        {f.name, f.key, f.unit, h.figures.*f.figure, h.per_depth ? (*h.per_depth).*f.figure : std::nullopt});
  lines.push_back({"line of the load", "load_line", "m", h.load_line, {}});
  lines.push_back({"stiffness in height", "height_stiffness", "N/m", h.height_stiffness, {}});
  lines.push_back({"neutral point in height", "height_neutral_point", "m", h.height_neutral_point, {}});
  return lines;
}

std::optional<double> scaled(const std::optional<double>& value, const OutputUnit& unit) {
  return value ? std::optional(unit.factor * *value) : std::nullopt;
}

Fields mode_fields(const Mode& m) {
  return {{"name", m.name},
          {"growth_per_s", m.growth},
          {"frequency_hz", m.frequency},
          {"damping_ratio", m.damping_ratio},
          {"time_constant_s", m.time_constant},
          {"time_to_half_s", m.time_to_half},
          {"time_to_double_s", m.time_to_double},
          {"reduced_frequency", m.reduced_frequency},
          {"quasi_steady", m.quasi_steady},
          {"surge_share", m.share[0]},
          {"heave_share", m.share[1]},
          {"pitch_share", m.share[2]}};
}

// Indices of the points that have figures.
std::vector<std::size_t> solved_points(const std::vector<HandlingPoint>& points) {
  std::vector<std::size_t> solved;
  for (std::size_t i = 0; i < points.size(); ++i)
    if (points[i].handling)
      solved.push_back(i);
  return solved;
}

// So many of them, evenly.
std::vector<std::size_t> chosen_of(const std::vector<std::size_t>& all, std::size_t most) {
  std::vector<std::size_t> chosen;
  for (const std::size_t i : spread_over(all.size(), most))
    chosen.push_back(all[i]);
  return chosen;
}

// Figures are those of the image, which does not hold when slow.
constexpr const char* weak_image_warning =
    "warning: below depth Froude 3 the image does not hold; boundary = \"none\" gives figures without it";

bool image_holds(const StudyHead& head, const HandlingPoint& p) {
  return !needs_bracket(head.input.craft, p.riding.speed);
}

bool any_slow(const StudyHead& head, const HandlingResult& result) {
  return std::any_of(result.points.begin(), result.points.end(),
                     [&](const HandlingPoint& p) { return p.handling && !image_holds(head, p); });
}

std::string speed_text(const HandlingPoint& p) {
  return fixed(p.riding.speed, decimals_needed({p.riding.speed}, 1)) + " m/s" +
         limit_mark_of(p.share_of_limit);
}

// The one of the chosen points that more is said of.
std::size_t middle_of(const std::vector<std::size_t>& chosen) {
  return chosen[chosen.size() / 2];
}

TextTable figure_table(const std::vector<HandlingPoint>& points, const std::vector<std::size_t>& chosen) {
  const std::size_t middle = middle_of(chosen);
  TextTable table;
  table.first_is_text = true;
  table.heads = {"handling"};
  std::vector<std::vector<HandlingLine>> columns;
  for (const std::size_t i : chosen) {
    table.heads.push_back(speed_text(points[i]));
    columns.push_back(lines_of(*points[i].handling));
  }
  const std::vector<HandlingLine> of_middle = lines_of(*points[middle].handling);
  const bool with_depth = points[middle].handling->per_depth.has_value();
  if (with_depth)
    table.heads.push_back("per m deeper\nat " + speed_text(points[middle]));
  for (std::size_t k = 0; k < of_middle.size(); ++k) {
    if (std::strcmp(of_middle[k].key, "load_line") == 0)
      continue; // the margin and the neutral point tell it
    const OutputUnit& unit = output_unit(of_middle[k].unit);
    std::vector<std::string> row{std::string(of_middle[k].name) + ", " + unit.shown};
    for (const std::vector<HandlingLine>& column : columns)
      row.push_back(fixed(scaled(column[k].value, unit), unit.decimals));
    if (with_depth)
      row.push_back(fixed(scaled(of_middle[k].per_depth, unit), unit.decimals));
    table.rows.push_back(std::move(row));
  }
  return table;
}

// Modes of one speed, the fastest so many of all.
TextTable mode_table(const HandlingPoint& point, std::size_t most_rows) {
  TextTable table;
  table.first_is_text = true;
  table.heads = {"modes at " + speed_text(point) + ", rider", "Hz", "ratio", "half s", "double s", "k"};
  std::vector<double> speeds;
  for (const Hold& hold : holds)
    for (const Mode& m : ((*point.handling).*hold.modes).modes)
      speeds.push_back(m.reduced_frequency);
  std::sort(speeds.rbegin(), speeds.rend());
  for (const Hold& hold : holds)
    for (const Mode& m : ((*point.handling).*hold.modes).modes)
      if (most_rows >= speeds.size() || m.reduced_frequency > speeds[most_rows])
        table.rows.push_back({std::string(hold.name) + ": " + m.name, fixed(m.frequency, 2),
                              fixed(m.damping_ratio, 2), fixed(m.time_to_half, 2), fixed(m.time_to_double, 2),
                              fixed(m.reduced_frequency, 3) + (m.quasi_steady ? " " : "*")});
  return table;
}

} // namespace

Fields handling_fields(const Handling& h) {
  Fields figures, changes, modes;
  for (const HandlingLine& line : lines_of(h)) {
    const OutputUnit& unit = output_unit(line.unit);
    figures.push_back({line.key + std::string(unit.suffix), scaled(line.value, unit)});
    if (line.per_depth)
      changes.push_back({line.key + std::string(unit.suffix) + "_per_m", scaled(line.per_depth, unit)});
  }
  for (const Hold& hold : holds) {
    const RideModes& ride = h.*hold.modes;
    std::vector<Fields> list;
    for (const Mode& m : ride.modes)
      list.push_back(mode_fields(m));
    modes.push_back({hold.key, Fields{{"mass_kg", ride.inertia.mass},
                                      {"centre_x_mm", in_mm(ride.inertia.centre.x)},
                                      {"centre_z_mm", in_mm(ride.inertia.centre.z)},
                                      {"pitch_inertia_kg_m2", ride.inertia.pitch},
                                      {"modes", std::move(list)}}});
  }
  return {{"figures", std::move(figures)}, {"per_depth", std::move(changes)}, {"motion", std::move(modes)}};
}

void write_handling_table(std::ostream& out, const StudyHead& head, const HandlingResult& result) {
  std::vector<std::string> lines = head_lines(head), foot;
  lines.emplace_back();
  const std::vector<std::size_t> solved = solved_points(result.points);
  std::vector<std::size_t> chosen = chosen_of(solved, most_handling_columns);
  while (chosen.size() > 1 && figure_table(result.points, chosen).width() > table_width)
    chosen = chosen_of(solved, chosen.size() - 1);
  if (chosen.size() < solved.size())
    foot.push_back(std::to_string(chosen.size()) + " of " + std::to_string(solved.size()) +
                   " speeds; all of them: --csv or --json");
  std::size_t refused = 0;
  for (const HandlingPoint& p : result.points)
    if (!p.handling && refused++ == 0)
      for (const std::string& line :
           wrapped("– at " + fixed(p.riding.speed, 2) + " m/s: " + p.refusal, table_width, 2))
        foot.push_back(line);
  if (refused > 1)
    foot.push_back(std::to_string(refused - 1) + " more speeds refused: --csv or --json");
  if (any_slow(head, result))
    foot.emplace_back(weak_image_warning);
  double fastest = 0;
  for (const HandlingPoint& p : result.points)
    fastest = std::max(fastest, p.riding.speed);
  if (fastest > 0)
    if (const auto warning = cavitation_warning(head.input.craft, fastest))
      for (const std::string& line : wrapped(*warning, table_width, 2))
        foot.push_back(line);
  if (std::any_of(result.points.begin(), result.points.end(),
                  [](const HandlingPoint& p) { return beyond_lift_limit(p.share_of_limit); }))
    foot.emplace_back(limit_warning);
  foot.emplace_back(handling_notice);
  if (!chosen.empty()) {
    const std::size_t middle = middle_of(chosen);
    for (const std::string& line : figure_table(result.points, chosen).lines())
      lines.push_back(line);
    const Handling& h = *result.points[middle].handling;
    const std::size_t all = h.rigid.modes.size() + h.on_the_deck.modes.size();
    constexpr std::size_t heads = 1, notes = 1;
    const std::size_t used = lines.size() + foot.size() + heads + notes;
    const std::size_t room = used < table_lines ? table_lines - used : 0;
    const TextTable modes = mode_table(result.points[middle], std::min(all, room));
    if (!modes.rows.empty()) {
      for (const std::string& line : modes.lines())
        lines.push_back(cut(line, table_width));
      lines.push_back("* reduced frequency k = ωc/2V of 0.1 or more: not quasi-steady, rough" +
                      (modes.rows.size() < all
                           ? "; " + std::to_string(all - modes.rows.size()) + " slower modes: --json"
                           : std::string()));
    }
  }
  lines.insert(lines.end(), foot.begin(), foot.end());
  for (const std::string& line : lines)
    out << line << '\n';
}

void write_handling_json(std::ostream& out, const StudyHead& head, const HandlingResult& result) {
  Fields fields = head_fields(head, result.summary, std::max(result.num_wanted, result.points.size()));
  fields.push_back({"notice", std::string(handling_notice)});
  if (any_slow(head, result))
    fields.push_back({"warning", std::string(weak_image_warning)});
  write_json(out, fields, result.points.size(), [&](std::size_t i) {
    const HandlingPoint& p = result.points[i];
    const bool solved = p.handling.has_value();
    Fields point{{"speed_m_s", p.riding.speed},
                 {"angle_deg", solved ? std::optional(in_degrees(p.riding.alpha)) : std::nullopt},
                 {"load_station_mm", solved ? std::optional(in_mm(p.riding.load_station)) : std::nullopt},
                 {"wake_angle_deg", solved ? std::optional(in_degrees(p.riding.wake_angle)) : std::nullopt},
                 {"percent_of_lift_limit", in_percent(p.share_of_limit)},
                 {"refusal", p.refusal},
                 {"image_holds", image_holds(head, p)}};
    if (solved)
      for (Field& field : handling_fields(*p.handling))
        point.push_back(std::move(field));
    return point;
  });
}

void write_handling_csv(std::ostream& out, const StudyHead& head, const HandlingResult& result) {
  const std::optional<double> none;
  const auto row = [&](const HandlingPoint& p, const std::string& rider, const std::string& name,
                       const std::string& unit, const std::optional<double>& value,
                       const std::optional<double>& per_depth, const Mode* m) {
    const bool solved = p.handling.has_value();
    return Fields{{"speed_m_s", p.riding.speed},
                  {"angle_deg", solved ? std::optional(in_degrees(p.riding.alpha)) : none},
                  {"load_station_mm", solved ? std::optional(in_mm(p.riding.load_station)) : none},
                  {"percent_of_lift_limit", in_percent(p.share_of_limit)},
                  {"rider", rider},
                  {"name", name},
                  {"unit", unit},
                  {"value", value},
                  {"change_per_m_of_depth", per_depth},
                  {"growth_per_s", m ? std::optional(m->growth) : none},
                  {"frequency_hz", m ? m->frequency : none},
                  {"damping_ratio", m ? m->damping_ratio : none},
                  {"time_to_half_s", m ? m->time_to_half : none},
                  {"time_to_double_s", m ? m->time_to_double : none},
                  {"reduced_frequency", m ? std::optional(m->reduced_frequency) : none},
                  {"quasi_steady", m ? std::string(m->quasi_steady ? "yes" : "no") : std::string()},
                  {"image_holds", std::string(image_holds(head, p) ? "yes" : "no")},
                  {"notice", std::string(handling_notice)}};
  };
  HandlingPoint first;
  first.riding.speed = 1;
  out << csv_names(row(first, "", "", "", none, none, nullptr));
  for (const HandlingPoint& p : result.points) {
    if (!p.handling) {
      out << csv_values(row(p, "", "refused: " + p.refusal, "", none, none, nullptr));
      continue;
    }
    for (const HandlingLine& line : lines_of(*p.handling)) {
      const OutputUnit& unit = output_unit(line.unit);
      out << csv_values(
          row(p, "", line.name, unit.shown, scaled(line.value, unit), scaled(line.per_depth, unit), nullptr));
    }
    for (const Hold& hold : holds)
      for (const Mode& m : ((*p.handling).*hold.modes).modes)
        out << csv_values(row(p, hold.name, m.name, "", none, none, &m));
  }
}

} // namespace vlm
