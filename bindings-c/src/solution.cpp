#include <algorithm>
#include <memory>
#include <stdexcept>
#include <string_view>
#include <utility>

#include <vlm/flow/velocity.hpp>
#include <vlm/force/drag_breakdown.hpp>
#include <vlm/force/panel_circulation.hpp>
#include <vlm/force/span_loading.hpp>

#include "border.hpp"
#include "handles.hpp"

namespace vlm::c {

Condition condition_of(const vlm_condition& c) {
  return {finite(c.alpha, "condition.alpha"),
          finite(c.beta, "condition.beta"),
          {finite(c.roll_rate, "condition.roll_rate"), finite(c.pitch_rate, "condition.pitch_rate"),
           finite(c.yaw_rate, "condition.yaw_rate")}};
}

vlm_forces forces_of(const PolarPoint& p) {
  const Condition& c = p.condition;
  return {{c.alpha, c.beta, c.rates.x, c.rates.y, c.rates.z},
          sound(p.wake_angle),
          sound(p.lift_coefficient),
          sound(p.induced_drag_coefficient),
          sound(p.side_force_coefficient),
          sound(p.rolling_moment_coefficient),
          sound(p.pitching_moment_coefficient),
          sound(p.yawing_moment_coefficient),
          figure_of(p.near_drag_excess),
          figure_of(p.span_efficiency),
          figure_of(p.centre_of_lift),
          figure_of(p.neutral_point)};
}

void fill_parts(const PolarPoint& point, vlm_part_forces* parts, std::size_t count) {
  fill(array_of(point.parts.size(), parts, count, "parts"), [&](std::size_t i) {
    const PartLoads& p = point.parts[i];
    return vlm_part_forces{sound(p.lift),          sound(p.induced_drag),   sound(p.near_drag),
                           sound(p.side_force),    sound(p.rolling_moment), sound(p.pitching_moment),
                           sound(p.yawing_moment), figure_of(p.share)};
  });
}

void fill_loading(const Lattice& lattice, const std::vector<double>& unit_circulation, double speed,
                  double density, vlm_strip_loading* strips, std::size_t count) {
  const std::span<vlm_strip_loading> filled = array_of(lattice.strips.size(), strips, count, "strips");
  std::vector<double> circulation = unit_circulation;
  for (double& gamma : circulation)
    gamma *= speed;
  const SpanLoading loading = span_loading(lattice, circulation, speed, density);
  fill(filled, [&](std::size_t i) {
    return vlm_strip_loading{sound(loading.circulation[i]), sound(loading.lift_per_metre[i]),
                             sound(loading.lift_coefficient[i])};
  });
}

double speed_of(double speed) {
  if (!(finite(speed, "speed") > 0))
    throw Refusal{VLM_ERROR_ARGUMENT, "speed: found " + std::to_string(speed) + " m/s, wanted one above 0"};
  return speed;
}

} // namespace vlm::c

namespace {

using namespace vlm;
using namespace vlm::c;

PolarPoint point_of(const vlm_solution* handle, const vlm_condition* condition) {
  return polar_point(at(handle, "handle").responses, condition_of(at(condition, "condition")));
}

const Lattice& lattice_of(const vlm_solution* handle) {
  return at(handle, "handle").responses.system.lattice();
}

// A condition at a speed, as the cause of a flow and what it answers.
struct Flow {
  Cause cause;
  std::vector<double> circulation;
};

Flow flow_of(const vlm_solution& solution, const vlm_condition& given, double speed) {
  const Condition condition = condition_of(given);
  const Responses& responses = solution.responses;
  const double along = 2 * speed / responses.reference.chord, across = 2 * speed / responses.reference.span;
  Motion motion;
  motion.speed = speed;
  motion.alpha = condition.alpha;
  motion.beta = condition.beta;
  motion.rates = {across * condition.rates.x, along * condition.rates.y, across * condition.rates.z};
  motion.moment_point = responses.moment_point;
  Flow flow{cause_of(motion), panel_circulation(responses, condition, {})};
  for (double& gamma : flow.circulation)
    gamma *= speed;
  return flow;
}

std::vector<Vec3> points_of(std::span<const double> numbers) {
  if (numbers.size() % 3 != 0)
    throw Refusal{VLM_ERROR_LENGTH, "points: found " + std::to_string(numbers.size()) +
                                        " numbers, wanted three a point: x, y, z"};
  std::vector<Vec3> points;
  for (std::size_t i = 0; i < numbers.size(); i += 3)
    points.push_back(vector_of(&numbers[i], "points"));
  return points;
}

constexpr std::pair<std::string_view, double vlm_drag::*> causes_of_drag[] = {
    {"induced", &vlm_drag::induced},
    {"tilt of the lift by the turn", &vlm_drag::tilt_by_turn},
    {waves_beyond_image, &vlm_drag::waves_beyond_image},
    {"friction and form", &vlm_drag::friction_and_form},
    {"section polar", &vlm_drag::section_polar},
    {"blunt trailing edge", &vlm_drag::blunt_trailing_edge},
    {"junction", &vlm_drag::junction},
    {"spray", &vlm_drag::spray}};

double& of_cause(vlm_drag& drag, const std::string& cause) {
  for (const auto& [name, place] : causes_of_drag)
    if (name == cause)
      return drag.*place;
  throw std::logic_error("drag without a place in vlm_drag: " + cause);
}

} // namespace

