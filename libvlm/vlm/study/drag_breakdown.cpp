#include <vlm/study/drag_breakdown.hpp>

namespace vlm {

DragBreakdown drag_breakdown(const Craft& craft, const Lattice& lattice,
                             const std::optional<FuselageFigures>& body, const DragChoice& choice,
                             const PolarPoint& point, double speed) {
  const double unit = 0.5 * craft.water.density * speed * speed * reference(craft).area;
  DragBreakdown result;
  const std::vector<std::string> names = part_names(craft);
  for (std::size_t k = 0; k < craft.surfaces.size(); ++k) // the fuselage sheds no wake of its own
    result.items.push_back({names[k], "induced", point.parts[k].induced_drag * unit,
                            "wake far downstream, Munk, NACA Report 121 (1921)"});
  const std::vector<double> local = span_loading(lattice, point.strip_circulation, 1, 1).lift_coefficient;
  for (DragItem& item : parasite_drag(craft, lattice, body, choice, local, speed))
    result.items.push_back(std::move(item));
  for (const DragItem& item : result.items)
    result.total += item.drag;
  result.lift = point.lift_coefficient * unit;
  if (result.total > no_force * unit)
    result.lift_to_drag = result.lift / result.total;
  return result;
}

StudySummary drag_at_speeds(const Craft& craft, const LatticeOptions& options, const WakeChoice& wake,
                            const DragChoice& choice, double weight, std::span<const double> speeds,
                            const std::function<void(const SpeedPoint&)>& sink, const RunControl& control,
                            ThreadPool& pool) {
  StudySummary summary;
  const double area = reference(craft).area;
  const std::optional<FuselageFigures> body = body_figures(craft);
  for (const double speed : speeds) {
    if (control.cancelled()) {
      summary.complete = false;
      break;
    }
    const double lift_coefficient = weight / (0.5 * craft.water.density * speed * speed * area);
    SpeedPoint point{speed, {}, {}};
    if (const auto laid = find_operating_wake(craft, options, wake, lift_coefficient, pool)) {
      const Responses responses = make_responses(craft, options, laid->angle, {}, pool);
      summary.num_factorisations += laid->num_factorisations + responses.system.num_factorisations();
      summary.num_solves += laid->num_solves + responses.system.num_solves();
      point.alpha =
          angle_for_lift(at_turns(responses.craft.force[0], {}), at_turns(responses.craft.force[2], {}),
                         lift_coefficient * responses.pressure_area);
      if (point.alpha)
        point.drag = drag_breakdown(craft, responses.system.lattice(), body, choice,
                                    polar_point(responses, {*point.alpha}), speed);
    }
    sink(point);
    ++summary.num_points;
    if (control.progress)
      control.progress(summary.num_points, speeds.size());
  }
  return summary;
}

} // namespace vlm
