#include <vlm/file/twist_output.hpp>

#include <algorithm>
#include <cmath>
#include <limits>

#include <vlm/file/text_table.hpp>
#include <vlm/file/trim_output.hpp>
#include <vlm/force/lift_limit.hpp>

namespace vlm {
namespace {

constexpr std::size_t map_cells = 9; // each way, at most
constexpr double no_lift = 1e-10;    // coefficient below which there is nothing to have a share in

bool any(const TwistLimits& limits) {
  return limits.centre_from || limits.centre_to || limits.least_margin;
}

// Length over the mean chord by which a point breaks the limits.
double breach(const TwistLimits& limits, const TwistPoint& p, double chord) {
  const double infinite = std::numeric_limits<double>::infinity();
  double most = 0;
  if (limits.centre_from)
    most = std::max(most, p.centre_of_lift ? (*limits.centre_from - *p.centre_of_lift) / chord : infinite);
  if (limits.centre_to)
    most = std::max(most, p.centre_of_lift ? (*p.centre_of_lift - *limits.centre_to) / chord : infinite);
  if (limits.least_margin)
    most = std::max(most, p.static_margin ? *limits.least_margin - *p.static_margin : infinite);
  return most;
}

// What points are put out with.
struct Context {
  const StudyHead& head;
  const TwistResult& result;
  std::optional<double> unit = force_unit(head.input); // worked out once: it takes longer than a point
};

// What is derived from a point for output.
struct Derived {
  std::optional<double> share, surface_lift, induced_drag; // [-], [N], [N]
  std::optional<double> peak_y, peak_semispan;             // [m], [-]
  std::string peak_surface;

  Derived(const Context& to, const TwistPoint& p) {
    if (!p.alpha)
      return;
    if (std::abs(to.result.study.lift_coefficient) > no_lift)
      share = *p.surface_lift_coefficient / to.result.study.lift_coefficient;
    if (to.unit) {
      surface_lift = *to.unit * *p.surface_lift_coefficient;
      induced_drag = *to.unit * *p.induced_drag_coefficient;
    }
    if (p.peak_local_lift) {
      const Strip& peak = to.head.lattice.strips[p.peak_strip];
      peak_y = peak.leading_edge.y;
      peak_semispan = std::abs(peak.span_fraction);
      peak_surface = to.head.input.craft.surfaces[peak.surface].name;
    }
  }
};

Fields point_fields(const Context& to, const TwistPoint& p) {
  const Derived derived(to, p);
  return {{"incidence_deg", in_degrees(p.incidence)},
          {"twist_deg", in_degrees(p.twist)},
          {"angle_deg", in_degrees(p.alpha)},
          {"lift_slope_per_rad", p.lift_slope},
          {"zero_lift_moment_coefficient", p.zero_lift_moment},
          {"pitching_moment_coefficient", p.pitching_moment_coefficient},
          {"static_margin_percent", in_percent(p.static_margin)},
          {"centre_of_lift_mm", in_mm(p.centre_of_lift)},
          {"neutral_point_mm", in_mm(p.neutral_point)},
          {"surface_lift_coefficient", p.surface_lift_coefficient},
          {"surface_share_percent", in_percent(derived.share)},
          {"surface_lift_n", derived.surface_lift},
          {"induced_drag_coefficient", p.induced_drag_coefficient},
          {"induced_drag_n", derived.induced_drag},
          {"near_field_difference_percent",
           near_field_difference_percent(p.near_drag_excess, p.induced_drag_coefficient)},
          {"peak_local_lift_coefficient", p.peak_local_lift},
          p.peak_local_lift ? Field{"peak_surface", derived.peak_surface}
                            : Field{"peak_surface", std::optional<double>()},
          {"peak_y_mm", in_mm(derived.peak_y)},
          {"peak_semispan_percent", in_percent(derived.peak_semispan)},
          {"percent_of_lift_limit", in_percent(to.result.points.share_of_limit(p))},
          {"keeps_limits", keeps(to.result.limits, p)}};
}

// The figures of a point and, where the image of the still surface does not hold, some without it.
Fields all_fields(const Context& to, const TwistPoint& point, const TwistPoint& bare) {
  Fields fields = point_fields(to, point);
  if (to.result.without_image.empty())
    return fields;
  fields.push_back({"angle_without_image_deg", in_degrees(bare.alpha)});
  fields.push_back({"centre_of_lift_without_image_mm", in_mm(bare.centre_of_lift)});
  fields.push_back({"induced_drag_coefficient_without_image", bare.induced_drag_coefficient});
  return fields;
}

Fields all_fields(const Context& to, std::size_t index) {
  const TwistPoints &points = to.result.points, &bare = to.result.without_image;
  return all_fields(to, points[index], bare.empty() ? TwistPoint{} : bare[index]);
}

// All points one after the other, worked out by chunks.
class Reader {
public:
  explicit Reader(const TwistPoints& points) : points_(points) {}

