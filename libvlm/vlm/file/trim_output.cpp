#include <vlm/file/trim_output.hpp>

#include <algorithm>
#include <cmath>
#include <functional>

#include <vlm/file/text_table.hpp>
#include <vlm/force/lift_limit.hpp>
#include <vlm/force/waves.hpp>
#include <vlm/study/bracket.hpp>

namespace vlm {
namespace {

constexpr std::size_t most_trim_columns = 6, most_parts = 3, longest_part_name = 20;
constexpr double least_lift = 0.05; // [N]; less is none to a decimal

using Cell = std::function<std::optional<double>(const TrimPoint&)>;

const Loading& loading_of(const StudyHead& head) {
  return *head.input.loading;
}

std::optional<double> if_solved(const TrimPoint& p, const std::optional<double>& figure) {
  return p.solved() ? figure : std::nullopt;
}

// The figure that the drive gives beside the power.
struct DriveFigure {
  std::string in_words;
  Cell cell;
  int decimals;
};

DriveFigure drive_figure(Drive::Kind kind) {
  switch (kind) {
  case Drive::Kind::pull:
  case Drive::Kind::motor:
    return {kind == Drive::Kind::pull ? "pull, N" : "thrust, N",
            [](const TrimPoint& p) { return if_solved(p, p.state.drive_force); }, 1};
  case Drive::Kind::wave:
    return {"slope of the wave, deg",
            [](const TrimPoint& p) { return if_solved(p, in_degrees(p.state.wave_slope)); }, 2};
  case Drive::Kind::coasting:
    break;
  }
  return {"slows down by, m/s²", [](const TrimPoint& p) { return if_solved(p, p.state.deceleration); }, 3};
}

// What the lean is called where there may be one: on a wave the rider stands upright.
const char* lean_name(const Drive& drive) {
  switch (drive.kind) {
  case Drive::Kind::wave:
    return "rider behind the water's normal by, mm";
  case Drive::Kind::pull:
    return drive.station ? nullptr : "rider leans back by, mm";
  case Drive::Kind::coasting:
    return "rider leans back by, mm";
  case Drive::Kind::motor:
    break;
  }
  return nullptr;
}

Fields state_fields(const TrimPoint& p) {
  const auto of = [&](double figure) { return p.solved() ? std::optional(figure) : std::nullopt; };
  const TrimState& s = p.state;
  return {{"angle_deg", of(in_degrees(s.alpha))},
          {"load_station_mm", of(in_mm(s.load_station))},
          {"lift_n", of(s.lift)},
          {"drag_n", of(s.drag)},
          {"drive_force_n", of(s.drive_force)},
          {"wave_slope_deg", of(in_degrees(s.wave_slope))},
          {"deceleration_m_s2", of(s.deceleration)},
          {"lean_mm", of(in_mm(s.lean))}};
}

Fields point_fields(const StudyHead& head, const TrimPoint& p) {
  Fields fields{{"speed_m_s", p.speed}};
  for (Field& field : state_fields(p))
    fields.push_back(std::move(field));
  fields.push_back({"front_foot_percent", in_percent(if_solved(p, p.front_foot_share))});
  fields.push_back({"power_w", if_solved(p, p.figures.power)});
  fields.push_back({"lift_to_drag", if_solved(p, p.lift_to_drag)});
  fields.push_back(
      {"greatest_local_lift_coefficient", if_solved(p, p.greatest_lift.hardest.lift_coefficient)});
  fields.push_back({"greatest_local_lift_surface",
                    p.solved() ? surface_name(head, p.greatest_lift.surface) : std::string()});
  fields.push_back({"greatest_local_lift_y_mm", if_solved(p, in_mm(p.greatest_lift.y))});
  fields.push_back({"percent_of_lift_limit", p.solved() && p.nearest_limit
                                                 ? std::optional(100 * p.nearest_limit->hardest.share)
                                                 : std::nullopt});
  fields.push_back({"limit_surface", p.solved() && p.nearest_limit
                                         ? surface_name(head, p.nearest_limit->surface)
                                         : std::string()});
  fields.push_back({"limit_y_mm",
                    p.solved() && p.nearest_limit ? std::optional(in_mm(p.nearest_limit->y)) : std::nullopt});
  fields.push_back({"wake_angle_deg", if_solved(p, in_degrees(p.wake_angle))});
  const auto bare = [&](const auto& figure) {
    return p.without_image ? std::optional<double>(figure(*p.without_image)) : std::nullopt;
  };
  fields.push_back({"angle_without_image_deg", bare([](const TrimState& s) { return in_degrees(s.alpha); })});
  fields.push_back(
      {"load_station_without_image_mm", bare([](const TrimState& s) { return in_mm(s.load_station); })});
  fields.push_back({"drag_without_image_n", bare([](const TrimState& s) { return s.drag; })});
  fields.push_back({"wave_drag_upper_estimate_n", p.two_dimensional_waves});
  const Craft& craft = head.input.craft;
  std::optional<FroudeNumbers> froude;
  if (craft.still_surface.depth) {
    const Reference size = reference(craft);
    froude = froude_numbers(p.speed, *craft.still_surface.depth, size.chord, size.span);
  }
  fields.push_back({"depth_froude_number", froude ? std::optional(froude->depth) : std::nullopt});
  fields.push_back({"chord_froude_number", froude ? std::optional(froude->chord) : std::nullopt});
  fields.push_back({"span_froude_number", froude ? std::optional(froude->span) : std::nullopt});
  fields.push_back({"refusal", p.refusal});
  return fields;
}

std::vector<Fields> part_fields(const StudyHead& head, const TrimPoint& p) {
  std::vector<Fields> fields;
  const std::vector<std::string> names = part_names(head.input.craft);
  for (std::size_t k = 0; k < p.parts.size(); ++k)
    fields.push_back({{"part", names[k]},
                      {"lift_n", p.parts[k].lift},
                      {"drag_n", p.parts[k].drag},
                      {"drag_percent", in_percent(p.parts[k].drag_share)}});
  return fields;
}

std::vector<std::string> mark_lines(const StudyHead& head, const SpeedMarks& marks) {
  TextTable table;
  table.first_is_text = true;
  table.heads = {"marked speeds", "m/s", "angle deg", "station mm", "drag N", "lift/drag", "power W"};
  std::vector<std::string> reasons;
  for (const NamedSpeedMark& m : named_speed_marks) {
    const SpeedMark& mark = marks.*m.mark;
    if (!mark.at) {
      for (const std::string& line :
           wrapped(std::string("no ") + m.in_words + ": " + mark.refusal, table_width, 2))
        reasons.push_back(line);
      continue;
    }
    const SpeedFigures& p = *mark.at;
    const bool slow = needs_bracket(head.input.craft, p.speed);
    // Take-off is the limit itself.
    const std::string beyond = m.mark == &SpeedMarks::take_off ? "" : limit_mark_of(p.share_of_limit);
    table.rows.push_back({m.in_words + beyond + (slow ? " (image does not hold)" : ""), fixed(p.speed, 2),
                          fixed(in_degrees(p.alpha), 2), fixed(in_mm(p.load_station), 1), fixed(p.drag, 1),
                          fixed(p.drag > 0 ? std::optional(p.lift / p.drag) : std::nullopt, 2),
                          fixed(p.power, 0)});
  }
  std::vector<std::string> lines = table.rows.empty() ? std::vector<std::string>{} : table.lines();
  lines.insert(lines.end(), reasons.begin(), reasons.end());
  return lines;
}

std::vector<std::string> fit_lines(const StudyHead& head, const FittedIncidence& fitted) {
  return wrapped("incidence of " + surface_name(head, fitted.surface) + " for a load station of " +
                     fixed(in_mm(fitted.wanted), 1) + " mm: " + fixed(in_degrees(fitted.fit.incidence), 3) +
                     " deg" + (fitted.fit.at_bound ? ", at the bound: the least squares lie beyond it" : "") +
                     "; missed by " + fixed(in_mm(fitted.fit.root_mean_square), 1) +
                     " mm (root mean square) over " + std::to_string(fitted.speeds.size()) +
                     (fitted.speeds.size() == 1 ? " speed" : " speeds") + ". Figures below are with it",
                 table_width, 2);
}

bool any_slow(const StudyHead& head, const TrimResult& result) {
  bool slow = std::any_of(result.points.begin(), result.points.end(),
                          [&](const TrimPoint& p) { return needs_bracket(head.input.craft, p.speed); });
  if (result.marks)
    for (const NamedSpeedMark& m : named_speed_marks) {
      const auto& at = ((*result.marks).*m.mark).at;
      slow = slow || (at && needs_bracket(head.input.craft, at->speed));
    }
  return slow;
}

// A marked speed lies at or above take-off, unless that is beyond what was searched.
bool any_beyond_limit(const TrimResult& result) {
  bool beyond = std::any_of(result.points.begin(), result.points.end(),
                            [](const TrimPoint& p) { return beyond_lift_limit(p.figures.share_of_limit); });
  if (result.marks)
    for (const NamedSpeedMark& m : named_speed_marks)
      if (const auto& at = ((*result.marks).*m.mark).at; at && m.mark != &SpeedMarks::take_off)
        beyond = beyond || beyond_lift_limit(at->share_of_limit);
  return beyond;
}

// Of all speeds put out [m/s]; 0 without any.
double fastest_of(const TrimResult& result) {
  double fastest = 0;
  for (const TrimPoint& p : result.points)
    fastest = std::max(fastest, p.speed);
  if (result.marks)
    for (const NamedSpeedMark& m : named_speed_marks)
      if (const auto& at = ((*result.marks).*m.mark).at)
        fastest = std::max(fastest, at->speed);
  return fastest;
}

const char* slow_warning() {
  return "warning: below depth Froude 3 the surface is not its image: drag counts that, angles do not";
}

// num_left_out: of the lines that can be, the least needed first.
TextTable figures_table(const StudyHead& head, const TrimResult& result,
                        const std::vector<std::size_t>& chosen, std::size_t num_left_out) {
  TextTable table;
  table.first_is_text = true;
  table.heads = {"speed, m/s"};
  std::vector<double> speeds;
  for (const std::size_t i : chosen)
    speeds.push_back(result.points[i].speed);
  for (const std::size_t i : chosen)
    table.heads.push_back(fixed(result.points[i].speed, decimals_needed(speeds, 1)) +
                          limit_mark_of(result.points[i].figures.share_of_limit));
  const auto add = [&](const std::string& name, int decimals, const Cell& cell, bool only_if_any = false) {
    std::vector<std::string> row{name};
    bool any = false;
    for (const std::size_t i : chosen) {
      const std::optional<double> figure = cell(result.points[i]);
      any = any || figure;
      // Of what only slow speeds have, a blank where it is not wanted, the mark of the undefined where it is.
      row.push_back(only_if_any && !figure && !needs_bracket(head.input.craft, result.points[i].speed)
                        ? ""
                        : fixed(figure, decimals));
    }
    if (any || !only_if_any)
      table.rows.push_back(std::move(row));
  };
  const auto solved = [](auto figure) {
    return
        [figure](const TrimPoint& p) { return p.solved() ? std::optional<double>(figure(p)) : std::nullopt; };
  };
  const Loading& loading = loading_of(head);
  add("angle of attack, deg", 2, solved([](const TrimPoint& p) { return in_degrees(p.state.alpha); }));
  add("load station, mm aft of the mast axis", 1,
      solved([](const TrimPoint& p) { return in_mm(p.state.load_station); }));
  if (loading.stance)
    add("front foot, %", 1, [](const TrimPoint& p) { return in_percent(if_solved(p, p.front_foot_share)); });
  if (const char* name = lean_name(loading.drive))
    add(name, 0, solved([](const TrimPoint& p) { return in_mm(p.state.lean); }));
  add("lift, N", 1, solved([](const TrimPoint& p) { return p.state.lift; }));
  const std::vector<std::string> names = part_names(head.input.craft);
  std::vector<std::size_t> bearing;
  for (std::size_t k = 0; k < names.size(); ++k)
    if (std::any_of(chosen.begin(), chosen.end(), [&](std::size_t i) { // not a mast, upright
          const TrimPoint& p = result.points[i];
          return p.solved() && std::abs(p.parts[k].lift) >= least_lift;
        }))
      bearing.push_back(k);
  const std::size_t alone = bearing.size() <= most_parts ? bearing.size() : most_parts - 1;
  for (std::size_t i = 0; i < alone; ++i)
    add("  on " + cut(names[bearing[i]], longest_part_name), 1,
        solved([k = bearing[i]](const TrimPoint& p) { return p.parts[k].lift; }));
  if (alone < bearing.size())
    add("  on " + std::to_string(bearing.size() - alone) + " more parts", 1, solved([&](const TrimPoint& p) {
          double sum = 0;
          for (std::size_t i = alone; i < bearing.size(); ++i)
            sum += p.parts[bearing[i]].lift;
          return sum;
        }));
  add("drag, N", 2, solved([](const TrimPoint& p) { return p.state.drag; }));
  if (const auto others = surfaces_beside_reference(head.input.craft); !others.empty() && num_left_out < 2)
    add("  of it " + cut(names[others.front()], longest_part_name) + ", %", 1,
        [k = others.front()](const TrimPoint& p) {
          return p.solved() ? in_percent(p.parts[k].drag_share) : std::nullopt;
        });
  const DriveFigure drive = drive_figure(loading.drive.kind);
  if (loading.drive.kind != Drive::Kind::pull || loading.drive.angle != 0) // a level pull is the drag
    add(drive.in_words, drive.decimals, drive.cell);
  add("power, W", 0, solved([](const TrimPoint& p) { return p.figures.power; }));
  add("lift over drag", 2, [](const TrimPoint& p) { return if_solved(p, p.lift_to_drag); });
  add("greatest local lift coefficient", 3,
      solved([](const TrimPoint& p) { return p.greatest_lift.hardest.lift_coefficient; }));
  const auto first =
      std::find_if(chosen.begin(), chosen.end(), [&](std::size_t i) { return result.points[i].solved(); });
  if (first != chosen.end() && num_left_out < 1) {
    const std::size_t surface = result.points[*first].greatest_lift.surface;
    const bool same = std::all_of(chosen.begin(), chosen.end(), [&](std::size_t i) {
      return !result.points[i].solved() || result.points[i].greatest_lift.surface == surface;
    });
    add(same ? "  on " + cut(surface_name(head, surface), longest_part_name) + " at y, mm"
             : "  at y, mm; on which surface: --csv",
        0, solved([](const TrimPoint& p) { return in_mm(p.greatest_lift.y); }));
  }
  add(
      "nearest to a lift limit, %", 1,
      [](const TrimPoint& p) {
        return p.nearest_limit ? std::optional(100 * p.nearest_limit->hardest.share) : std::nullopt;
      },
      true);
  if (const auto& depth = head.input.craft.still_surface.depth)
    add("depth Froude number", 2,
        [&](const TrimPoint& p) { return froude_numbers(p.speed, *depth, 1, 1).depth; });
  const auto bare = [](auto figure) {
    return [figure](const TrimPoint& p) {
      return p.without_image ? std::optional<double>(figure(*p.without_image)) : std::nullopt;
    };
  };
  add("without the image: load station, mm", 1,
      bare([](const TrimState& s) { return in_mm(s.load_station); }), true);
  add("without the image: drag, N", 2, bare([](const TrimState& s) { return s.drag; }), true);
  add(
      "waves strip by strip, N", 2, [](const TrimPoint& p) { return p.two_dimensional_waves; }, true);
  return table;
}

} // namespace

void write_trim_table(std::ostream& out, const StudyHead& head, const TrimResult& result) {
  const std::vector<std::size_t> chosen = spread_over(result.points.size(), most_trim_columns);
  std::vector<std::string> above = head_lines(head), below;
  if (result.fitted)
    for (const std::string& line : fit_lines(head, *result.fitted))
      above.push_back(line);
  const auto print = [&](const std::vector<std::string>& lines) {
    below.insert(below.end(), lines.begin(), lines.end());
  };
  std::vector<std::pair<double, std::string>> refused;
  for (const TrimPoint& p : result.points)
    if (!p.solved())
      refused.emplace_back(p.speed, p.refusal);
  print(refusal_lines(refused));
  if (result.marks)
    print(mark_lines(head, *result.marks));
  if (any_slow(head, result))
    print(wrapped(slow_warning(), table_width, 2));
  if (const double fastest = fastest_of(result); fastest > 0)
    if (const auto warning = cavitation_warning(head.input.craft, fastest))
      print(wrapped(*warning, table_width, 2));
  if (any_beyond_limit(result))
    print({std::string(limit_warning)});
  print(wrapped(std::string(trim_caution), table_width, 2));

  constexpr std::size_t can_be_left_out = 2, line_of_rest = 1;
  std::size_t left_out = 0;
  std::vector<std::string> table = figures_table(head, result, chosen, left_out).lines();
  while (left_out < can_be_left_out &&
         above.size() + table.size() + line_of_rest + below.size() > table_lines)
    table = figures_table(head, result, chosen, ++left_out).lines();
  if (chosen.size() < result.points.size() || left_out > 0)
    table.push_back(std::to_string(chosen.size()) + " of " + std::to_string(result.points.size()) +
                    (left_out > 0 ? " speeds; all of them, with all figures: --csv or --json"
                                  : " speeds; all of them: --csv or --json"));
  for (const std::vector<std::string>& lines : {above, table, below})
    for (const std::string& line : lines)
      out << line << '\n';
}

void write_trim_json(std::ostream& out, const StudyHead& head, const TrimResult& result) {
  StudySummary summary = result.summary;
  if (result.marks) {
    summary.num_factorisations += result.marks->num_factorisations;
    summary.num_solves += result.marks->num_solves;
  }
  if (result.fitted) {
    summary.num_factorisations += result.fitted->fit.num_factorisations;
    summary.num_solves += result.fitted->fit.num_solves;
  }
  Fields fields = head_fields(head, summary, std::max(result.num_wanted, result.points.size()));
  fields.push_back({"caution", std::string(trim_caution)});
  if (any_slow(head, result))
    fields.push_back({"warning", std::string(slow_warning())});
  const Loading& loading = loading_of(head);
  fields.push_back({"drive", std::string(name_of(loading.drive.kind))});
  if (result.marks) {
    Fields marks;
    for (const NamedSpeedMark& m : named_speed_marks) {
      const SpeedMark& mark = (*result.marks).*m.mark;
      const auto& at = mark.at;
      const auto of = [&](double SpeedFigures::*figure) {
        return at ? std::optional((*at).*figure) : std::nullopt;
      };
      marks.push_back(
          {m.name,
           Fields{{"speed_m_s", of(&SpeedFigures::speed)},
                  {"angle_deg", in_degrees(of(&SpeedFigures::alpha))},
                  {"load_station_mm", in_mm(of(&SpeedFigures::load_station))},
                  {"drag_n", of(&SpeedFigures::drag)},
                  {"lift_to_drag", at && at->drag > 0 ? std::optional(at->lift / at->drag) : std::nullopt},
                  {"power_w", of(&SpeedFigures::power)},
                  {"image_holds", at.has_value() && !needs_bracket(head.input.craft, at->speed)},
                  {"refusal", mark.refusal}}});
    }
    fields.push_back({"marked_speeds", marks});
  }
  if (const auto& fitted = result.fitted)
    fields.push_back(
        {"fitted_incidence", Fields{{"surface", surface_name(head, fitted->surface)},
                                    {"wanted_load_station_mm", in_mm(fitted->wanted)},
                                    {"incidence_deg", in_degrees(fitted->fit.incidence)},
                                    {"at_bound", fitted->fit.at_bound},
                                    {"root_mean_square_mm", in_mm(fitted->fit.root_mean_square)}}});
  write_json(out, fields, result.points.size(), [&](std::size_t i) {
    Fields point = point_fields(head, result.points[i]);
    point.push_back({"parts", part_fields(head, result.points[i])});
    return point;
  });
}

void write_trim_csv(std::ostream& out, const StudyHead& head, const TrimResult& result) {
  const std::vector<std::string> names = part_names(head.input.craft);
  const auto fields_of = [&](const TrimPoint& p) {
    Fields fields = point_fields(head, p);
    for (std::size_t k = 0; k < names.size(); ++k) {
      const bool known = k < p.parts.size();
      fields.push_back({"lift_n " + names[k], known ? std::optional(p.parts[k].lift) : std::nullopt});
      fields.push_back(
          {"drag_percent " + names[k], known ? in_percent(p.parts[k].drag_share) : std::nullopt});
    }
    return fields;
  };
  TrimPoint none;
  none.speed = 1, none.refusal = "none";
  out << csv_names(fields_of(none));
  for (const TrimPoint& p : result.points)
    out << csv_values(fields_of(p));
}

} // namespace vlm