vlm_status vlm_operating_wake(const vlm_case* handle, double lift_coefficient, int num_threads,
                              double* wake_angle) {
  return guarded(__func__, [&] {
    const Case& c = at(handle, "handle").value;
    double& result = at(wake_angle, "wake_angle");
    finite(lift_coefficient, "lift_coefficient");
    ThreadPool pool(num_threads);
    result = sound(operating_wake(c.craft, c.lattice, c.wake, lift_coefficient, pool).angle);
  });
}

vlm_status vlm_solve(const vlm_case* handle, double wake_angle, int motions, int num_threads,
                     vlm_solution** result) {
  return guarded(__func__, [&] {
    vlm_solution*& slot = result_of(result);
    const Case& c = at(handle, "handle").value;
    finite(wake_angle, "wake_angle");
    const bool all = choice_of(motions, 2, "motions") == VLM_MOTIONS_ALL;
    ThreadPool pool(num_threads);
    auto solution = std::make_unique<vlm_solution>(vlm_solution{
        make_responses(c.craft, c.lattice, wake_angle, {}, pool, all ? Motions::all : Motions::in_plane),
        c.craft,
        c.drag,
        body_figures(c.craft),
        part_names(c.craft),
        {}});
    if (all)
      solution->derivatives = derivatives(solution->responses, {});
    slot = solution.release();
  });
}

vlm_status vlm_solution_free(vlm_solution** handle) {
  return free_handle(__func__, handle);
}

vlm_status vlm_solution_reference(const vlm_solution* handle, vlm_reference* reference) {
  return guarded(__func__, [&] {
    const Reference& r = at(handle, "handle").responses.reference;
    at(reference, "reference") = {sound(r.area), sound(r.chord), sound(r.span)};
  });
}

vlm_status vlm_solution_num_parts(const vlm_solution* handle, size_t* count) {
  return guarded(__func__, [&] { at(count, "count") = at(handle, "handle").part_names.size(); });
}

vlm_status vlm_solution_part_name(const vlm_solution* handle, size_t part, const char** name) {
  return guarded(__func__, [&] {
    const std::vector<std::string>& names = at(handle, "handle").part_names;
    at(name, "name") = names[index_of(part, names.size(), "part")].c_str();
  });
}

vlm_status vlm_solution_num_panels(const vlm_solution* handle, size_t* count) {
  return guarded(__func__, [&] { at(count, "count") = lattice_of(handle).num_panels(); });
}

vlm_status vlm_solution_num_strips(const vlm_solution* handle, size_t* count) {
  return guarded(__func__, [&] { at(count, "count") = lattice_of(handle).strips.size(); });
}

vlm_status vlm_solution_strips(const vlm_solution* handle, vlm_strip* strips, size_t count) {
  return guarded(__func__, [&] {
    const std::vector<Strip>& cut = lattice_of(handle).strips;
    fill(array_of(cut.size(), strips, count, "strips"), [&](std::size_t i) {
      const Strip& s = cut[i];
      const Vec3& edge = s.leading_edge;
      return vlm_strip{s.surface,      sound(s.arc),
                       sound(s.width), sound(s.span_fraction),
                       sound(s.chord), {sound(edge.x), sound(edge.y), sound(edge.z)}};
    });
  });
}

vlm_status vlm_solution_forces(const vlm_solution* handle, const vlm_condition* condition,
                               vlm_forces* forces) {
  return guarded(__func__, [&] { at(forces, "forces") = forces_of(point_of(handle, condition)); });
}

vlm_status vlm_solution_part_forces(const vlm_solution* handle, const vlm_condition* condition,
                                    vlm_part_forces* parts, size_t count) {
  return guarded(__func__, [&] { fill_parts(point_of(handle, condition), parts, count); });
}

vlm_status vlm_solution_span_loading(const vlm_solution* handle, const vlm_condition* condition, double speed,
                                     vlm_strip_loading* strips, size_t count) {
  return guarded(__func__, [&] {
    fill_loading(lattice_of(handle), point_of(handle, condition).strip_circulation, speed_of(speed),
                 handle->craft.water.density, strips, count);
  });
}

