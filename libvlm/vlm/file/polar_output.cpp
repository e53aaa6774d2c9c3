#include <vlm/file/polar_output.hpp>

#include <algorithm>

#include <vlm/file/derivative_output.hpp>
#include <vlm/file/drag_output.hpp>
#include <vlm/file/text_table.hpp>
#include <vlm/file/trim_output.hpp>
#include <vlm/force/lift_limit.hpp>
#include <vlm/force/span_loading.hpp>
#include <vlm/force/wave_drag.hpp>
#include <vlm/shape/outline.hpp>

namespace vlm {
namespace {

constexpr std::size_t name_columns = 10; // of a surface in the head of its share
constexpr int outline_pieces = 8;        // between stations, where the outline is curved

Fields point_fields(const PolarPoint& p) {
  return {{"angle_deg", in_degrees(p.condition.alpha)},
          {"sideslip_deg", in_degrees(p.condition.beta)},
          {"roll_rate", p.condition.rates.x},
          {"pitch_rate", p.condition.rates.y},
          {"yaw_rate", p.condition.rates.z},
          {"lift_coefficient", p.lift_coefficient},
          {"induced_drag_coefficient", p.induced_drag_coefficient},
          {"near_field_difference_percent",
           near_field_difference_percent(p.near_drag_excess, p.induced_drag_coefficient)},
          {"span_efficiency", p.span_efficiency},
          {"pitching_moment_coefficient", p.pitching_moment_coefficient},
          {"centre_of_lift_mm", in_mm(p.centre_of_lift)},
          {"neutral_point_mm", in_mm(p.neutral_point)},
          {"side_force_coefficient", p.side_force_coefficient},
          {"rolling_moment_coefficient", p.rolling_moment_coefficient},
          {"yawing_moment_coefficient", p.yawing_moment_coefficient},
          {"wake_angle_deg", in_degrees(p.wake_angle)}};
}

// All drag of a point, if the speed is known.
std::optional<DragBreakdown> drag_of(const StudyHead& head, const PolarPoint& p) {
  const Case& input = head.input;
  if (!input.operation.speed)
    return std::nullopt;
  return drag_breakdown(input.craft, head.lattice, head.body, input.drag, p, *input.operation.speed);
}

Fields total_fields(const std::optional<DragBreakdown>& drag) {
  return {{"lift_n", drag ? std::optional(drag->lift) : std::nullopt},
          {"drag_n", drag ? std::optional(drag->total) : std::nullopt},
          {"lift_to_drag", drag ? drag->lift_to_drag : std::nullopt}};
}

// Upper estimate of the drag of waves [N], at the speed of the operation, which must be known.
double wave_drag_of(const Case& input, const Lattice& lattice, const PolarPoint& p) {
  const double speed = input.operation.speed.value();
  std::vector<double> circulation = p.strip_circulation;
  for (double& gamma : circulation)
    gamma *= speed;
  return two_dimensional_wave_drag(lattice, circulation, speed, input.craft.water.density);
}

std::vector<Fields> loading_fields(const StudyHead& head, const PolarPoint& p) {
  const auto& speed = head.input.operation.speed;
  std::vector<double> circulation = p.strip_circulation;
  for (double& gamma : circulation)
    gamma *= speed.value_or(1);
  const SpanLoading loading =
      span_loading(head.lattice, circulation, speed.value_or(1), head.input.craft.water.density);
  std::vector<Fields> strips;
  for (std::size_t j = 0; j < circulation.size(); ++j) {
    const Strip& strip = head.lattice.strips[j];
    Fields fields{{"surface", head.input.craft.surfaces[strip.surface].name},
                  {"y_mm", in_mm(strip.leading_edge.y)},
                  {"z_mm", in_mm(strip.leading_edge.z)},
                  {"span_fraction", strip.span_fraction},
                  {speed ? "circulation_m2_s" : "circulation_over_speed_m", loading.circulation[j]},
                  {"local_lift_coefficient", loading.lift_coefficient[j]}};
    if (speed)
      fields.push_back({"lift_n_per_m", loading.lift_per_metre[j]});
    strips.push_back(std::move(fields));
  }
  return strips;
}

// Leading edge and chord of all surfaces, tip to tip, at stations and, where curved, between: enough to draw
// them.
std::vector<Fields> outline_fields(const Craft& craft) {
  std::vector<Fields> points;
  for (const Surface& surface : craft.surfaces) {
    const Outline outline(surface);
    const auto add = [&](double s, bool station) {
      const SpanPoint at = outline.at(s);
      points.push_back({{"surface", surface.name},
                        {"x_mm", in_mm(at.leading_edge.x)},
                        {"y_mm", in_mm(at.leading_edge.y)},
                        {"z_mm", in_mm(at.leading_edge.z)},
                        {"chord_mm", in_mm(at.chord)},
                        {"station", station}});
    };
    const std::vector<double>& arcs = outline.station_arcs();
    const int pieces = surface.curve == Curve::smooth ? outline_pieces : 1;
    for (std::size_t k = 0; k < arcs.size(); ++k) {
      add(arcs[k], true);
      if (k + 1 < arcs.size())
        for (int i = 1; i < pieces; ++i)
          add(arcs[k] + (arcs[k + 1] - arcs[k]) * i / pieces, false);
    }
  }
  return points;
}

// Of each point's strip that is nearest to its lift limit: what share of it.
std::vector<std::optional<double>> shares_of_limits(const StudyHead& head, const PolarResult& result) {
  const std::vector<double> limits = lift_limits(head.input.craft, head.lattice);
  std::vector<std::optional<double>> shares;
  for (const PolarPoint& p : result.points) {
    const auto hardest = nearest_to_limit(limits, head.lattice, p.strip_circulation);
    shares.push_back(hardest ? std::optional(hardest->share) : std::nullopt);
  }
  return shares;
}

// Whether each point has a strip beyond its lift limit.
std::vector<bool> beyond_limits(const StudyHead& head, const PolarResult& result) {
  std::vector<bool> beyond;
  for (const std::optional<double>& share : shares_of_limits(head, result))
    beyond.push_back(beyond_lift_limit(share));
  return beyond;
}

bool any(const std::vector<bool>& flags) {
  return std::find(flags.begin(), flags.end(), true) != flags.end();
}

std::string share_head(const std::string& surface) {
  std::string head;
  for (const std::string& line : wrapped(surface, name_columns, 0))
    head += line + '\n';
  return head + "share %";
}

// Main table of the points chosen, and another for the shares if they do not fit beside it.
std::vector<TextTable> tables(const StudyHead& head, const PolarResult& result,
                              const std::vector<std::size_t>& chosen, const std::vector<bool>& beyond) {
  std::vector<double> degrees;
  for (const std::size_t i : chosen)
    degrees.push_back(in_degrees(result.points[i].condition.alpha));
  const int decimals = decimals_needed(degrees, 2);
  const bool with_drag = head.input.operation.speed.has_value();

  const bool lateral =
      std::any_of(result.points.begin(), result.points.end(),
                  [](const PolarPoint& p) {
                    return p.condition.beta != 0 || p.condition.rates.x != 0 || p.condition.rates.z != 0;
                  }) ||
      head.input.craft.still_surface.bank != 0;
  TextTable main, shares;
  main.heads = {"angle\ndeg", "lift\nCL",   "drag\nCDi",          "near field\noff by %",
                "span\neff.", "moment\nCm", "centre of\nlift mm", "neutral\npoint mm"};
  if (lateral) // room for what such a stream is about
    main.heads = {"angle\ndeg",         "lift\nCL",       "drag\nCDi", "moment\nCm",
                  "centre of\nlift mm", "side force\nCY", "roll\nCl",  "yaw\nCn"};
  shares.heads = {"angle\ndeg"};
  if (with_drag) {
    main.heads.emplace_back("drag\nN");
    main.heads.emplace_back("lift/\ndrag");
  }
  for (const std::size_t i : chosen) {
    const PolarPoint& p = result.points[i];
    const std::string angle =
        fixed(in_degrees(p.condition.alpha), decimals) + (!any(beyond) ? ""
                                                          : beyond[i]  ? std::string(limit_mark)
                                                                       : " ");
    if (lateral)
      main.rows.push_back({angle, fixed(p.lift_coefficient, 5), fixed(p.induced_drag_coefficient, 6),
                           fixed(p.pitching_moment_coefficient, 5), fixed(in_mm(p.centre_of_lift), 2),
                           fixed(p.side_force_coefficient, 5), fixed(p.rolling_moment_coefficient, 5),
                           fixed(p.yawing_moment_coefficient, 5)});
    else
      main.rows.push_back(
          {angle, fixed(p.lift_coefficient, 5), fixed(p.induced_drag_coefficient, 6),
           fixed(near_field_difference_percent(p.near_drag_excess, p.induced_drag_coefficient), 2),
           fixed(p.span_efficiency, 4), fixed(p.pitching_moment_coefficient, 5),
           fixed(in_mm(p.centre_of_lift), 2), fixed(in_mm(p.neutral_point), 2)});
    shares.rows.push_back({angle});
    if (with_drag) {
      const std::optional<DragBreakdown> drag = drag_of(head, p);
      main.rows.back().push_back(fixed(drag->total, 2));
      main.rows.back().push_back(fixed(drag->lift_to_drag, 2));
    }
  }
  const std::vector<std::string> names = part_names(head.input.craft);
  const auto add_share = [&](TextTable& table, std::size_t part) {
    table.heads.push_back(share_head(names[part]));
    for (std::size_t row = 0; row < chosen.size(); ++row)
      table.rows[row].push_back(fixed(in_percent(result.points[chosen[row]].parts[part].share), 2));
  };
  TextTable beside = main;
  for (std::size_t k = 0; k < names.size(); ++k)
    add_share(beside, k);
  if (beside.width() <= table_width)
    return {beside};
  for (std::size_t k = 0; k < names.size(); ++k) {
    TextTable wider = shares;
    add_share(wider, k);
    if (wider.width() > table_width)
      break;
    shares = std::move(wider);
  }
  return {main, shares};
}

// What the results are without the image of the still surface, and what waves cost strip by strip.
TextTable bracket_table(const StudyHead& head, const PolarResult& result,
                        const std::vector<std::size_t>& chosen) {
  TextTable table;
  table.heads = {"angle\ndeg", "lift CL\nno image", "drag CDi\nno image", "moment Cm\nno image",
                 "waves by\nstrips N"};
  for (const std::size_t i : chosen) {
    const PolarPoint& p = result.without_image[i];
    table.rows.push_back({fixed(in_degrees(p.condition.alpha), 2), fixed(p.lift_coefficient, 5),
                          fixed(p.induced_drag_coefficient, 6), fixed(p.pitching_moment_coefficient, 5),
                          fixed(wave_drag_of(head.input, head.lattice, result.points[i]), 2)});
  }
  return table;
}

// So many of the points, the first and the last among them, evenly.
std::vector<std::size_t> evenly(std::size_t num_points, std::size_t most) {
  std::vector<std::size_t> chosen;
  if (num_points <= most) {
    for (std::size_t i = 0; i < num_points; ++i)
      chosen.push_back(i);
    return chosen;
  }
  const std::size_t step = (num_points - 2) / (most - 1) + 1;
  for (std::size_t i = 0; i + 1 < num_points; i += step)
    chosen.push_back(i);
  chosen.push_back(num_points - 1);
  return chosen;
}

} // namespace

namespace {

// Sideslip, and the rates that there are with their figures without dimension; "" without any.
std::string motion_text(const StudyHead& head, const Condition& at) {
  std::string text;
  const auto add = [&](const std::string& more) { text += (text.empty() ? "" : ", ") + more; };
  if (at.beta != 0)
    add("sideslip " + fixed(in_degrees(at.beta), 2) + " deg");
  const Reference size = reference(head.input.craft);
  const auto add_rate = [&](const std::string& name, const char* symbol, double figure, double length) {
    if (figure == 0)
      return;
    const auto& speed = head.input.operation.speed;
    add(name + " rate " +
        (speed ? fixed(in_degrees(2 * *speed * figure / length), 2) + " deg/s, " : std::string()) + symbol +
        " " + fixed(figure, 5));
  };
  add_rate("roll", "p b/2V", at.rates.x, size.span);
  add_rate("pitch", "q c/2V", at.rates.y, size.chord);
  add_rate("yaw", "r b/2V", at.rates.z, size.span);
  return text;
}

// What holds for all points; with derivatives, where they are taken.
std::vector<std::string> condition_lines(const StudyHead& head, const PolarResult& result) {
  if (result.points.empty())
    return {};
  const PolarPoint& first = result.points.front();
  const std::string motion = motion_text(head, first.condition);
  std::vector<std::string> lines;
  const auto append = [&](const std::string& text) {
    for (std::string& line : wrapped(text, table_width, 14))
      lines.push_back(std::move(line));
  };
  if (!motion.empty())
    append("motion        " + motion);
  if (!result.derivatives.empty()) {
    const std::string bare =
        result.without_image.empty()
            ? ""
            : " (no image " + fixed(result.without_image.front().lift_coefficient, 5) + ")";
    append("derivatives   at " + fixed(in_degrees(first.condition.alpha), 2) + " deg, CL " +
           fixed(first.lift_coefficient, 5) + bare + "; per rate: of p b/2V, q c/2V or r b/2V");
  }
  return lines;
}

// The tables of a polar. most: rows of each.
std::vector<std::string> point_lines(const StudyHead& head, const PolarResult& result, std::size_t most,
                                     bool with_shares, const std::vector<bool>& beyond) {
  const std::size_t num_points = result.points.size();
  const auto chosen = evenly(num_points, most);
  std::vector<TextTable> all = tables(head, result, chosen, beyond);
  bool all_shares = all.back().heads.size() > part_names(head.input.craft).size();
  if (all.size() > 1 && !with_shares) {
    all.pop_back();
    all_shares = false;
  }
  if (!result.without_image.empty())
    all.push_back(bracket_table(head, result, chosen));
  std::vector<std::string> lines;
  for (const TextTable& table : all) {
    if (!lines.empty())
      lines.emplace_back();
    for (const std::string& line : table.lines())
      lines.push_back(line);
  }
  if (head.input.operation.speed)
    lines.emplace_back("drag by part and cause, each with its source: --json, --speeds-m-s or -o");
  if (!all_shares)
    lines.push_back(
        std::string(with_shares ? "shares of the other parts" : "shares of the parts in the lift") +
        ": --csv, --json or -o");
  if (chosen.size() < num_points)
    lines.push_back(std::to_string(chosen.size()) + " of " + std::to_string(num_points) +
                    " angles; all of them: --csv, --json or -o");
  if (any(beyond))
    lines.emplace_back(limit_warning);
  lines.emplace_back(trim_caution);
  return lines;
}

} // namespace

std::vector<double> wave_drags(const Case& input, const Lattice& lattice,
                               std::span<const PolarPoint> points) {
  std::vector<double> drags;
  for (const PolarPoint& p : points)
    drags.push_back(wave_drag_of(input, lattice, p));
  return drags;
}

void write_polar_table(std::ostream& out, const StudyHead& head, const PolarResult& result) {
  std::vector<std::string> lines = head_lines(head);
  for (std::string& line : condition_lines(head, result))
    lines.push_back(std::move(line));
  const std::size_t num_points = result.points.size();
  if (!result.summary.complete)
    lines.push_back("stopped after " + std::to_string(num_points) + " of " +
                    std::to_string(result.conditions.size()) + " angles");
  const std::vector<bool> beyond = beyond_limits(head, result);
  if (!result.derivatives.empty() && any(beyond))
    lines.emplace_back(limit_warning);
  lines.emplace_back();
  std::vector<std::string> body;
  if (!result.derivatives.empty()) {
    constexpr std::size_t caution = 1;
    body = derivative_lines(result.derivatives, result.derivatives_without_image,
                            part_names(head.input.craft), table_lines - caution - lines.size());
    body.emplace_back(trim_caution);
  } else if (num_points > 0) {
    // The shares go first, then rows, until it fits: how much the heads take is known only then.
    const auto fits = [&] { return lines.size() + body.size() <= table_lines; };
    std::size_t most = std::min(num_points, table_lines);
    body = point_lines(head, result, most, true, beyond);
    if (!fits())
      body = point_lines(head, result, most, false, beyond);
    while (!fits() && most > 2)
      body = point_lines(head, result, --most, false, beyond);
  }
  lines.insert(lines.end(), body.begin(), body.end());
  for (const std::string& line : lines)
    out << line << '\n';
}

void write_polar_json(std::ostream& out, const StudyHead& head, const PolarResult& result) {
  Fields fields = head_fields(head, result.summary, result.conditions.size());
  if (!result.derivatives.empty())
    fields.push_back({"derivatives", derivative_fields(result.derivatives, result.derivatives_without_image,
                                                       part_names(head.input.craft))});
  fields.push_back({"outline", outline_fields(head.input.craft)});
  const std::vector<std::string> names = part_names(head.input.craft);
  const std::vector<std::optional<double>> shares = shares_of_limits(head, result);
  write_json(out, fields, result.points.size(), [&](std::size_t i) {
    const PolarPoint& p = result.points[i];
    std::vector<Fields> parts;
    for (std::size_t k = 0; k < names.size(); ++k)
      parts.push_back({{"part", names[k]},
                       {"lift_coefficient", p.parts[k].lift},
                       {"induced_drag_coefficient", p.parts[k].induced_drag},
                       {"near_field_drag_coefficient", p.parts[k].near_drag},
                       {"side_force_coefficient", p.parts[k].side_force},
                       {"rolling_moment_coefficient", p.parts[k].rolling_moment},
                       {"pitching_moment_coefficient", p.parts[k].pitching_moment},
                       {"yawing_moment_coefficient", p.parts[k].yawing_moment},
                       {"share_percent", in_percent(p.parts[k].share)}});
    Fields of_point = point_fields(p);
    const std::optional<DragBreakdown> drag = drag_of(head, p);
    for (Field& field : total_fields(drag))
      of_point.push_back(std::move(field));
    of_point.push_back({"percent_of_lift_limit", in_percent(shares[i])});
    of_point.push_back({"drag", drag ? drag_fields(*drag) : std::vector<Fields>{}});
    if (!result.without_image.empty()) {
      of_point.push_back({"without_image", point_fields(result.without_image[i])});
      of_point.push_back({"wave_drag_upper_estimate_n", wave_drag_of(head.input, head.lattice, p)});
    }
    of_point.push_back({"parts", std::move(parts)});
    of_point.push_back({"span_loading", loading_fields(head, p)});
    return of_point;
  });
}

void write_polar_csv(std::ostream& out, const StudyHead& head, const PolarResult& result) {
  const std::vector<std::string> names = part_names(head.input.craft);
  const bool bracketed = !result.without_image.empty();
  const std::vector<std::optional<double>> shares = shares_of_limits(head, result);
  const auto fields_of = [&](const PolarPoint& p, const PolarPoint& bare,
                             const std::optional<double>& share_of_limit) {
    Fields fields = point_fields(p);
    if (bracketed) {
      fields.push_back({"lift_coefficient_without_image", bare.lift_coefficient});
      fields.push_back({"induced_drag_coefficient_without_image", bare.induced_drag_coefficient});
      fields.push_back({"pitching_moment_coefficient_without_image", bare.pitching_moment_coefficient});
      fields.push_back(
          {"wave_drag_upper_estimate_n",
           p.parts.empty() ? std::nullopt : std::optional(wave_drag_of(head.input, head.lattice, p))});
    }
    for (Field& field : total_fields(p.parts.empty() ? std::nullopt : drag_of(head, p)))
      fields.push_back(std::move(field));
    fields.push_back({"percent_of_lift_limit", in_percent(share_of_limit)});
    for (std::size_t k = 0; k < names.size(); ++k)
      fields.push_back(
          {"share_percent " + names[k], k < p.parts.size() ? in_percent(p.parts[k].share) : std::nullopt});
    return fields;
  };
  out << csv_names(fields_of({}, {}, {}));
  for (std::size_t i = 0; i < result.points.size(); ++i)
    out << csv_values(
        fields_of(result.points[i], bracketed ? result.without_image[i] : PolarPoint{}, shares[i]));
}

} // namespace vlm
