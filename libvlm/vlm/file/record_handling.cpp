#include <vlm/file/record_handling.hpp>

#include <algorithm>
#include <functional>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace vlm {
namespace {

// Unit of a change per metre.
std::string per_metre(const std::string& unit) {
  return unit == "m" ? "1" : unit == "1" ? "1/m" : unit + "/m";
}

class HandlingGroup {
public:
  HandlingGroup(const Hdf5File& file, std::span<const HandlingPoint> points)
      : file_(file), points_(points), group_(file.add_group("/handling")),
        speed_(
            file.add_scale("/handling/speed", Hdf5Kind::real, points.size(), {"m/s", "speed of the point"})) {
    set_attribute(group_.get(), "notice", handling_notice);
    std::vector<double> speeds;
    for (const HandlingPoint& p : points)
      speeds.push_back(p.riding.speed);
    speed_.write(0, speeds);
  }

  void add_text(const std::string& name, const std::vector<Hdf5Dataset>& more, const Hdf5Meaning& meaning,
                const std::vector<std::string>& text) const {
    file_.add("/handling/" + name, Hdf5Kind::text, scales(more), meaning).write(0, text);
  }

  // A figure a speed.
  template <class Get>
  void add(const std::string& name, const Hdf5Meaning& meaning, const Get& get) const {
    std::vector<std::optional<double>> figures;
    for (const HandlingPoint& p : points_)
      figures.push_back(p.handling ? std::optional<double>(get(p)) : std::nullopt);
    add_figures(name, {}, meaning, figures);
  }

  void add_figures(const std::string& name, const std::vector<Hdf5Dataset>& more, const Hdf5Meaning& meaning,
                   const std::vector<std::optional<double>>& figures) const {
    file_.add_figures("/handling/" + name, scales(more), meaning, figures);
  }

  // Modes of one way to hold the rider, each speed's fastest first.
  void add_modes(const std::string& prefix, const std::string& rider, const Hdf5Dataset& mode,
                 std::size_t most, RideModes Handling::*hold) const {
    const auto each = [&](const auto& take) { // of every speed and place, a mode or none
      for (const HandlingPoint& p : points_)
        for (std::size_t i = 0; i < most; ++i) {
          const std::vector<Mode>* modes = p.handling ? &((*p.handling).*hold).modes : nullptr;
          take(modes && i < modes->size() ? &(*modes)[i] : nullptr);
        }
    };
    std::vector<std::string> names;
    each([&](const Mode* m) { names.push_back(m ? m->name : ""); });
    add_text(prefix + "_mode_name", {mode}, {"1", "what the mode is, " + rider + "; empty: none"}, names);
    const auto add_one = [&](const std::string& name, const Hdf5Meaning& meaning, const auto& get) {
      std::vector<std::optional<double>> figures;
      each([&](const Mode* m) {
        figures.push_back(m ? std::optional<double>(std::invoke(get, *m)) : std::nullopt);
      });
      add_figures(prefix + "_" + name, {mode}, {meaning.units, meaning.long_name + ", " + rider}, figures);
    };
    add_one("growth", {"1/s", "growth of the mode, negative where it dies out"}, &Mode::growth);
    add_one("angular_frequency", {"rad/s", "of the mode, 0 if it does not oscillate"},
            &Mode::angular_frequency);
    add_one("damping_ratio", {"1", "damping ratio of a mode that oscillates"}, &Mode::damping_ratio);
    add_one("reduced_frequency", {"1", "size of the eigenvalue times c/2V"}, &Mode::reduced_frequency);
    add_one("quasi_steady", {"1", "1 below a reduced frequency of 0.1, else 0"},
            [](const Mode& m) { return m.quasi_steady ? 1.0 : 0.0; });
    constexpr const char* moving[]{"surge", "heave", "pitch"};
    for (std::size_t i = 0; i < 3; ++i)
      add_one(std::string(moving[i]) + "_share", {"1", std::string("share of ") + moving[i] + " in the mode"},
              [i](const Mode& m) { return m.share[i]; });
  }

private:
  std::vector<Hdf5Dataset> scales(const std::vector<Hdf5Dataset>& more) const {
    std::vector<Hdf5Dataset> all{speed_};
    all.insert(all.end(), more.begin(), more.end());
    return all;
  }

  const Hdf5File& file_;
  std::span<const HandlingPoint> points_;
  Hdf5Id group_;
  Hdf5Dataset speed_;
};

} // namespace

void write_handling(const Hdf5File& file, std::span<const HandlingPoint> points) {
  const HandlingGroup group(file, points);
  std::vector<std::string> refusals;
  for (const HandlingPoint& p : points)
    refusals.push_back(p.refusal);
  group.add_text("refusal", {}, {"1", "why there are no figures; empty where there are"}, refusals);
  group.add("alpha", {"rad", "trimmed angle of attack"},
            [](const HandlingPoint& p) { return p.riding.alpha; });
  group.add("load_station", {"m", "station of the load along the deck, aft of the mast axis"},
            [](const HandlingPoint& p) { return p.riding.load_station; });
  for (const HandlingFigure& f : handling_figures()) {
    group.add(f.key, {f.unit, f.name}, [&](const HandlingPoint& p) { return p.handling->figures.*f.figure; });
    group.add("per_depth_" + std::string(f.key),
              {per_metre(f.unit), "change per metre of depth of: " + std::string(f.name)},
              [&](const HandlingPoint& p) {
                return p.handling->per_depth ? (*p.handling->per_depth).*f.figure : std::nullopt;
              });
  }
  group.add("load_line", {"m", "x where the upright through the load crosses the x axis"},
            [](const HandlingPoint& p) { return p.handling->load_line; });
  group.add("height_stiffness", {"N/m", "lift gained per metre of depth"},
            [](const HandlingPoint& p) { return p.handling->height_stiffness; });
  group.add("height_neutral_point", {"m", "x where the lift of a change of depth acts"},
            [](const HandlingPoint& p) { return p.handling->height_neutral_point; });

  std::size_t most = 0;
  for (const HandlingPoint& p : points)
    if (p.handling)
      most = std::max({most, p.handling->rigid.modes.size(), p.handling->on_the_deck.modes.size()});
  if (most == 0)
    return;
  const Hdf5Dataset mode =
      file.add_scale("/handling/mode", Hdf5Kind::integer, most, {"1", "counts modes from 0"});
  std::vector<std::int64_t> count;
  for (std::size_t i = 0; i < most; ++i)
    count.push_back(static_cast<std::int64_t>(i));
  mode.write(0, count);
  group.add_modes("rigid", "the rider held rigidly", mode, most, &Handling::rigid);
  group.add_modes("on_the_deck", "the rider as a mass on the deck", mode, most, &Handling::on_the_deck);
}

} // namespace vlm
