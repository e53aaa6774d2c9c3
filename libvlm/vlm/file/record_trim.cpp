#include <vlm/file/record_trim.hpp>

#include <optional>
#include <string>
#include <vector>

namespace vlm {
namespace {

class TrimGroup {
public:
  TrimGroup(const Hdf5File& file, const std::vector<TrimPoint>& points)
      : file_(file), points_(points), group_(file.add_group("/trim")),
        speed_(file.add_scale("/trim/speed", Hdf5Kind::real, points.size(), {"m/s", "speed of the point"})) {
    set_attribute(group_.get(), "caution", trim_caution);
    std::vector<double> speeds;
    for (const TrimPoint& p : points)
      speeds.push_back(p.speed);
    speed_.write(0, speeds);
  }

  hid_t id() const { return group_.get(); }

  void add_text(const std::string& name, const Hdf5Meaning& meaning,
                const std::vector<std::string>& text) const {
    file_.add("/trim/" + name, Hdf5Kind::text, std::vector{speed_}, meaning).write(0, text);
  }

  // A figure a speed.
  template <class Get>
  void add(const std::string& name, const Hdf5Meaning& meaning, const Get& get) const {
    std::vector<std::optional<double>> figures;
    for (const TrimPoint& p : points_)
      figures.push_back(p.solved() ? std::optional<double>(get(p)) : std::nullopt);
    file_.add_figures("/trim/" + name, std::vector{speed_}, meaning, figures);
  }

  // A figure of each of several things at each speed, 0 where there is no balance.
  template <class Get>
  void add_each(const std::string& name, const Hdf5Dataset& scale, std::size_t count,
                const Hdf5Meaning& meaning, const Get& get) const {
    std::vector<double> values;
    for (const TrimPoint& p : points_)
      for (std::size_t i = 0; i < count; ++i)
        values.push_back(p.solved() ? get(p, i) : 0);
    file_.add("/trim/" + name, Hdf5Kind::real, std::vector{speed_, scale}, meaning).write(0, values);
  }

private:
  const Hdf5File& file_;
  const std::vector<TrimPoint>& points_;
  Hdf5Id group_;
  Hdf5Dataset speed_;
};

std::optional<double> of_bare(const TrimPoint& p, double TrimState::*figure) {
  return p.without_image ? std::optional((*p.without_image).*figure) : std::nullopt;
}

// "take_off" as "take_off_speed", "top_speed" as it is.
std::string speed_name(const NamedSpeedMark& m) {
  const std::string name = m.name;
  return name.ends_with("_speed") ? name : name + "_speed";
}

void add_marks(hid_t group, const SpeedMarks& marks) {
  for (const NamedSpeedMark& m : named_speed_marks) {
    const SpeedMark& mark = marks.*m.mark;
    if (mark.at)
      set_attribute(group, speed_name(m).c_str(), mark.at->speed);
    else
      set_attribute(group, (std::string(m.name) + "_refusal").c_str(), mark.refusal);
  }
}

} // namespace

void write_trim(const Hdf5File& file, const Hdf5Dataset& part, const Hdf5Dataset& strip,
                const TrimResult& result) {
  const TrimGroup group(file, result.points);
  if (result.marks)
    add_marks(group.id(), *result.marks);
  if (const auto& fitted = result.fitted) {
    set_attribute(group.id(), "fitted_surface", static_cast<int>(fitted->surface));
    set_attribute(group.id(), "fitted_incidence", fitted->fit.incidence);
    set_attribute(group.id(), "fitted_load_station", fitted->wanted);
    set_attribute(group.id(), "fitted_root_mean_square", fitted->fit.root_mean_square);
  }
  std::vector<std::string> refusals;
  std::size_t parts = 0, strips = 0;
  for (const TrimPoint& p : result.points) {
    refusals.push_back(p.refusal);
    parts = std::max(parts, p.parts.size());
    strips = std::max(strips, p.strip_circulation.size());
  }
  group.add_text("refusal", {"1", "why there is no balance; empty where there is"}, refusals);
  const auto state = [&](const char* name, const Hdf5Meaning& meaning, double TrimState::*figure) {
    group.add(name, meaning, [=](const TrimPoint& p) { return p.state.*figure; });
  };
  state("alpha", {"rad", "trimmed angle of attack"}, &TrimState::alpha);
  state("load_station", {"m", "station of the load along the deck, aft of the mast axis"},
        &TrimState::load_station);
  state("lift", {"N", "lift of the foil"}, &TrimState::lift);
  state("drag", {"N", "drag of the foil, all of it"}, &TrimState::drag);
  state("drive_force", {"N", "force of a pull or a motor"}, &TrimState::drive_force);
  state("wave_slope", {"rad", "slope of the face of a wave that drives the craft"}, &TrimState::wave_slope);
  state("deceleration", {"m/s2", "by which a coasting craft slows down"}, &TrimState::deceleration);
  state("lean", {"m", "rider's centre of mass behind the water's normal over the load station"},
        &TrimState::lean);
  group.add("front_foot_share", {"1", "share of the load on the front foot"},
            [](const TrimPoint& p) { return p.front_foot_share; });
  group.add("power", {"W", "drag times speed"}, [](const TrimPoint& p) { return p.figures.power; });
  group.add("lift_to_drag", {"1", "lift over drag"}, [](const TrimPoint& p) { return p.lift_to_drag; });
  group.add("greatest_local_lift", {"1", "greatest local lift coefficient of all strips"},
            [](const TrimPoint& p) { return p.greatest_lift.hardest.lift_coefficient; });
  group.add("share_of_limit", {"1", "local lift coefficient over its section's limit, where nearest to it"},
            [](const TrimPoint& p) {
              return p.nearest_limit ? std::optional(p.nearest_limit->hardest.share) : std::nullopt;
            });
  group.add("wake_angle", {"rad", "angle of the stream along which the wake lies"},
            [](const TrimPoint& p) { return p.wake_angle; });
  group.add("alpha_without_image", {"rad", "angle of attack without the image of the still surface"},
            [](const TrimPoint& p) { return of_bare(p, &TrimState::alpha); });
  group.add("load_station_without_image", {"m", "load station without the image of the still surface"},
            [](const TrimPoint& p) { return of_bare(p, &TrimState::load_station); });
  group.add("drag_without_image", {"N", "drag without the image of the still surface"},
            [](const TrimPoint& p) { return of_bare(p, &TrimState::drag); });
  group.add("wave_drag", {"N", "drag of all waves strip by strip, which drag does not have"},
            [](const TrimPoint& p) { return p.two_dimensional_waves; });
  group.add_each("part_lift", part, parts, {"N", "lift on each part"},
                 [](const TrimPoint& p, std::size_t k) { return p.parts[k].lift; });
  group.add_each("part_drag", part, parts, {"N", "drag of each part"},
                 [](const TrimPoint& p, std::size_t k) { return p.parts[k].drag; });
  group.add_each("circulation", strip, strips, {"m2/s", "circulation of each strip"},
                 [](const TrimPoint& p, std::size_t j) { return p.strip_circulation[j] * p.speed; });
}

} // namespace vlm
