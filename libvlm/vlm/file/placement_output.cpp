#include <vlm/file/placement_output.hpp>

#include <algorithm>
#include <cmath>
#include <functional>

#include <vlm/file/placement_figures.hpp>
#include <vlm/file/text_table.hpp>
#include <vlm/file/trim_output.hpp>

namespace vlm {
namespace {

using MaybeValue = std::optional<double>;

constexpr std::size_t most_rows = 12, most_refusals = 2;

// Millimetres and percent as typed, without what the way through metres has left of them.
double as_typed(double figure, double unit) {
  return std::round(figure * unit * 1e9) / 1e9;
}

double aft_mm(const PlacementPoint& p) {
  return as_typed(p.placement.aft, 1000);
}
double up_mm(const PlacementPoint& p) {
  return as_typed(p.placement.up, 1000);
}
double area_percent(const PlacementPoint& p) {
  return as_typed(p.placement.area, 100);
}
double incidence_deg(const PlacementPoint& p) {
  return in_degrees(p.incidence);
}

// What tells the points of a grid from each other.
struct GridFigure {
  const char *head, *unit, *key;
  int decimals;
  double (*figure)(const PlacementPoint&);
  std::size_t (*count)(const PlacementStudy&);
};

constexpr GridFigure grid_figures[]{
    {"aft\nmm", "mm aft", "moved_aft_mm", 0, aft_mm, [](const PlacementStudy& s) { return s.aft.size(); }},
    {"up\nmm", "mm up", "moved_up_mm", 0, up_mm, [](const PlacementStudy& s) { return s.up.size(); }},
    {"area\n%", "% of its area", "area_percent", 0, area_percent,
     [](const PlacementStudy& s) { return s.area.size(); }},
    {"incid.\ndeg", "degrees of incidence", "incidence_deg", 1, incidence_deg,
     [](const PlacementStudy& s) { return s.incidences.size(); }}};

Fields point_fields(const PlacementResult& result, std::size_t i) {
  const PlacementPoint none = [] {
    PlacementPoint p;
    p.refusal = "none";
    return p;
  }();
  const std::size_t surface = result.study.surface;
  const PlacementPoint& p = i < result.points.size() ? result.points[i] : none;
  Fields fields;
  for (const GridFigure& g : grid_figures)
    fields.push_back({g.key, MaybeValue(g.figure(p))});
  for (const PlacementFigure& f : placement_figures()) {
    const MaybeValue figure = figure_of(f, p, surface);
    fields.push_back({f.key, figure ? MaybeValue(f.scale * *figure) : std::nullopt});
  }
  fields.push_back({"meets_fuselage", MaybeValue()});
  if (p.on_fuselage)
    fields.back().value = *p.on_fuselage;
  fields.push_back({"keeps_limits", keeps(result.limits, p)});
  fields.push_back({"refusal", p.refusal});
  if (result.without_image.empty())
    return fields;
  const PlacementPoint& bare = i < result.points.size() ? result.without_image[i] : none;
  for (const PlacementFigure& f : placement_figures())
    for (const char* key : {"angle_deg", "load_station_mm", "drag_n", "static_margin_percent"})
      if (std::string(f.key) == key) {
        const MaybeValue figure = figure_of(f, bare, surface);
        const std::string name = key, unit = name.substr(name.rfind('_'));
        fields.push_back({name.substr(0, name.rfind('_')) + "_without_image" + unit,
                          figure ? MaybeValue(f.scale * *figure) : std::nullopt});
      }
  return fields;
}

// Of more points than fit some, spread over all, with the marked ones in the place of their neighbours.
std::vector<std::size_t> shown_points(const PlacementResult& result, const PlacementMarks& marks,
                                      std::size_t most) {
  std::vector<std::size_t> chosen = spread_over(result.points.size(), most);
  std::vector<std::size_t> kept;
  for (const auto& mark : {marks.least_drag, marks.within_limits}) {
    if (!mark || std::find(chosen.begin(), chosen.end(), *mark) != chosen.end())
      continue;
    const auto apart = [&](std::size_t i) {
      return std::find(kept.begin(), kept.end(), i) != kept.end() ? result.points.size()
                                                                  : std::max(i, *mark) - std::min(i, *mark);
    };
    auto nearest = std::min_element(chosen.begin(), chosen.end(),
                                    [&](std::size_t a, std::size_t b) { return apart(a) < apart(b); });
    *nearest = *mark;
    kept.push_back(*mark);
  }
  std::sort(chosen.begin(), chosen.end());
  chosen.erase(std::unique(chosen.begin(), chosen.end()), chosen.end());
  return chosen;
}

MaybeValue share_of_limit(const PlacementPoint& p) {
  return p.nearest_limit ? MaybeValue(p.nearest_limit->hardest.share) : std::nullopt;
}

std::string mark_of(const PlacementResult& result, const PlacementMarks& marks, std::size_t i) {
  const bool a = marks.least_drag == i, b = marks.within_limits == i;
  return a && b                                                           ? "*"
         : a                                                              ? "a"
         : b                                                              ? "b"
         : result.limits.any() && !keeps(result.limits, result.points[i]) ? "·"
                                                                          : " ";
}

using Get = std::function<MaybeValue(const PlacementPoint&)>;

TextTable points_table(const StudyHead& head, const PlacementResult& result, const PlacementMarks& marks,
                       const std::vector<std::size_t>& chosen) {
  TextTable table;
  const std::size_t surface = result.study.surface;
  std::vector<std::vector<std::string>> columns;
  const auto add = [&](const std::string& name, int decimals, const Get& get, bool balanced = true) {
    table.heads.push_back(name);
    columns.emplace_back();
    for (const std::size_t i : chosen) {
      const PlacementPoint& p = result.points[i];
      columns.back().push_back(fixed(p.solved() || !balanced ? get(p) : std::nullopt, decimals));
    }
  };
  for (const GridFigure& g : grid_figures) {
    if (g.count(result.study) == 1)
      continue;
    std::vector<double> values;
    for (const std::size_t i : chosen)
      values.push_back(g.figure(result.points[i]));
    add(
        g.head, decimals_needed(values, g.decimals),
        [&g](const PlacementPoint& p) { return MaybeValue(g.figure(p)); }, false);
  }
  add("angle\ndeg", 2, [](const PlacementPoint& p) { return in_degrees(MaybeValue(p.state.alpha)); });
  if (result.study.lift)
    add("centre of\nlift mm", 1, [](const PlacementPoint& p) { return in_mm(p.centre_of_lift); });
  else
    add("load sta-\ntion mm", 1,
        [](const PlacementPoint& p) { return in_mm(MaybeValue(p.state.load_station)); });
  add("drag\nN", 2, [](const PlacementPoint& p) { return MaybeValue(p.state.drag); });
  add("lift/\ndrag", 2, [](const PlacementPoint& p) { return p.lift_to_drag; });
  add("margin\n%", 1, [](const PlacementPoint& p) { return in_percent(p.handling.static_margin); });
  add("stiffness\nN m/rad", 1, [](const PlacementPoint& p) { return p.handling.pitch_stiffness; });
  add("damping\nN m s/rad", 2, [](const PlacementPoint& p) { return p.handling.pitch_rate_damping; });
  add(cut(head.input.craft.surfaces[surface].name, 11) + "\nN", 1,
      [surface](const PlacementPoint& p) { return MaybeValue(p.parts[surface].lift); });
  if (head.input.craft.surfaces[surface].name != head.input.craft.reference_surface)
    add("tail\nvolume", 3, [](const PlacementPoint& p) { return p.volume; });
  const auto beyond = [&](std::size_t i) { return beyond_lift_limit(share_of_limit(result.points[i])); };
  const bool any_beyond = std::any_of(chosen.begin(), chosen.end(), beyond);
  table.heads.emplace_back();
  columns.emplace_back();
  for (const std::size_t i : chosen)
    columns.back().push_back(mark_of(result, marks, i) +
                             (any_beyond ? beyond(i) ? std::string(limit_mark) : " " : ""));
  for (std::size_t r = 0; r < chosen.size(); ++r) {
    table.rows.emplace_back();
    for (const auto& column : columns)
      table.rows.back().push_back(column[r]);
  }
  return table;
}

std::vector<std::string> study_lines(const StudyHead& head, const PlacementResult& result) {
  const PlacementStudy& study = result.study;
  const PlacementLimits& limits = result.limits;
  std::string text = "study         " + cut(head.input.craft.surfaces[study.surface].name, 24) + ", ";
  text += study.lift ? "carrying " + fixed(*study.lift, 1) + " N" : "trimmed under the rider";
  text += " at " + fixed(study.speed, 2) + " m/s";
  PlacementPoint first;
  first.placement = {study.aft.front(), study.up.front(), study.area.front()};
  first.incidence = study.incidences.front();
  for (const GridFigure& g : grid_figures)
    if (g.count(study) == 1) {
      const double value = g.figure(first);
      text += ", " + fixed(value, decimals_needed({value}, g.decimals)) + " " + g.unit;
    }
  std::vector<std::string> lines = wrapped(text, table_width, 14);
  if (limits.any()) {
    std::string kept = "limits       ";
    const auto interval = [&](const char* what, const MaybeValue& from, const MaybeValue& to) {
      if (from || to)
        kept += std::string(" ") + what + " " + fixed(in_mm(from), 1) + " to " + fixed(in_mm(to), 1) + " mm;";
    };
    interval("centre of lift", limits.centre_from, limits.centre_to);
    interval("load station", limits.station_from, limits.station_to);
    if (limits.least_margin)
      kept += " static margin at least " + fixed(100 * *limits.least_margin, 1) + " %;";
    for (const std::string& line : wrapped(kept.substr(0, kept.size() - 1), table_width, 14))
      lines.push_back(line);
  }
  return lines;
}

std::vector<std::string> closing_lines(const PlacementResult& result, const PlacementMarks& marks,
                                       std::size_t shown) {
  std::vector<std::string> lines;
  const auto say = [&](const std::string& text) {
    for (const std::string& line : wrapped(text, table_width, 2))
      lines.push_back(line);
  };
  if (shown < result.points.size())
    say(std::to_string(shown) + " of " + std::to_string(result.points.size()) +
        " points; all of them: --csv or --json");
  if (!result.summary.complete)
    say("stopped after " + std::to_string(result.points.size()) + " of " +
        std::to_string(result.study.num_points()) + " points");
  if (marks.least_drag && marks.within_limits == marks.least_drag)
    say("* least drag of all, within the limits; · outside them");
  else if (marks.within_limits)
    say("a least drag of all, b least within the limits; · outside them");
  else if (marks.least_drag)
    say(result.limits.any() ? "a least drag; no point keeps the limits" : "a least drag");
  if (std::any_of(result.points.begin(), result.points.end(),
                  [](const PlacementPoint& p) { return beyond_lift_limit(share_of_limit(p)); }))
    say(std::string(limit_warning));
  if (marks.on_border)
    say("The least drag lies on the border of the grid: a wider range may find less.");
  std::vector<std::string> reasons;
  for (const PlacementPoint& p : result.points)
    if (!p.solved() && std::find(reasons.begin(), reasons.end(), p.refusal) == reasons.end())
      reasons.push_back(p.refusal);
  for (std::size_t i = 0; i < std::min(reasons.size(), most_refusals); ++i)
    say("– " + reasons[i]);
  if (reasons.size() > most_refusals)
    say("– and " + std::to_string(reasons.size() - most_refusals) + " other reasons: --csv or --json");
  if (std::any_of(result.points.begin(), result.points.end(),
                  [](const PlacementPoint& p) { return p.solved() && p.on_fuselage == false; }))
    say("Some places are clear of the fuselage: what holds the surface there is not in the figures.");
  if (!result.without_image.empty())
    for (const auto& [name, mark] : {std::pair("a", marks.least_drag), {"b", marks.within_limits}})
      if (mark && result.without_image[*mark].solved()) {
        const PlacementPoint& bare = result.without_image[*mark];
        say(std::string(name) + " without the image: drag " + fixed(bare.state.drag, 2) +
            " N, static margin " + fixed(in_percent(bare.handling.static_margin), 1) + " %");
      }
  say(std::string(trim_caution));
  return lines;
}

} // namespace

void write_placement_table(std::ostream& out, const StudyHead& head, const PlacementResult& result) {
  const PlacementMarks marks = placement_marks(result.study, result.points, result.limits);
  std::vector<std::string> lines = head_lines(head);
  const auto append = [&](const std::vector<std::string>& more) {
    lines.insert(lines.end(), more.begin(), more.end());
  };
  append(study_lines(head, result));
  lines.emplace_back();
  const std::size_t heads = 2, least = 3, most = std::min(most_rows, result.points.size()),
                    taken = lines.size() + heads + closing_lines(result, marks, 0).size(),
                    rows = taken + most <= table_lines    ? most
                           : taken + least <= table_lines ? table_lines - taken
                                                          : std::min(least, most);
  const std::vector<std::size_t> chosen = shown_points(result, marks, rows);
  append(points_table(head, result, marks, chosen).lines());
  append(closing_lines(result, marks, chosen.size()));
  for (const std::string& line : lines)
    out << line << '\n';
}

void write_placement_json(std::ostream& out, const StudyHead& head, const PlacementResult& result) {
  const PlacementStudy& study = result.study;
  const PlacementLimits& limits = result.limits;
  const PlacementMarks marks = placement_marks(study, result.points, limits);
  Fields fields = head_fields(head, result.summary, study.num_points());
  if (!study.lift)
    fields.push_back({"caution", std::string(trim_caution)});
  fields.push_back({"study", Fields{{"surface", head.input.craft.surfaces[study.surface].name},
                                    {"speed_m_s", study.speed},
                                    {"lift_n", study.lift}}});
  fields.push_back({"limits", Fields{{"centre_of_lift_from_mm", in_mm(limits.centre_from)},
                                     {"centre_of_lift_to_mm", in_mm(limits.centre_to)},
                                     {"load_station_from_mm", in_mm(limits.station_from)},
                                     {"load_station_to_mm", in_mm(limits.station_to)},
                                     {"least_static_margin_percent", in_percent(limits.least_margin)}}});
  const auto add = [&](const char* name, const std::optional<std::size_t>& index) {
    fields.push_back({name, MaybeValue()});
    if (index)
      fields.back().value = point_fields(result, *index);
  };
  add("least_drag", marks.least_drag);
  fields.push_back({"least_drag_on_border", marks.on_border});
  add("least_drag_within_limits", marks.within_limits);
  write_json(out, fields, result.points.size(), [&](std::size_t i) { return point_fields(result, i); });
}

void write_placement_csv(std::ostream& out, const StudyHead&, const PlacementResult& result) {
  out << csv_names(point_fields(result, result.points.size()));
  for (std::size_t i = 0; i < result.points.size(); ++i)
    out << csv_values(point_fields(result, i));
}

} // namespace vlm
