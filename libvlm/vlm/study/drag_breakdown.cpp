#include <vlm/study/drag_breakdown.hpp>

#include <vlm/base/error.hpp>
#include <vlm/force/waves.hpp>

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
  // Induced drag is the power left in the wake over V. In a turn the moments do a part of that work, and the
  // lift of each place is tilted by the stream that the turn makes: drag = induced + M·Ω/V.
  if (const Vec3& rate = point.condition.rates; rate != Vec3{})
    result.items.push_back(
        {"craft", "tilt of the lift by the turn",
         2 * unit *
             (point.rolling_moment_coefficient * rate.x + point.pitching_moment_coefficient * rate.y +
              point.yawing_moment_coefficient * rate.z),
         "balance of power: moments times rates over the speed"});
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

namespace {

// A craft at the angle that carries its lift.
struct Carried {
  Responses responses;
  double alpha;
  PolarPoint point;
};

std::optional<Carried> carry(const Craft& craft, const LatticeOptions& options, const WakeChoice& wake,
                             double lift_coefficient, StudySummary& summary, ThreadPool& pool) {
  const auto laid = find_operating_wake(craft, options, wake, lift_coefficient, pool);
  if (!laid)
    return std::nullopt;
  Responses responses = make_responses(craft, options, laid->angle, {}, pool);
  summary.num_factorisations += laid->num_factorisations + responses.system.num_factorisations();
  summary.num_solves += laid->num_solves + responses.system.num_solves();
  const auto alpha =
      angle_for_lift(at_turns(responses.craft.force[0], {}), at_turns(responses.craft.force[2], {}),
                     lift_coefficient * responses.pressure_area);
  if (!alpha)
    return std::nullopt;
  PolarPoint point = polar_point(responses, {*alpha});
  return Carried{std::move(responses), *alpha, std::move(point)};
}

} // namespace

StudySummary drag_at_speeds(const Craft& craft, const LatticeOptions& options, const WakeChoice& wake,
                            const DragChoice& choice, double weight, std::span<const double> speeds,
                            const std::function<void(const SpeedPoint&)>& sink, const RunControl& control,
                            ThreadPool& pool) {
  check(craft);
  StudySummary summary;
  const double area = reference(craft).area;
  const std::optional<FuselageFigures> body = body_figures(craft);
  Craft unmirrored = craft;
  unmirrored.still_surface.boundary = Boundary::none;
  const auto solve = [&](SpeedPoint& point) {
    const double speed = point.speed;
    const double lift_coefficient = weight / (0.5 * craft.water.density * speed * speed * area);
    const auto drag_of = [&](const Craft& of, const Carried& at) {
      return drag_breakdown(of, at.responses.system.lattice(), body, choice, at.point, speed);
    };
    const auto at = carry(craft, options, wake, lift_coefficient, summary, pool);
    if (!at) {
      point.refusal = "no angle of attack within ±28 degrees carries the lift";
      return;
    }
    point.alpha = at->alpha;
    point.drag = drag_of(craft, *at);
    const StillSurface& still = craft.still_surface;
    if (still.boundary != Boundary::free ||
        froude_numbers(speed, *still.depth, 1, 1).depth >= least_image_froude)
      return;
    std::vector<double> circulation = at->point.strip_circulation;
    for (double& gamma : circulation)
      gamma *= speed;
    point.waves_at_most = wave_drag(at->responses.system.lattice(), circulation, speed, craft.water.density);
    if (const auto bare = carry(unmirrored, options, wake, lift_coefficient, summary, pool))
      point.drag_without_image = drag_of(unmirrored, *bare).total;
  };
  for (const double speed : speeds) {
    if (control.cancelled()) {
      summary.complete = false;
      break;
    }
    SpeedPoint point;
    point.speed = speed;
    try {
      solve(point);
    } catch (const Error& error) {
      point.refusal = error.what();
    }
    sink(point);
    ++summary.num_points;
    if (control.progress)
      control.progress(summary.num_points, speeds.size());
  }
  return summary;
}

} // namespace vlm
