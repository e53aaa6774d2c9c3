#include <vlm/file/record_comparison.hpp>

#include <vlm/file/trim_output.hpp>

namespace vlm {
namespace {

using Figure = std::optional<double>;

class ComparisonGroup {
public:
  ComparisonGroup(const Hdf5File& file, const ComparisonResult& result)
      : file_(file), result_(result), group_(file.add_group("/comparison")),
        craft_(file.add_scale("/comparison/craft", Hdf5Kind::text, crafts().size(),
                              {"1", "title of the craft"})),
        speed_(file.add_scale("/comparison/speed", Hdf5Kind::real, result.choice.speeds.size(),
                              {"m/s", "speed that the crafts are balanced at"})) {
    set_attribute(group_.get(), "caution", trim_caution);
    set_attribute(group_.get(), "common_speed", result.choice.speed);
    set_attribute(group_.get(), "equal_alpha", result.comparison.angle);
    std::vector<std::string> titles;
    for (std::size_t i = 0; i < crafts().size(); ++i)
      titles.push_back(result.cases[i].craft.title);
    craft_.write(0, titles);
    speed_.write(0, result.choice.speeds);
  }

  template <class Get>
  void add_text(const std::string& name, const std::string& meaning, const Get& get) const {
    std::vector<std::string> text;
    for (std::size_t i = 0; i < crafts().size(); ++i)
      text.push_back(get(i));
    file_.add("/comparison/" + name, Hdf5Kind::text, std::vector{craft_}, {"1", meaning}).write(0, text);
  }

  // A figure a craft.
  template <class Get>
  void add(const std::string& name, const Hdf5Meaning& meaning, const Get& get) const {
    std::vector<Figure> figures;
    for (const ComparedCraft& c : crafts())
      figures.push_back(get(c));
    file_.add_figures("/comparison/" + name, std::vector{craft_}, meaning, figures);
  }

  // A figure a craft and speed.
  template <class Get>
  void add_at_speeds(const std::string& name, const Hdf5Meaning& meaning, const Get& get) const {
    std::vector<Figure> figures;
    for (const ComparedCraft& c : crafts())
      for (std::size_t k = 0; k < result_.choice.speeds.size(); ++k)
        figures.push_back(k < c.points.size() ? get(c, k) : std::nullopt);
    file_.add_figures("/comparison/" + name, std::vector{craft_, speed_}, meaning, figures);
  }

private:
  const std::vector<ComparedCraft>& crafts() const { return result_.comparison.crafts; }

  const Hdf5File& file_;
  const ComparisonResult& result_;
  Hdf5Id group_;
  Hdf5Dataset craft_, speed_;
};

Figure marked_speed(const ComparedCraft& c, SpeedMark SpeedMarks::*mark) {
  return c.marks && ((*c.marks).*mark).at ? Figure(((*c.marks).*mark).at->speed) : std::nullopt;
}

} // namespace

void write_comparison(const Hdf5File& file, const ComparisonResult& result) {
  const ComparisonGroup group(file, result);
  group.add_text("case_text", "the craft's case file", [&](std::size_t i) { return result.cases[i].text; });
  group.add_text("refusal", "why the craft is not balanced at the common speed; empty where it is",
                 [&](std::size_t i) { return result.comparison.crafts[i].refusal; });
  group.add("area", {"m2", "area of the reference surface"},
            [](const ComparedCraft& c) { return Figure(c.outline.area); });
  group.add("span", {"m", "span of the reference surface"},
            [](const ComparedCraft& c) { return Figure(c.outline.span); });
  group.add("carried_mass", {"kg", "mass carried by the lift"},
            [](const ComparedCraft& c) { return Figure(c.carried_mass); });
  group.add("lift_at_equal_angle", {"N", "lift at the common speed and the equal angle of attack"},
            [](const ComparedCraft& c) { return Figure(c.lift); });
  group.add("equal_lift_area", {"m2", "area at which the craft lifts like the first"},
            [](const ComparedCraft& c) { return c.equal_area; });
  const auto balanced = [&](const char* name, const Hdf5Meaning& meaning, double TrimState::*figure) {
    group.add(name, meaning, [=](const ComparedCraft& c) {
      return c.balanced ? Figure(c.balanced->state.*figure) : std::nullopt;
    });
  };
  balanced("alpha", {"rad", "angle of attack of the balance at the common speed"}, &TrimState::alpha);
  balanced("load_station", {"m", "load station at the common speed, aft of the mast axis"},
           &TrimState::load_station);
  balanced("drag", {"N", "drag at the common speed"}, &TrimState::drag);
  for (const HandlingFigure& f : handling_figures())
    group.add(f.key, {f.unit, f.name}, [&](const ComparedCraft& c) { return c.handling.*f.figure; });
  group.add("take_off_speed", {"m/s", "speed at which some strip is at its section's limit"},
            [](const ComparedCraft& c) { return marked_speed(c, &SpeedMarks::take_off); });
  group.add("best_glide_speed", {"m/s", "speed of the greatest lift over drag"},
            [](const ComparedCraft& c) { return marked_speed(c, &SpeedMarks::best_glide); });
  group.add("least_power_speed", {"m/s", "speed of the least power"},
            [](const ComparedCraft& c) { return marked_speed(c, &SpeedMarks::least_power); });
  group.add("top_speed", {"m/s", "speed at which the drive is used up"},
            [](const ComparedCraft& c) { return marked_speed(c, &SpeedMarks::top); });
  group.add("track", {"m", "recommended place of the mast axis in the board's track, aft of the mark"},
            [](const ComparedCraft& c) { return c.place ? Figure(c.place->recommended) : std::nullopt; });
  group.add("swap_area_scale", {"1", "area of the new stabilizer that stands in, over its own"},
            [](const ComparedCraft& c) {
              return c.swap && c.swap->fit ? Figure(c.swap->fit->area_scale) : std::nullopt;
            });
  group.add("swap_incidence_change", {"rad", "turn of the new stabilizer that stands in"},
            [](const ComparedCraft& c) {
              return c.swap && c.swap->fit ? Figure(c.swap->fit->incidence_change) : std::nullopt;
            });
  const auto at_speeds = [&](const char* name, const Hdf5Meaning& meaning, double TrimState::*figure) {
    group.add_at_speeds(name, meaning, [=](const ComparedCraft& c, std::size_t k) {
      return c.points[k].solved() ? Figure(c.points[k].state.*figure) : std::nullopt;
    });
  };
  at_speeds("alpha_at_speed", {"rad", "angle of attack at each speed"}, &TrimState::alpha);
  at_speeds("load_station_at_speed", {"m", "load station at each speed"}, &TrimState::load_station);
  at_speeds("lift_at_speed", {"N", "lift at each speed"}, &TrimState::lift);
  at_speeds("drag_at_speed", {"N", "drag at each speed"}, &TrimState::drag);
}

} // namespace vlm
