#include <vlm/file/comparison_output.hpp>

#include <algorithm>
#include <functional>

#include <vlm/file/comparison_figures.hpp>
#include <vlm/file/text_table.hpp>
#include <vlm/file/trim_output.hpp>
#include <vlm/force/cavitation.hpp>
#include <vlm/force/lift_limit.hpp>

namespace vlm {
namespace {

using namespace compared;

constexpr std::size_t most_crafts = 6, most_crafts_with_glide = 4, most_speeds_compared = 6;

// A craft's name in the table: A, B, C …
std::string letter(std::size_t craft) {
  return {static_cast<char>('A' + craft)};
}

// A line of the table; left out where there is no room if it can be had elsewhere.
struct ComparedLine {
  std::vector<std::string> cells;
  bool can_go = false;
};

class Lines {
public:
  explicit Lines(const ComparisonResult& r)
      : result_(r), shown_(std::min(most_crafts, r.comparison.crafts.size())) {}

  using Text = std::function<std::string(const ComparedCraft&)>;
  using Number = std::function<Figure(const ComparedCraft&)>;

  void text(const std::string& name, const Text& cell, bool can_go = false) {
    ComparedLine row{{name}, can_go};
    for (std::size_t i = 0; i < shown_; ++i)
      row.cells.push_back(cell(result_.comparison.crafts[i]));
    rows.push_back(std::move(row));
  }
  void number(const std::string& name, int decimals, const Number& cell, bool can_go = false) {
    text(
        name, [&](const ComparedCraft& c) { return fixed(cell(c), decimals); }, can_go);
  }