  const TwistPoint& next() {
    if (next_ == chunk_.size()) {
      first_ += chunk_.size();
      chunk_.resize(std::min<std::size_t>(chunk_size, points_.size() - first_));
      points_.get(first_, chunk_);
      next_ = 0;
    }
    return chunk_[next_++];
  }

private:
  static constexpr std::size_t chunk_size = 1024;

  const TwistPoints& points_;
  std::vector<TwistPoint> chunk_;
  std::size_t first_ = 0, next_ = 0;
};

// So many of the indices below `count`, evenly from the first to the last; those that must be in take the
// place of the nearest, of the ends only if need be.
std::vector<std::size_t> sampled(std::size_t count, std::size_t most, const std::vector<std::size_t>& must) {
  std::vector<std::size_t> chosen, placed;
  most = std::min(most, count);
  for (std::size_t i = 0; i < most; ++i)
    chosen.push_back(most == 1 ? 0 : (i * (count - 1) + (most - 1) / 2) / (most - 1));
  for (const std::size_t wanted : must) {
    const auto is_placed = [&](std::size_t i) {
      return std::find(placed.begin(), placed.end(), i) != placed.end();
    };
    if (is_placed(wanted) || placed.size() == most)
      continue;
    const auto distance = [&](std::size_t i) {
      if (i == wanted)
        return std::size_t{0};
      const std::size_t apart = std::max(i, wanted) - std::min(i, wanted);
      return apart + (is_placed(i) ? 2 * count : i == 0 || i + 1 == count ? count : 0);
    };
    *std::min_element(chosen.begin(), chosen.end(),
                      [&](std::size_t a, std::size_t b) { return distance(a) < distance(b); }) = wanted;
    placed.push_back(wanted);
  }
  std::sort(chosen.begin(), chosen.end());
  return chosen;
}

std::vector<double> all_in_degrees(const std::vector<double>& radians) {
  std::vector<double> degrees;
  for (const double angle : radians)
    degrees.push_back(in_degrees(angle));
  return degrees;
}

std::optional<std::size_t> second_mark(const TwistMarks& marks) {
  return marks.within_limits ? marks.within_limits : marks.nearest;
}

std::vector<std::string> map_lines(const TwistResult& result, const TwistMarks& marks, std::size_t num_rows) {
  const std::size_t columns = result.study.twists.size(),
                    rows = (result.points.size() + columns - 1) / columns;
  const std::vector<double> incidences = all_in_degrees(result.study.incidences),
                            twists = all_in_degrees(result.study.twists);
  std::vector<std::size_t> must_rows, must_columns;
  for (const auto& mark : {marks.least_drag, second_mark(marks)})
    if (mark) {
      must_rows.push_back(*mark / columns);
      must_columns.push_back(*mark % columns);
    }
  const auto chosen_rows = sampled(rows, num_rows, must_rows);
  std::vector<std::string> lines;
  for (std::size_t num_columns = map_cells; num_columns > 0; --num_columns) {
    const auto chosen_columns = sampled(columns, num_columns, must_columns);
    std::string legend = "drag CDi × 1000 at " + std::to_string(chosen_rows.size()) + "×" +
                         std::to_string(chosen_columns.size()) + " of " + std::to_string(incidences.size()) +
                         "×" + std::to_string(columns) + " settings: a least";
    if (second_mark(marks))
      legend += std::string(marks.within_limits ? ", b least within" : ", b nearest to") +
                " limits, * both, · outside";
    lines = wrapped(legend, table_width, 0);

    const auto beyond = [&](std::size_t i) {
      return i < result.points.size() && beyond_lift_limit(result.points.share_of_limit(result.points[i]));
    };
    bool any_beyond = false;
    for (const std::size_t r : chosen_rows)
      for (const std::size_t c : chosen_columns)
        any_beyond = any_beyond || beyond(r * columns + c);
    TextTable table;
    table.heads = {"incidence deg,\ntwist deg"};
    for (const std::size_t c : chosen_columns)
      table.heads.push_back(fixed(twists[c], decimals_needed(twists, 2)) + (any_beyond ? "  " : " "));
    for (const std::size_t r : chosen_rows) {
      std::vector<std::string> cells{fixed(incidences[r], decimals_needed(incidences, 2))};
      for (const std::size_t c : chosen_columns) {
        const std::size_t i = r * columns + c;
        if (i >= result.points.size()) {
          cells.emplace_back();
          continue;
        }
        const bool a = marks.least_drag == i, b = second_mark(marks) == i;
        const TwistPoint point = result.points[i];
        const char* mark = a && b ? "*" : a ? "a" : b ? "b" : keeps(result.limits, point) ? " " : "·";
        const auto& drag = point.induced_drag_coefficient;
        cells.push_back(fixed(drag ? std::optional(1000 * *drag) : std::nullopt, 3) + mark +
                        (any_beyond ? beyond(i) ? std::string(limit_mark) : " " : ""));
      }
      table.rows.push_back(std::move(cells));
    }
    if (table.width() <= table_width || num_columns == 1) {
      const auto body = table.lines();
      lines.insert(lines.end(), body.begin(), body.end());
      if (any_beyond) // marked settings are in the map
        lines.emplace_back(limit_warning);
      break;
    }
  }
  return lines;
}

std::vector<std::string> figures(const Context& to, std::size_t index) {
  const TwistPoint p = to.result.points[index];
  const std::optional<double> share_of_limit = to.result.points.share_of_limit(p);
  const Derived derived(to, p);
  const std::string share = fixed(in_percent(derived.share), 2), pair = ", ";
  const int decimals = std::max(decimals_needed(all_in_degrees(to.result.study.incidences), 2),
                                decimals_needed(all_in_degrees(to.result.study.twists), 2));
  return {fixed(in_degrees(p.incidence), decimals) + pair + fixed(in_degrees(p.twist), decimals),
          fixed(in_degrees(p.alpha), 3),
          fixed(p.lift_slope, 4),
          fixed(p.zero_lift_moment, 5) + pair + fixed(p.pitching_moment_coefficient, 5),
          fixed(in_percent(p.static_margin), 2),
          fixed(in_mm(p.centre_of_lift), 2) + pair + fixed(in_mm(p.neutral_point), 2),
          share + pair + fixed(derived.surface_lift, 2),
          fixed(p.induced_drag_coefficient, 6) + pair + fixed(derived.induced_drag, 3),
          fixed(near_field_difference_percent(p.near_drag_excess, p.induced_drag_coefficient), 2),
          fixed(p.peak_local_lift, 4) + " on " + cut(derived.peak_surface, 16),
          fixed(in_mm(derived.peak_y), 1) + pair + fixed(in_percent(derived.peak_semispan), 1),
          fixed(in_percent(share_of_limit), 1) + limit_mark_of(share_of_limit)};
}

std::vector<std::string> marked_lines(const StudyHead& head, const TwistResult& result,
                                      const TwistMarks& marks) {
  if (!marks.least_drag)
    return {};
  const std::string& surface = head.input.craft.surfaces[result.study.surface].name;
  const std::vector<std::string> names{"incidence, twist [deg]",
                                       "angle of attack [deg]",
                                       "lift slope [1/rad]",
                                       "moment Cm at zero lift, at this lift",
                                       "margin to centre of lift [% chord]",
                                       "centre of lift, neutral point [mm]",
                                       "load on " + cut(surface, 14) + " [% of lift, N]",
                                       "induced drag [CDi, N]",
                                       "near field off by [%]",
                                       "peak local lift coefficient",
                                       "  at y [mm], [% of semispan]"};
  const bool with_limit = result.points.share_of_limit(result.points[*marks.least_drag]).has_value();
  TextTable table;
  table.first_is_text = true;
  const auto second = second_mark(marks);
  const bool both = second == marks.least_drag;
  const std::string second_name = marks.within_limits ? "least within the limits" : "nearest to the limits";
  table.heads = {"", both ? "*: least drag, " + second_name : "a: least drag"};
  for (const std::string& name : names)
    table.rows.push_back({name});
  if (with_limit)
    table.rows.push_back({"nearest to a lift limit [%]"});
  if (!result.without_image.empty())
    table.rows.push_back({"without the image: centre [mm], CDi"});
  const auto add = [&](std::size_t point) {
    auto column = figures({head, result}, point);
    if (!with_limit)
      column.pop_back();
    if (!result.without_image.empty()) {
      const TwistPoint bare = result.without_image[point];
      column.push_back(fixed(in_mm(bare.centre_of_lift), 2) + ", " + fixed(bare.induced_drag_coefficient, 6));
    }
    for (std::size_t i = 0; i < column.size(); ++i)
      table.rows[i].push_back(column[i]);
  };
  add(*marks.least_drag);
  if (second && !both) {
    table.heads.push_back("b: " + second_name);
    add(*second);
  }
  std::vector<std::string> lines = table.lines();
  if (marks.on_border)
    lines.emplace_back("The least drag lies on the border of the grid: a wider range may find less.");
  if (marks.nearest)
    lines.emplace_back("No setting keeps the limits; the nearest to them is shown.");
  lines.emplace_back(trim_caution);
  return lines;
}

std::vector<std::string> study_lines(const StudyHead& head, const TwistResult& result) {
  const auto& operation = head.input.operation;
  std::string study = "study         " + cut(head.input.craft.surfaces[result.study.surface].name, 24) +
                      ", twist shape " + cut(result.study.shape.name, 24) + ", lift coefficient " +
                      fixed(result.study.lift_coefficient, 5);
  if (operation.mass)
    study += " (" + fixed(*operation.mass, 2) + " kg)";
  if (operation.speed)
    study += " at " + fixed(*operation.speed, 2) + " m/s";
  std::vector<std::string> lines = wrapped(study, table_width, 14);

  const TwistLimits& limits = result.limits;
  std::string text = "limits       ";
  if (limits.centre_from || limits.centre_to)
    text += " centre of lift " + fixed(in_mm(limits.centre_from), 1) + " to " +
            fixed(in_mm(limits.centre_to), 1) + " mm aft of the mast axis;";
  if (limits.least_margin)
    text += " static margin at least " + fixed(100 * *limits.least_margin, 1) + " %;";
  if (any(limits))
    for (const std::string& line : wrapped(text.substr(0, text.size() - 1), table_width, 14))
      lines.push_back(line);
  std::size_t none = 0;
  result.points.visit([&](std::size_t, std::span<const TwistPoint> points) {
    for (const TwistPoint& p : points)
      none += p.alpha ? 0 : 1;
  });
  if (none > 0)
    lines.push_back(std::to_string(none) + " of " + std::to_string(result.points.size()) +
                    " settings cannot carry the lift at any angle within ±28 degrees");
  if (!result.summary.complete)
    lines.push_back("stopped after " + std::to_string(result.points.size()) + " of " +
                    std::to_string(result.study.incidences.size() * result.study.twists.size()) +
                    " settings");
  return lines;
}

} // namespace

TwistMarks twist_marks(const TwistResult& result, const Reference& reference) {
  LeastDrag least;
  std::size_t nearest = 0;
  double least_breach = std::numeric_limits<double>::infinity();
  result.points.visit([&](std::size_t first, std::span<const TwistPoint> points) {
    least.take(points, result.limits);
    for (std::size_t i = 0; i < points.size(); ++i)
      if (const double by = breach(result.limits, points[i], reference.chord); by < least_breach)
        least_breach = by, nearest = first + i;
  });
  TwistMarks marks;
  if (!least.free)
    return marks;
  marks.least_drag = least.free_index;
  const std::size_t rows = result.study.incidences.size(), columns = result.study.twists.size();
  const auto at_end = [](std::size_t i, std::size_t count) {
    return count > 1 && (i == 0 || i + 1 == count);
  };
  marks.on_border = result.summary.complete && (at_end(*marks.least_drag / columns, rows) ||
                                                at_end(*marks.least_drag % columns, columns));
  if (!any(result.limits))
    return marks;
  if (least.within_limits)
    marks.within_limits = least.within_limits_index;
  else
    marks.nearest = nearest;
  return marks;
}

void write_twist_table(std::ostream& out, const StudyHead& head, const TwistResult& result) {
  const TwistMarks marks = twist_marks(result, reference(head.input.craft));
  std::vector<std::string> lines = head_lines(head);
  const auto append = [&](const std::vector<std::string>& more) {
    lines.insert(lines.end(), more.begin(), more.end());
  };
  append(study_lines(head, result));
  if (marks.least_drag) {
    const auto marked = marked_lines(head, result, marks);
    for (std::size_t rows = map_cells; rows >= 2; --rows) {
      const auto map = map_lines(result, marks, rows);
      const std::size_t blanks = 2, total = lines.size() + blanks + map.size() + marked.size();
      if (total > table_lines && rows > 2)
        continue;
      const bool with_blanks = total <= table_lines;
      if (with_blanks)
        lines.emplace_back();
      append(map);
      if (with_blanks)
        lines.emplace_back();
      append(marked);
      break;
    }
  }
  for (const std::string& line : lines)
    out << line << '\n';
}

void write_twist_json(std::ostream& out, const StudyHead& head, const TwistResult& result) {
  const TwistStudy& study = result.study;
  const TwistLimits& limits = result.limits;
  const TwistMarks marks = twist_marks(result, reference(head.input.craft));
  Fields fields = head_fields(head, result.summary, study.incidences.size() * study.twists.size());
  fields.push_back({"study", Fields{{"surface", head.input.craft.surfaces[study.surface].name},
                                    {"twist_shape", study.shape.name},
                                    {"lift_coefficient", study.lift_coefficient}}});
  fields.push_back({"limits", Fields{{"centre_of_lift_from_mm", in_mm(limits.centre_from)},
                                     {"centre_of_lift_to_mm", in_mm(limits.centre_to)},
                                     {"least_static_margin_percent", in_percent(limits.least_margin)}}});
  const Context to{head, result};
  const auto add = [&](const char* name, const std::optional<std::size_t>& index) {
    fields.push_back({name, std::optional<double>()});
    if (index)
      fields.back().value = all_fields(to, *index);
  };
  add("least_drag", marks.least_drag);
  fields.push_back({"least_drag_on_border", marks.on_border});
  add("least_drag_within_limits", marks.within_limits);
  add("nearest_to_limits", marks.nearest);
  Reader points(result.points), bare(result.without_image);
  write_json(out, fields, result.points.size(), [&](std::size_t) {
    return all_fields(to, points.next(), result.without_image.empty() ? TwistPoint{} : bare.next());
  });
}

void write_twist_csv(std::ostream& out, const StudyHead& head, const TwistResult& result) {
  const Context to{head, result};
  Reader points(result.points), bare(result.without_image);
  out << csv_names(all_fields(to, {}, {}));
  for (std::size_t i = 0; i < result.points.size(); ++i)
    out << csv_values(
        all_fields(to, points.next(), result.without_image.empty() ? TwistPoint{} : bare.next()));
}

} // namespace vlm
