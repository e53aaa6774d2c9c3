#include <vlm/file/record_placement.hpp>

#include <vlm/file/placement_figures.hpp>
#include <vlm/file/trim_output.hpp>

namespace vlm {
namespace {

// Figures of points on their way into datasets of one group.
class PlacementGroup {
public:
  PlacementGroup(const Hdf5File& file, const std::string& group, const Hdf5Dataset& scale,
                 const std::vector<PlacementPoint>& points)
      : file_(file), group_(group), scale_{scale}, points_(points) {}

  template <class Get>
  void add(const std::string& name, const Hdf5Meaning& meaning, const Get& get) const {
    std::vector<double> values;
    for (const PlacementPoint& p : points_)
      values.push_back(get(p));
    file_.add(group_ + name, Hdf5Kind::real, scale_, meaning).write(0, values);
  }

  void add(const PlacementFigure& f, std::size_t surface) const {
    std::vector<std::optional<double>> figures;
    for (const PlacementPoint& p : points_)
      figures.push_back(figure_of(f, p, surface));
    file_.add_figures(group_ + f.name, scale_, {f.unit, f.long_name}, figures);
  }

  template <class Get>
  void flags(const std::string& name, const std::string& meaning, const Get& get) const {
    std::vector<std::uint8_t> values;
    for (const PlacementPoint& p : points_)
      values.push_back(get(p));
    file_.add(group_ + name, Hdf5Kind::byte, scale_, {"1", meaning}).write(0, values);
  }

  void refusals() const {
    std::vector<std::string> reasons;
    for (const PlacementPoint& p : points_)
      reasons.push_back(p.refusal);
    file_
        .add(group_ + "refusal", Hdf5Kind::text, scale_,
             {"1", "why there is no balance; empty where there is"})
        .write(0, reasons);
  }

private:
  const Hdf5File& file_;
  std::string group_;
  std::vector<Hdf5Dataset> scale_;
  const std::vector<PlacementPoint>& points_;
};

} // namespace

void write_placement(const Hdf5File& file, const PlacementResult& result, const std::string& surface) {
  const PlacementStudy& study = result.study;
  const std::string path = "/placement/";
  const Hdf5Id group = file.add_group("/placement");
  set_attribute(group.get(), "surface", surface);
  set_attribute(group.get(), "speed", study.speed);
  if (!study.lift)
    set_attribute(group.get(), "caution", trim_caution);
  if (study.lift)
    set_attribute(group.get(), "lift", *study.lift);
  const PlacementMarks marks = placement_marks(study, result.points, result.limits);
  if (marks.least_drag)
    set_attribute(group.get(), "least_drag", static_cast<int>(*marks.least_drag));
  if (marks.within_limits)
    set_attribute(group.get(), "least_drag_within_limits", static_cast<int>(*marks.within_limits));

  const Hdf5Dataset point = file.add_scale(path + "point", Hdf5Kind::integer, result.points.size(),
                                           {"1", "number of the point, counted from 0"});
  std::vector<std::int64_t> number;
  for (std::size_t i = 0; i < result.points.size(); ++i)
    number.push_back(static_cast<std::int64_t>(i));
  point.write(0, number);
  const PlacementGroup points(file, path, point, result.points);
  points.add("moved_aft", {"m", "by which the surface is moved aft of where it is drawn"},
             [](const PlacementPoint& p) { return p.placement.aft; });
  points.add("moved_up", {"m", "by which the surface is moved above where it is drawn"},
             [](const PlacementPoint& p) { return p.placement.up; });
  points.add("area_ratio", {"1", "area of the surface over that drawn"},
             [](const PlacementPoint& p) { return p.placement.area; });
  points.add("incidence", {"rad", "incidence of the surface, nose-up positive"},
             [](const PlacementPoint& p) { return p.incidence; });
  points.refusals();
  points.flags("keeps_limits", "1 where the point keeps the limits asked for, else 0",
               [&](const PlacementPoint& p) { return keeps(result.limits, p); });
  points.flags("meets_fuselage", "1 where the surface meets the fuselage's skin, else 0",
               [](const PlacementPoint& p) { return p.on_fuselage.value_or(false); });
  for (const PlacementFigure& f : placement_figures())
    points.add(f, study.surface);
  if (result.without_image.empty())
    return;
  const PlacementGroup bare(file, path + "without_image_", point, result.without_image);
  for (const PlacementFigure& f : placement_figures())
    for (const char* name : {"alpha", "load_station", "drag", "static_margin"})
      if (std::string(f.name) == name)
        bare.add(f, study.surface);
}

} // namespace vlm