  std::vector<ComparedLine> rows;

private:
  const ComparisonResult& result_;
  std::size_t shown_;
};

// Take-off is the limit itself.
bool mark_is_beyond(const ComparedCraft& c, const NamedSpeedMark& m) {
  return c.marks && m.mark != &SpeedMarks::take_off && ((*c.marks).*m.mark).at &&
         beyond_lift_limit(((*c.marks).*m.mark).at->share_of_limit);
}

bool any_beyond_limit(const ComparedCraft& c) {
  const auto stalls = [](const TrimPoint& p) { return beyond_lift_limit(p.figures.share_of_limit); };
  return beyond_lift_limit(c.share_of_limit) || (c.balanced && stalls(*c.balanced)) ||
         std::any_of(c.points.begin(), c.points.end(), stalls) ||
         std::any_of(std::begin(named_speed_marks), std::end(named_speed_marks),
                     [&](const NamedSpeedMark& m) { return mark_is_beyond(c, m); });
}

// The warning of the craft that is nearest to cavitation, if any has one.
std::optional<std::string> lowest_cavitation(const ComparisonResult& r) {
  std::optional<std::string> lowest;
  double least = low_cavitation_number;
  for (std::size_t i = 0; i < r.comparison.crafts.size(); ++i) {
    const Craft& craft = r.cases[i].craft;
    double fastest =
        std::max(r.choice.speed, *std::max_element(r.choice.speeds.begin(), r.choice.speeds.end()));
    for (const NamedSpeedMark& m : named_speed_marks)
      fastest = std::max(fastest, marked(r.comparison.crafts[i], m.mark, &SpeedFigures::speed).value_or(0));
    if (const double number = cavitation_number(craft, fastest); number < least)
      least = number, lowest = cavitation_warning(craft, fastest);
  }
  return lowest;
}

// A new stabilizer's name in the table, unlike those of crafts: no. 1, no. 2 …
std::string member_number(std::size_t member) {
  return "no. " + std::to_string(member + 1);
}

void add_step(Lines& rows, const std::string& name, int decimals, std::optional<double> RangeStep::*figure,
              bool RangeStep::*uneven, const ComparisonResult& r) {
  if (std::none_of(r.comparison.crafts.begin(), r.comparison.crafts.end(),
                   [](const ComparedCraft& c) { return c.step.has_value(); }))
    return;
  rows.text(name, [=](const ComparedCraft& c) {
    return c.step ? fixed((*c.step).*figure, decimals) + ((*c.step).*uneven ? "~" : "") : std::string();
  });
}

std::vector<ComparedLine> figure_rows(const ComparisonResult& r) {
  using C = const ComparedCraft&;
  using P = const TrimPoint&;
  Lines rows(r);
  rows.number("reference surface: area, cm²", 1, [](C c) { return in_cm2(c.outline.area); });
  rows.number("  span, mm", 0, [](C c) { return in_mm(c.outline.span); });
  rows.number(
      "  aspect ratio", 2, [](C c) { return c.outline.aspect_ratio; }, true);
  rows.number(
      "  mean chord, mm", 1, [](C c) { return in_mm(c.outline.mean_chord); }, true);
  rows.text("lift at equal speed and angle, N",
            [](C c) { return fixed(c.lift, 1) + limit_mark_of(c.share_of_limit); });
  add_step(rows, "  more than the next smaller", 1, &RangeStep::lift, &RangeStep::uneven_lift, r);
  rows.number("area that would lift like A, cm²", 1, [](C c) { return in_cm2(c.equal_area); });
  rows.number(
      "carried mass, kg", 1, [](C c) { return c.carried_mass; }, true);
  rows.text("balanced: angle of attack, deg", [](C c) {
    return fixed(balanced(c, [](P p) { return in_degrees(p.state.alpha); }), 2) +
           (c.balanced ? limit_mark_of(c.balanced->figures.share_of_limit) : std::string());
  });
  rows.number("  load station, mm", 1, [](C c) { return balanced(c, load_station); });
  rows.number("  drag, N", 2, [](C c) { return balanced(c, [](P p) { return p.state.drag; }); });
  rows.number("  lift over drag", 2,
              [](C c) { return c.balanced ? c.balanced->lift_to_drag : std::nullopt; });
  rows.number("  neutral point, mm", 1, [](C c) { return in_mm(c.handling.neutral_point); });
  rows.number("  static margin, %", 1, [](C c) { return in_percent(c.handling.static_margin); });
  rows.number("  pitch stiffness, N m/rad", 0, [](C c) { return c.handling.pitch_stiffness; });
  rows.number("  roll damping, N m s/rad", 1, [](C c) { return c.handling.roll_damping; });
  for (const NamedSpeedMark& m : named_speed_marks) {
    rows.text(std::string(m.in_words) + ", m/s", [&](C c) {
      return fixed(marked(c, m.mark, &SpeedFigures::speed), 2) +
             (mark_is_beyond(c, m) ? std::string(limit_mark) : std::string());
    });
    if (m.mark == &SpeedMarks::take_off)
      add_step(rows, "  more than the next smaller", 2, &RangeStep::take_off, &RangeStep::uneven_take_off, r);
    if (m.mark == &SpeedMarks::best_glide)
      rows.number("  lift over drag", 2, marked_glide, true);
    if (m.mark == &SpeedMarks::least_power)
      rows.number(
          "  power, W", 0, [](C c) { return marked(c, &SpeedMarks::least_power, &SpeedFigures::power); },
          true);
  }
  if (r.choice.track) {
    rows.number("mast in the track, mm", 1,
                [](C c) { return c.place ? Figure(in_mm(c.place->recommended)) : std::nullopt; });
    rows.number(
        "  off by at most, mm", 1, [](C c) { return c.place ? Figure(in_mm(c.place->worst)) : std::nullopt; },
        true);
  }
  if (!r.choice.new_family.empty()) {
    rows.text("stabilizer in place of its own on A", [&](C c) {
      return c.swap && c.swap->fit ? member_number(c.swap->fit->member) : std::string(undefined_figure);
    });
    rows.number("  area times", 3,
                [](C c) { return c.swap && c.swap->fit ? Figure(c.swap->fit->area_scale) : std::nullopt; });
    rows.number("  incidence change, deg", 2, [](C c) {
      return c.swap && c.swap->fit ? Figure(in_degrees(c.swap->fit->incidence_change)) : std::nullopt;
    });
    rows.text("nearest as drawn", [&](C c) {
      return c.swap && c.swap->nearest ? member_number(c.swap->nearest->member)
                                       : std::string(undefined_figure);
    });
    rows.number("  load station off by, mm", 1, [](C c) {
      return c.swap && c.swap->nearest ? Figure(in_mm(c.swap->nearest->by.load_station)) : std::nullopt;
    });
    rows.number("  neutral point off by, mm", 1, [](C c) {
      return c.swap && c.swap->nearest ? Figure(in_mm(c.swap->nearest->by.neutral_point)) : std::nullopt;
    });
  }
  return rows.rows;
}

// So many of the speeds, the first and the last among them: a line each.
TextTable speed_table(const ComparisonResult& r, std::size_t shown_crafts, std::size_t shown_speeds) {
  const bool with_glide = shown_crafts <= most_crafts_with_glide;
  TextTable table;
  table.heads = {"balanced\nat, m/s"};
  for (std::size_t i = 0; i < shown_crafts; ++i) {
    table.heads.push_back(letter(i) + ": load\nat, mm");
    table.heads.emplace_back("drag\nN");
    if (with_glide)
      table.heads.emplace_back("lift/\ndrag");
  }
  for (std::size_t n = 0; n < shown_speeds; ++n) {
    const std::size_t k = shown_speeds == 1 ? 0 : n * (r.choice.speeds.size() - 1) / (shown_speeds - 1);
    std::vector<std::string> row{shown(r.choice.speeds[k])};
    for (std::size_t i = 0; i < shown_crafts; ++i) {
      const std::vector<TrimPoint>& points = r.comparison.crafts[i].points;
      row.push_back(fixed(at_speed(points[k], load_station), 0) +
                    limit_mark_of(points[k].figures.share_of_limit));
      row.push_back(fixed(at_speed(points[k], [](const TrimPoint& p) { return p.state.drag; }), 1));
      if (with_glide)
        row.push_back(fixed(points[k].solved() ? points[k].lift_to_drag : std::nullopt, 1));
    }
    table.rows.push_back(std::move(row));
  }
  return table;
}

std::vector<std::string> title_lines(const ComparisonResult& r, std::size_t shown_crafts) {
  std::vector<std::string> lines{"at " + shown(r.choice.speed) + " m/s; equal angle of attack " +
                                 fixed(in_degrees(r.comparison.angle), 2) + " deg" +
                                 (r.choice.angle ? "" : ", that of A balanced")};
  for (std::size_t i = 0; i < shown_crafts; ++i)
    lines.push_back(cut(letter(i) + "  " + r.cases[i].craft.title, table_width));
  if (!r.new_family.empty()) {
    std::string members = "new stabilizers, by number:";
    for (std::size_t m = 0; m < r.new_family.size(); ++m)
      members += (m == 0 ? " " : "; ") + member_number(m) + " of " + member_title(r, m);
    for (const std::string& line : wrapped(members, table_width, 2))
      lines.push_back(line);
  }
  return lines;
}

// Notes on the cases and why figures are missing, a line a reason.
std::vector<std::string> reason_lines(const ComparisonResult& r, std::size_t shown_crafts) {
  std::vector<std::pair<std::string, std::string>> reasons; // crafts, and what they share
  const auto add = [&](std::size_t i, const std::string& what, const std::string& why) {
    if (why.empty())
      return;
    const std::string text = what + ": " + why;
    const auto same =
        std::find_if(reasons.begin(), reasons.end(), [&](const auto& have) { return have.second == text; });
    if (same == reasons.end())
      reasons.emplace_back(letter(i), text);
    else
      same->first += ", " + letter(i);
  };
  for (std::size_t i = 0; i < shown_crafts; ++i) {
    const ComparedCraft& c = r.comparison.crafts[i];
    for (const std::string& note : r.cases[i].notes)
      add(i, "note", note);
    add(i, "balance", c.refusal);
    add(i, "equal lift", c.equal_area_refusal);
    if (c.swap)
      add(i, "stabilizer", c.swap->refusal);
    if (c.marks)
      for (const NamedSpeedMark& m : named_speed_marks)
        add(i, m.in_words, ((*c.marks).*m.mark).refusal);
  }
  std::vector<std::string> lines;
  for (const auto& [which, text] : reasons)
    lines.push_back(cut("– " + which + ", " + text, table_width));
  return lines;
}

} // namespace

void write_comparison_table(std::ostream& out, const ComparisonResult& r) {
  const std::size_t shown_crafts = std::min(most_crafts, r.comparison.crafts.size());
  const auto print = [&](const std::vector<std::string>& lines) {
    for (const std::string& line : lines)
      out << line << '\n';
  };
  const std::vector<std::string> titles = title_lines(r, shown_crafts);
  std::vector<std::string> reasons = reason_lines(r, shown_crafts), ends;
  const auto end_with = [&](const std::string& text) {
    for (const std::string& line : wrapped(text, table_width, 2))
      ends.push_back(line);
  };
  std::vector<ComparedLine> rows = figure_rows(r);
  if (std::any_of(r.comparison.crafts.begin(), r.comparison.crafts.end(), [](const ComparedCraft& c) {
        return c.step && (c.step->uneven_lift || c.step->uneven_take_off);
      }))
    end_with("~ a step beyond 1.5 times the mean step of the range, or below the mean over 1.5");
  std::string near_surface;
  for (std::size_t i = 0; i < shown_crafts; ++i)
    if (r.comparison.crafts[i].image_fails)
      near_surface += (near_surface.empty() ? "" : ", ") + letter(i);
  if (!near_surface.empty())
    end_with(warning(near_surface));
  if (const auto warning = lowest_cavitation(r))
    end_with(*warning);
  if (std::any_of(r.comparison.crafts.begin(), r.comparison.crafts.end(), any_beyond_limit))
    end_with(std::string(limit_warning));
  end_with(std::string(trim_caution));

  std::size_t num_speeds = std::min(most_speeds_compared, r.choice.speeds.size());
  if (num_speeds == 1 && r.choice.speeds.front() == r.choice.speed)
    num_speeds = 0; // stands there already
  // A line heads the crafts, two the speeds, and one tells what is left out.
  const auto too_long = [&] {
    return titles.size() + 1 + rows.size() + (num_speeds > 0 ? num_speeds + 2 : 0) + reasons.size() + 1 +
               ends.size() >
           table_lines;
  };
  bool left_out = shown_crafts < r.comparison.crafts.size() || num_speeds > 0;
  while (too_long()) {
    const auto last =
        std::find_if(rows.rbegin(), rows.rend(), [](const ComparedLine& row) { return row.can_go; });
    if (last != rows.rend())
      rows.erase(std::next(last).base());
    else if (num_speeds > 2)
      --num_speeds;
    else if (num_speeds > 0)
      num_speeds = 0;
    else if (!reasons.empty())
      reasons.pop_back();
    else
      break;
    left_out = true;
  }

  TextTable table;
  table.first_is_text = true;
  table.heads = {""};
  for (std::size_t i = 0; i < shown_crafts; ++i)
    table.heads.push_back(letter(i));
  for (ComparedLine& row : rows)
    table.rows.push_back(std::move(row.cells));
  print(titles);
  print(table.lines());
  if (num_speeds > 0)
    print(speed_table(r, shown_crafts, num_speeds).lines());
  print(reasons);
  if (left_out)
    out << shown_crafts << " of " << r.comparison.crafts.size()
        << " crafts; all figures at all speeds: --csv or --json\n";
  print(ends);
}

} // namespace vlm
