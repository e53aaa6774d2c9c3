#include <vlm/force/drag_breakdown.hpp>

#include <vlm/force/span_loading.hpp>
#include <vlm/force/wave_drag.hpp>

namespace vlm {

DragBreakdown drag_breakdown(const Craft& craft, const Lattice& lattice,
                             const std::optional<FuselageFigures>& body, const DragChoice& choice,
                             const PolarPoint& point, double speed) {
  const double unit = 0.5 * craft.water.density * speed * speed * reference(craft).area;
  DragBreakdown result;
  const std::vector<std::string> names = part_names(craft);
  for (std::size_t k = 0; k < craft.surfaces.size(); ++k) // the fuselage sheds no wake of its own
    result.items.push_back({names[k], "induced", point.parts[k].induced_drag * unit,
                            "wake far downstream, Munk, NACA Report 121 (1921)", std::nullopt});
  // Induced drag is the power left in the wake over V. In a turn the moments do a part of that work, and the
  // lift of each place is tilted by the stream that the turn makes: drag = induced + M·Ω/V.
  if (const Vec3& rate = point.condition.rates; rate != Vec3{})
    result.items.push_back(
        {"craft", "tilt of the lift by the turn",
         2 * unit *
             (point.rolling_moment_coefficient * rate.x + point.pitching_moment_coefficient * rate.y +
              point.yawing_moment_coefficient * rate.z),
         "balance of power: moments times rates over the speed", std::nullopt});
  std::vector<double> circulation = point.strip_circulation;
  for (double& gamma : circulation)
    gamma *= speed;
  for (const StillSurfaceDrag& of : still_surface_drag(lattice, circulation, speed, craft.water.density))
    result.items.push_back({names[of.surface], std::string(waves_beyond_image), of.beyond_image(),
                            "linear theory of lifting lines, Havelock (1934), Wu (1954), Breslin (1957)",
                            of.point});
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

} // namespace vlm
