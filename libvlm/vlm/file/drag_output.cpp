#include <vlm/file/drag_output.hpp>

#include <algorithm>
#include <cmath>

#include <vlm/file/text_table.hpp>
#include <vlm/file/trim_output.hpp>
#include <vlm/force/lift_limit.hpp>
#include <vlm/force/waves.hpp>
#include <vlm/study/bracket.hpp>

namespace vlm {
namespace {

constexpr std::size_t most_drag_columns = 4, longest_item = 40;

std::string item_name(const DragItem& item) {
  return item.part + ": " + item.cause;
}

// The sources of all items at all speeds, each once, with what they are of.
std::vector<std::string> source_lines(const SpeedResult& result) {
  std::vector<std::string> causes, sources;
  std::vector<DragItem> items;
  for (const SpeedPoint& p : result.points)
    if (p.drag)
      items.insert(items.end(), p.drag->items.begin(), p.drag->items.end());
  for (const DragItem& item : items)
    if (std::find(causes.begin(), causes.end(), item.cause + item.source) == causes.end()) {
      causes.push_back(item.cause + item.source);
      for (const std::string& line : wrapped(item.cause + ": " + item.source, table_width, 2))
        sources.push_back(line);
    }
  return sources;
}

Fields point_fields(const SpeedPoint& p) {
  Fields fields{{"speed_m_s", p.speed}, {"angle_deg", in_degrees(p.alpha)}};
  const bool solved = p.drag.has_value();
  fields.push_back({"lift_n", solved ? std::optional(p.drag->lift) : std::nullopt});
  fields.push_back({"drag_n", solved ? std::optional(p.drag->total) : std::nullopt});
  fields.push_back({"lift_to_drag", solved ? p.drag->lift_to_drag : std::nullopt});
  fields.push_back({"percent_of_lift_limit", in_percent(p.share_of_limit)});
  fields.push_back({"drag_without_image_n", p.drag_without_image});
  fields.push_back({"wave_drag_upper_estimate_n", p.two_dimensional_waves});
  fields.push_back({"refusal", p.refusal});
  return fields;
}

} // namespace

std::vector<Fields> drag_fields(const DragBreakdown& drag) {
  std::vector<Fields> items;
  for (const DragItem& item : drag.items)
    items.push_back({{"part", item.part},
                     {"cause", item.cause},
                     {"drag_n", item.drag},
                     {"percent", drag.total > 0 ? std::optional(100 * item.drag / drag.total) : std::nullopt},
                     {"source", item.source}});
  return items;
}

void write_drag_table(std::ostream& out, const StudyHead& head, const SpeedResult& result) {
  for (const std::string& line : head_lines(head))
    out << line << '\n';
  out << '\n';
  const std::vector<std::size_t> chosen = spread_over(result.points.size(), most_drag_columns);
  const auto solved = std::find_if(result.points.begin(), result.points.end(),
                                   [](const SpeedPoint& p) { return p.drag.has_value(); });
  TextTable table;
  table.first_is_text = true;
  table.heads = {"drag"};
  for (const std::size_t i : chosen) {
    table.heads.push_back(fixed(result.points[i].speed, decimals_needed({result.points[i].speed}, 1)) +
                          " m/s" + limit_mark_of(result.points[i].share_of_limit) + "\nN");
    table.heads.emplace_back("\n%");
  }
  const auto add_row = [&](const std::string& name, const auto& figure, int decimals, const auto& share) {
    std::vector<std::string> row{cut(name, longest_item)};
    for (const std::size_t i : chosen) {
      const SpeedPoint& p = result.points[i];
      row.push_back(fixed(p.drag ? std::optional<double>(figure(p)) : std::nullopt, decimals));
      const std::optional<double> percent = p.drag ? share(p) : std::nullopt;
      row.push_back(percent ? fixed(*percent, 1) : "");
    }
    table.rows.push_back(std::move(row));
  };
  const auto no_share = [](const SpeedPoint&) { return std::optional<double>(); };
  if (solved != result.points.end()) {
    const auto shows = [&](std::size_t k) { // in newtons of two decimals
      return std::any_of(chosen.begin(), chosen.end(), [&](std::size_t i) {
        const SpeedPoint& p = result.points[i];
        return p.drag && std::abs(p.drag->items[k].drag) >= 0.005;
      });
    };
    for (std::size_t k = 0; k < solved->drag->items.size(); ++k)
      if (shows(k))
        add_row(
            item_name(solved->drag->items[k]), [k](const SpeedPoint& p) { return p.drag->items[k].drag; }, 2,
            [k](const SpeedPoint& p) { return std::optional(100 * p.drag->items[k].drag / p.drag->total); });
    add_row(
        "total drag", [](const SpeedPoint& p) { return p.drag->total; }, 2, no_share);
    const auto add_slow_row = [&](const std::string& name, const auto& figure) {
      std::vector<std::string> row{name};
      bool any = false;
      for (const std::size_t i : chosen) {
        const std::optional<double> value = figure(result.points[i]);
        any = any || value;
        row.push_back(value ? fixed(*value, 2) : "");
        row.emplace_back();
      }
      if (any)
        table.rows.push_back(std::move(row));
    };
    add_slow_row("total drag without the image", [](const SpeedPoint& p) { return p.drag_without_image; });
    add_slow_row("waves strip by strip", [](const SpeedPoint& p) { return p.two_dimensional_waves; });
    add_row(
        "lift", [](const SpeedPoint& p) { return p.drag->lift; }, 1, no_share);
    add_row(
        "lift over drag", [](const SpeedPoint& p) { return p.drag->lift_to_drag; }, 2, no_share);
    if (const auto& depth = head.input.craft.still_surface.depth)
      add_row(
          "depth Froude number",
          [&](const SpeedPoint& p) { return froude_numbers(p.speed, *depth, 1, 1).depth; }, 2, no_share);
    add_row(
        "angle of attack, deg", [](const SpeedPoint& p) { return in_degrees(*p.alpha); }, 2, no_share);
  }
  for (const std::string& line : table.lines())
    out << line << '\n';
  if (chosen.size() < result.points.size())
    out << chosen.size() << " of " << result.points.size() << " speeds; all of them: --csv or --json\n";
  std::vector<std::pair<double, std::string>> refused;
  for (const SpeedPoint& p : result.points)
    if (!p.drag)
      refused.emplace_back(p.speed, p.refusal);
  for (const std::string& line : refusal_lines(refused))
    out << line << '\n';
  const auto slow = [&](const SpeedPoint& p) { return needs_bracket(head.input.craft, p.speed); };
  if (std::any_of(result.points.begin(), result.points.end(), slow))
    for (const std::string& line :
         wrapped("warning: below depth Froude number 3 the still surface is not its image: drag "
                 "counts that by linear theory, the angle of attack does not",
                 table_width, 2))
      out << line << '\n';
  double fastest = 0;
  for (const SpeedPoint& p : result.points)
    fastest = std::max(fastest, p.speed);
  if (fastest > 0)
    if (const auto warning = cavitation_warning(head.input.craft, fastest))
      for (const std::string& line : wrapped(*warning, table_width, 2))
        out << line << '\n';
  if (std::any_of(result.points.begin(), result.points.end(),
                  [](const SpeedPoint& p) { return beyond_lift_limit(p.share_of_limit); }))
    out << limit_warning << '\n';
  for (const std::string& line : source_lines(result))
    out << line << '\n';
  out << trim_caution << '\n';
}

void write_drag_json(std::ostream& out, const StudyHead& head, const SpeedResult& result) {
  write_json(out, head_fields(head, result.summary, result.points.size()), result.points.size(),
             [&](std::size_t i) {
               const SpeedPoint& p = result.points[i];
               Fields fields = point_fields(p);
               fields.push_back({"drag", p.drag ? drag_fields(*p.drag) : std::vector<Fields>{}});
               return fields;
             });
}

void write_drag_csv(std::ostream& out, const StudyHead&, const SpeedResult& result) {
  const auto fields_of = [](const SpeedPoint& p, const DragItem& item) {
    const bool solved = p.drag.has_value();
    return Fields{{"speed_m_s", p.speed},
                  {"angle_deg", solved ? std::optional(in_degrees(p.alpha)) : std::nullopt},
                  {"percent_of_lift_limit", in_percent(p.share_of_limit)},
                  {"part", item.part},
                  {"cause", item.cause},
                  {"drag_n", solved ? std::optional(item.drag) : std::nullopt},
                  {"source", item.source}};
  };
  out << csv_names(fields_of({}, {}));
  for (const SpeedPoint& p : result.points) {
    if (!p.drag)
      out << csv_values(fields_of(p, {"", p.refusal, 0, "", {}}));
    else
      for (const DragItem& item : p.drag->items)
        out << csv_values(fields_of(p, item));
  }
}

} // namespace vlm
