#include <vlm/file/reach_output.hpp>

#include <algorithm>
#include <cmath>
#include <utility>

#include <vlm/file/text_table.hpp>

namespace vlm {
namespace {

constexpr std::size_t most_tips = 4, longest_tip = 12, least_rows = 3, most_depths = 3;

constexpr const char* caution =
    "geometry and linear estimates for still water, the angle of attack held: waves, "
    "heave and heel in motion "
    "are not in them; go by graduated tests on the water and by local rules";

constexpr VentilationCriterion criteria[] = {VentilationCriterion::breach, VentilationCriterion::suction,
                                             VentilationCriterion::mast};

const char* criterion_name(VentilationCriterion criterion) {
  switch (criterion) {
  case VentilationCriterion::breach:
    return "breach";
  case VentilationCriterion::suction:
    return "suction";
  case VentilationCriterion::mast:
    return "mast";
  }
  return "";
}

std::string side_of(double y) {
  return y > 0 ? "starboard" : y < 0 ? "port" : "middle";
}

// What a strip bears at the speed of the operation [N/m].
std::optional<double> lift_per_metre(const StudyHead& head, const std::optional<double>& circulation) {
  const auto& speed = head.input.operation.speed;
  if (!speed || !circulation)
    return std::nullopt;
  return head.input.craft.water.density * *speed * *speed * *circulation;
}

std::optional<double> level_lift_coefficient(const StripReach& strip) {
  if (!strip.level_circulation)
    return std::nullopt;
  return 2 * *strip.level_circulation / strip.chord;
}

// In percent of the load without bank; undefined where that is none.
std::optional<double> change_percent(const StripReach& strip) {
  const auto level = level_lift_coefficient(strip);
  if (!level || std::abs(*level) < 1e-6)
    return std::nullopt;
  return 100 * (strip.lift_coefficient() / *level - 1);
}

Fields load_fields(const StudyHead& head, const StripReach* strip) {
  using Figure = std::optional<double>;
  return {{"lift_coefficient", strip ? Figure(strip->lift_coefficient()) : Figure()},
          {"lift_n_per_m", strip ? lift_per_metre(head, strip->circulation) : Figure()},
          {"level_lift_coefficient", strip ? level_lift_coefficient(*strip) : Figure()},
          {"level_lift_n_per_m", strip ? lift_per_metre(head, strip->level_circulation) : Figure()}};
}

Fields breach_fields(const BreachBanks& breach) {
  return {{"breach_bank_starboard_down_deg", in_degrees(breach.starboard_down)},
          {"breach_bank_port_down_deg", in_degrees(breach.port_down)}};
}

Fields joined(Fields fields, const Fields& more) {
  fields.insert(fields.end(), more.begin(), more.end());
  return fields;
}

Fields place_fields(const EdgePlace& place) {
  return {{"x_mm", in_mm(place.point.x)},
          {"y_mm", in_mm(place.point.y)},
          {"z_mm", in_mm(place.point.z)},
          {"edge", std::string(place.trailing ? "trailing" : "leading")},
          {"depth_mm", in_mm(place.depth)}};
}

Fields tip_fields(const StudyHead& head, const ReachPoint& point, const TipReach& tip) {
  Fields fields{{"surface", surface_name(head, tip.surface)},
                {"side", side_of(tip.highest.point.y)},
                {"chord_mm", in_mm(tip.chord)}};
  fields = joined(std::move(fields), place_fields(tip.highest));
  fields = joined(std::move(fields), breach_fields(tip.breach));
  return joined(std::move(fields), load_fields(head, outermost_strip(tip, point.strips)));
}

Fields surface_fields(const StudyHead& head, const SurfaceReach& surface) {
  return joined(joined({{"surface", surface_name(head, surface.surface)}}, place_fields(surface.highest)),
                breach_fields(surface.breach));
}

Fields strip_fields(const StudyHead& head, const StripReach& strip) {
  return joined({{"surface", surface_name(head, strip.surface)},
                 {"y_mm", in_mm(strip.leading_edge.y)},
                 {"z_mm", in_mm(strip.leading_edge.z)},
                 {"span_fraction", strip.span_fraction},
                 {"chord_mm", in_mm(strip.chord)},
                 {"depth_mm", in_mm(strip.depth)}},
                load_fields(head, &strip));
}

Fields warning_fields(const StudyHead& head, const VentilationWarning& warning) {
  using Figure = std::optional<double>;
  const auto figure = [&](VentilationCriterion of, double value) {
    return warning.criterion == of ? Figure(value) : Figure();
  };
  return {{"surface", surface_name(head, warning.surface)},
          {"criterion", std::string(criterion_name(warning.criterion))},
          {"level", std::string(name_of(warning.level))},
          {"y_mm", in_mm(warning.place.y)},
          {"depth_mm", figure(VentilationCriterion::breach, in_mm(warning.figure))},
          {"depth_in_chords", figure(VentilationCriterion::suction, warning.figure)},
          {"angle_deg", figure(VentilationCriterion::mast, in_degrees(warning.figure))}};
}

Fields place_of(const ReachPoint& point) {
  return {{"depth_mm", in_mm(point.reach.depth)}, {"bank_deg", in_degrees(point.reach.bank)}};
}

template <class Item, class Make>
std::vector<Fields> list(const std::vector<Item>& items, const Make& make) {
  std::vector<Fields> fields;
  for (const Item& item : items)
    fields.push_back(make(item));
  return fields;
}

Fields point_fields(const StudyHead& head, const ReachPoint& point) {
  return joined(
      place_of(point),
      {{"least_depth_of_origin_mm", in_mm(least_depth(point.reach))},
       {"ventilation", std::string(name_of(worst(point.warnings)))},
       {"warnings", list(point.warnings, [&](const auto& w) { return warning_fields(head, w); })},
       {"tips", list(point.reach.tips, [&](const auto& t) { return tip_fields(head, point, t); })},
       {"surfaces", list(point.reach.surfaces, [&](const auto& s) { return surface_fields(head, s); })},
       {"strips", list(point.strips, [&](const auto& s) { return strip_fields(head, s); })},
       {"refusal", point.refusal}});
}

// The tip that comes out first on the side that rises, level that to port; if none does, the least deep.
const TipReach* first_tip(const Reach& reach) {
  const auto breach = [&](const TipReach& tip) {
    const double never = 2; // rad: beyond all banks
    return std::abs((reach.bank < 0 ? tip.breach.port_down : tip.breach.starboard_down).value_or(never));
  };
  const auto tip =
      std::min_element(reach.tips.begin(), reach.tips.end(), [&](const TipReach& a, const TipReach& b) {
        return std::pair(breach(a), a.highest.depth) < std::pair(breach(b), b.highest.depth);
      });
  return tip == reach.tips.end() ? nullptr : &*tip;
}

// What comes out first, at one depth.
std::string first_line(const StudyHead& head, const Reach& reach) {
  std::string line = "at a depth of " + fixed(in_mm(reach.depth), 1) + " mm";
  for (const bool starboard_down : {true, false}) {
    line += std::string(starboard_down ? ", " : "; ") + (starboard_down ? "starboard" : "port") + " down: ";
    const auto first = first_to_breach(reach, starboard_down);
    if (!first)
      line += "nothing comes out below 80 deg";
    else
      line += "'" + cut(surface_name(head, first->surface), 24) + "' comes out first, at " +
              fixed(in_degrees(starboard_down ? first->breach.starboard_down : first->breach.port_down), 2) +
              " deg";
  }
  return line;
}

TextTable table_of(const StudyHead& head, const ReachResult& result, const std::vector<std::size_t>& chosen,
                   std::size_t num_tips) {
  TextTable table;
  table.heads = {"depth\nmm", "bank\ndeg", "least\ndepth\nmm"};
  const std::vector<TipReach>& tips = result.points.front().reach.tips;
  for (std::size_t i = 0; i < num_tips; ++i)
    table.heads.push_back(cut(surface_name(head, tips[i].surface), longest_tip) + "\n" +
                          side_of(tips[i].highest.point.y) + " tip\ndepth mm");
  table.heads.insert(table.heads.end(),
                     {"first tip\nto come\nout: CL", "from\nlevel\n%", "\nlift\nN/m", "air\ndrawn\ndown"});
  std::vector<double> depths, banks;
  for (const ReachPoint& p : result.points) {
    depths.push_back(in_mm(p.reach.depth));
    banks.push_back(in_degrees(p.reach.bank));
  }
  for (const std::size_t i : chosen) {
    const ReachPoint& p = result.points[i];
    const TipReach* first = first_tip(p.reach);
    const StripReach* strip = first ? outermost_strip(*first, p.strips) : nullptr;
    std::vector<std::string> row{fixed(in_mm(p.reach.depth), decimals_needed(depths, 0)),
                                 fixed(in_degrees(p.reach.bank), decimals_needed(banks, 1)),
                                 fixed(in_mm(least_depth(p.reach)), 1)};
    for (std::size_t k = 0; k < num_tips; ++k)
      row.push_back(fixed(in_mm(p.reach.tips[k].highest.depth), 1));
    row.push_back(fixed(strip ? std::optional(strip->lift_coefficient()) : std::nullopt, 3));
    row.push_back(fixed(strip ? change_percent(*strip) : std::nullopt, 1));
    row.push_back(fixed(strip ? lift_per_metre(head, strip->circulation) : std::nullopt, 1));
    row.emplace_back(name_of(worst(p.warnings)));
    table.rows.push_back(std::move(row));
  }
  return table;
}

} // namespace

void write_reach_table(std::ostream& out, const StudyHead& head, const ReachResult& result) {
  std::vector<std::string> lines = head_lines(head), foot;
  lines.emplace_back();
  const auto append = [&](const std::string& text) {
    for (const std::string& line : wrapped(text, table_width, 2))
      foot.push_back(line);
  };
  std::vector<double> told;
  for (const ReachPoint& p : result.points)
    if (std::find(told.begin(), told.end(), p.reach.depth) == told.end() && told.size() < most_depths) {
      told.push_back(p.reach.depth);
      append(first_line(head, p.reach));
    }
  std::string air = "air drawn down is ";
  for (const VentilationCriterion criterion : criteria)
    air += (criterion == criteria[0] ? "" : "; ") + sentence(criterion);
  append(air);
  append(caution);

  std::size_t num_tips = std::min(most_tips, result.points.front().reach.tips.size());
  while (num_tips > 0 && table_of(head, result, {}, num_tips).width() > table_width)
    --num_tips;
  constexpr std::size_t table_head = 3, line_of_rest = 1;
  const std::size_t used = lines.size() + foot.size() + table_head + line_of_rest;
  const std::size_t room = std::max(least_rows, used < table_lines ? table_lines - used : 0);
  std::vector<std::size_t> chosen;
  const std::size_t count = result.points.size(), shown = std::min(count, room);
  for (std::size_t i = 0; i < shown; ++i)
    chosen.push_back(shown == 1 ? 0 : i * (count - 1) / (shown - 1));

  for (const std::string& line : lines)
    out << line << '\n';
  for (const std::string& line : table_of(head, result, chosen, num_tips).lines())
    out << line << '\n';
  if (shown < count)
    out << shown << " of " << count << " points; all of them, with all tips and strips: --csv or --json\n";
  for (const std::string& line : foot)
    out << line << '\n';
}

void write_reach_json(std::ostream& out, const StudyHead& head, const ReachResult& result) {
  Fields fields = head_fields(head, result.summary, result.study.depths.size() * result.study.banks.size());
  std::vector<Fields> sentences;
  for (const VentilationCriterion criterion : criteria)
    sentences.push_back(
        {{"criterion", std::string(criterion_name(criterion))}, {"sentence", sentence(criterion)}});
  fields.push_back({"angle_deg", in_degrees(result.study.condition.alpha)});
  fields.push_back({"sideslip_deg", in_degrees(result.study.condition.beta)});
  fields.push_back({"ventilation_criteria", sentences});
  fields.push_back({"caution", std::string(caution)});
  write_json(out, fields, result.points.size(),
             [&](std::size_t i) { return point_fields(head, result.points[i]); });
}

void write_reach_csv(std::ostream& out, const StudyHead& head, const ReachResult& result) {
  bool named = false;
  for (const ReachPoint& point : result.points)
    for (const TipReach& tip : point.reach.tips) {
      Fields fields{{"origin_depth_mm", in_mm(point.reach.depth)},
                    {"bank_deg", in_degrees(point.reach.bank)}};
      fields = joined(std::move(fields), tip_fields(head, point, tip));
      fields.push_back({"ventilation", std::string(name_of(worst(point.warnings)))});
      fields.push_back({"refusal", point.refusal});
      if (!named)
        out << csv_names(fields);
      named = true;
      out << csv_values(fields);
    }
}

} // namespace vlm
