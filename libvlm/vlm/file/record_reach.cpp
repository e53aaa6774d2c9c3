#include <vlm/file/record_reach.hpp>

#include <algorithm>
#include <string>
#include <utility>

#include <vlm/base/error.hpp>

namespace vlm {
namespace {

// Figures of the points on their way into datasets.
class Points {
public:
  Points(const Hdf5File& file, std::span<const ReachPoint> points, Hdf5Dataset scale)
      : file_(file), points_(points), scale_(std::move(scale)) {}

  // One figure a point, or one for each item that `more` is the scale of. figures(point): as many, or none.
  template <class GetFigures>
  void add(const std::string& name, const Hdf5Meaning& meaning, const std::vector<Hdf5Dataset>& more,
           std::size_t each, bool may_be_undefined, const GetFigures& figures) const {
    std::vector<std::optional<double>> all;
    for (const ReachPoint& point : points_) {
      std::vector<std::optional<double>> found = figures(point);
      found.resize(each);
      all.insert(all.end(), found.begin(), found.end());
    }
    std::vector<Hdf5Dataset> scales{scale_};
    scales.insert(scales.end(), more.begin(), more.end());
    if (may_be_undefined) {
      file_.add_figures("/reach/" + name, scales, meaning, all);
      return;
    }
    std::vector<double> values;
    for (const std::optional<double>& figure : all)
      values.push_back(figure.value_or(0));
    file_.add("/reach/" + name, Hdf5Kind::real, scales, meaning).write(0, values);
  }

private:
  const Hdf5File& file_;
  std::span<const ReachPoint> points_;
  Hdf5Dataset scale_;
};

// A figure of each of some items.
template <class Item, class Get>
auto of_each(std::vector<Item> ReachPoint::*items, Get get) {
  return [=](const ReachPoint& point) {
    std::vector<std::optional<double>> figures;
    for (const Item& item : point.*items)
      figures.push_back(get(item));
    return figures;
  };
}

template <class Item, class Get>
auto of_each(std::vector<Item> Reach::*items, Get get) {
  return [=](const ReachPoint& point) {
    std::vector<std::optional<double>> figures;
    for (const Item& item : point.reach.*items)
      figures.push_back(get(item));
    return figures;
  };
}

Hdf5Dataset name_scale(const Hdf5File& file, const std::string& path, const std::vector<std::string>& names,
                       const std::string& meaning) {
  Hdf5Dataset scale = file.add_scale(path, Hdf5Kind::text, names.size(), {"1", meaning});
  scale.write(0, names);
  return scale;
}

} // namespace

void write_reach(const Hdf5File& file, const RecordLattice& lattice, const Craft& craft,
                 const ReachStudy& study, std::span<const ReachPoint> points, double density,
                 std::optional<double> speed) {
  if (points.empty())
    throw Error("reach to the surface: found no finished point to record, wanted at least one");
  const Hdf5Id group = file.add_group("/reach");
  set_attribute(group.get(), "alpha", study.condition.alpha);
  set_attribute(group.get(), "sideslip", study.condition.beta);
  set_attribute(group.get(), "roll_rate", study.condition.rates.x);
  set_attribute(group.get(), "pitch_rate", study.condition.rates.y);
  set_attribute(group.get(), "yaw_rate", study.condition.rates.z);
  const Hdf5Dataset index = file.add_scale("/reach/point", Hdf5Kind::integer, points.size(),
                                           {"1", "number of the point, counted from 0"});
  std::vector<std::int64_t> place;
  for (std::size_t i = 0; i < points.size(); ++i)
    place.push_back(static_cast<std::int64_t>(i));
  index.write(0, place);
  const auto name = [&](std::size_t surface) { return craft.surfaces.at(surface).name; };
  const Reach& first = points.front().reach;
  std::vector<std::string> tip_names, surface_names;
  for (const TipReach& tip : first.tips)
    tip_names.push_back(name(tip.surface) + (tip.last ? ": last station" : ": first station"));
  for (const SurfaceReach& surface : first.surfaces)
    surface_names.push_back(name(surface.surface));
  const std::size_t num_tips = tip_names.size(), num_surfaces = surface_names.size();
  std::size_t num_strips = 0;
  for (const ReachPoint& point : points)
    num_strips = std::max(num_strips, point.strips.size());

  const Points all(file, points, index);
  const auto one = [&](const std::string& what, const Hdf5Meaning& meaning, bool may_be_undefined,
                       const auto& figure) {
    all.add(what, meaning, {}, 1, may_be_undefined,
            [&](const ReachPoint& p) { return std::vector<std::optional<double>>{figure(p)}; });
  };
  one("depth", {"m", "depth of the craft's origin below the still surface"}, false,
      [](const ReachPoint& p) { return p.reach.depth; });
  one("bank", {"rad", "bank, starboard down positive"}, false,
      [](const ReachPoint& p) { return p.reach.bank; });
  one("least_depth", {"m", "least depth of the origin at which all surfaces but the mast are in the water"},
      true, [](const ReachPoint& p) { return least_depth(p.reach); });
  one("ventilation",
      {"1", "0 none, 1 possible, 2 likely, 3 certain that air is drawn down; common practice, no source"},
      false, [](const ReachPoint& p) { return static_cast<double>(worst(p.warnings)); });
  const auto reaches = [&](const std::string& what, auto items, const std::vector<Hdf5Dataset>& scale,
                           std::size_t number) {
    all.add(what + "_depth", {"m", "of the least deep place across the still surface"}, scale, number, false,
            of_each(items, [](const auto& item) { return std::optional(item.highest.depth); }));
    all.add(what + "_breach_bank_starboard_down",
            {"rad", "bank from level, starboard down, at which it comes out of the water at this depth"},
            scale, number, true, of_each(items, [](const auto& item) { return item.breach.starboard_down; }));
    all.add(what + "_breach_bank_port_down",
            {"rad", "bank from level, port down, at which it comes out of the water at this depth"}, scale,
            number, true, of_each(items, [](const auto& item) { return item.breach.port_down; }));
  };
  if (num_tips > 0)
    reaches("tip", &Reach::tips,
            {name_scale(file, "/reach/tip", tip_names, "surface and the station that ends it")}, num_tips);
  if (num_surfaces > 0)
    reaches("surface", &Reach::surfaces,
            {name_scale(file, "/reach/surface", surface_names, "surface that is not to pierce")},
            num_surfaces);
  if (num_strips == 0)
    return; // nothing could be solved
  const auto strips = [&](const std::string& what, const Hdf5Meaning& meaning, auto get) {
    all.add(what, meaning, {lattice.strip}, num_strips, true, of_each(&ReachPoint::strips, get));
  };
  using Figure = std::optional<double>;
  strips("strip_depth", {"m", "of the less deep of leading and trailing edge in the strip's middle"},
         [](const StripReach& s) { return Figure(s.depth); });
  strips("local_lift_coefficient", {"1", "lift coefficient of each strip over its own chord"},
         [](const StripReach& s) { return Figure(s.lift_coefficient()); });
  strips("level_local_lift_coefficient", {"1", "the same without bank at the same depth"},
         [](const StripReach& s) {
           return s.level_circulation ? Figure(2 * *s.level_circulation / s.chord) : Figure();
         });
  if (!speed)
    return;
  const double scale = density * *speed * *speed;
  strips("lift_per_metre", {"N/m", "lift per metre of span of each strip"},
         [scale](const StripReach& s) { return Figure(scale * s.circulation); });
  strips("level_lift_per_metre", {"N/m", "the same without bank at the same depth"},
         [scale](const StripReach& s) {
           return s.level_circulation ? Figure(scale * *s.level_circulation) : Figure();
         });
}

} // namespace vlm