vlm_status vlm_solution_drag(const vlm_solution* handle, const vlm_condition* condition, double speed,
                             vlm_drag* drag) {
  return guarded(__func__, [&] {
    const PolarPoint point = point_of(handle, condition);
    vlm_drag& result = at(drag, "drag");
    const DragBreakdown breakdown =
        drag_breakdown(handle->craft, lattice_of(handle), handle->body, handle->drag, point, speed_of(speed));
    vlm_drag sum{};
    for (const DragItem& item : breakdown.items)
      of_cause(sum, item.cause) += sound(item.drag);
    sum.lift = sound(breakdown.lift);
    sum.total = sound(breakdown.total);
    sum.lift_to_drag = figure_of(breakdown.lift_to_drag);
    result = sum;
  });
}

vlm_status vlm_solution_angle_for_lift(const vlm_solution* handle, double lift_coefficient, double* alpha) {
  return guarded(__func__, [&] {
    const Responses& responses = at(handle, "handle").responses;
    double& result = at(alpha, "alpha");
    finite(lift_coefficient, "lift_coefficient");
    const auto found =
        angle_for_lift(at_turns(responses.craft.force[0], {}), at_turns(responses.craft.force[2], {}),
                       lift_coefficient * responses.pressure_area);
    if (!found)
      throw Error("lift_coefficient: found " + std::to_string(lift_coefficient) +
                  ", which no angle of attack within 0.5 rad carries: ask for less");
    result = sound(*found);
  });
}

vlm_status vlm_solution_num_derivatives(const vlm_solution* handle, size_t* count) {
  return guarded(__func__, [&] { at(count, "count") = at(handle, "handle").derivatives.size(); });
}

vlm_status vlm_solution_derivatives(const vlm_solution* handle, const vlm_condition* condition,
                                    vlm_derivative* result, size_t count, double* shares, size_t num_shares) {
  return guarded(__func__, [&] {
    const vlm_solution& solution = at(handle, "handle");
    const std::vector<Derivative> values =
        derivatives(solution.responses, condition_of(at(condition, "condition")));
    const std::span<vlm_derivative> filled = array_of(values.size(), result, count, "derivatives");
    const std::size_t num_parts = solution.part_names.size();
    const std::span<double> shared = num_shares == 0 && shares == nullptr
                                         ? std::span<double>()
                                         : array_of(values.size() * num_parts, shares, num_shares, "shares");
    for (const Derivative& d : values) // before any of the two arrays is changed
      std::for_each(d.parts.begin(), d.parts.end(), sound);
    fill(filled, [&](std::size_t i) {
      const Derivative& named = solution.derivatives[i];
      return vlm_derivative{named.name.c_str(), named.unit.c_str(),
                            named.group == DerivativeGroup::stiffness ? VLM_STIFFNESS
                            : named.group == DerivativeGroup::damping ? VLM_DAMPING
                                                                      : VLM_COUPLING,
                            sound(values[i].value)};
    });
    fill(shared, [&](std::size_t i) { return values[i / num_parts].parts[i % num_parts]; });
  });
}

vlm_status vlm_solution_velocity(const vlm_solution* handle, const vlm_condition* condition, double speed,
                                 const double* points, double* velocity, size_t num_numbers) {
  return guarded(__func__, [&] {
    const vlm_solution& solution = at(handle, "handle");
    const std::span<double> filled = array(velocity, num_numbers, "velocity");
    const std::vector<Vec3> places = points_of(array(points, num_numbers, "points"));
    const Flow flow = flow_of(solution, at(condition, "condition"), speed_of(speed));
    ThreadPool pool(1);
    const std::vector<Vec3> found =
        velocity_at(solution.responses.system.influence(), flow.cause, flow.circulation, places, pool);
    fill(filled, [&](std::size_t i) {
      const Vec3& v = found[i / 3];
      return sound(i % 3 == 0 ? v.x : i % 3 == 1 ? v.y : v.z);
    });
  });
}

vlm_status vlm_solution_downwash(const vlm_solution* handle, const vlm_condition* condition,
                                 const double* points, size_t num_numbers, double* downwash, size_t count) {
  return guarded(__func__, [&] {
    const vlm_solution& solution = at(handle, "handle");
    const std::vector<Vec3> places = points_of(array(points, num_numbers, "points"));
    const std::span<double> filled = array_of(places.size(), downwash, count, "downwash");
    const Flow flow = flow_of(solution, at(condition, "condition"), 1);
    ThreadPool pool(1);
    const std::vector<double> found =
        downwash_angle(solution.responses.system.influence(), flow.cause, flow.circulation, places, pool);
    fill(filled, [&](std::size_t i) { return sound(found[i]); });
  });
}
