#include <vlm/study/polar.hpp>

#include <algorithm>
#include <cmath>
#include <numbers>

#include <vlm/base/error.hpp>
#include <vlm/base/vec3.hpp>

namespace vlm {
namespace {

std::optional<double> ratio(double numerator, double denominator, double scale) {
  if (std::abs(denominator) <= no_force * scale)
    return std::nullopt;
  return numerator / denominator;
}

// Loads of one part at amplitudes, V = 1 m/s.
struct Loads {
  double lift, drag, side_force; // near field, in the axes of the stream
  Vec3 force, moment;            // geometry axes
  double far_drag;

  Loads(const SurfaceForms& forms, std::span<const double> a, const StreamAxes& axes)
      : force{value(forms.force[0], a), value(forms.force[1], a), value(forms.force[2], a)},
        moment{value(forms.moment[0], a), value(forms.moment[1], a), value(forms.moment[2], a)},
        far_drag(value(forms.far_drag, a)) {
    lift = dot(force, axes.lift), drag = dot(force, axes.drag), side_force = dot(force, axes.side_force);
  }
};

} // namespace

StreamAxes stream_axes(const Condition& condition) {
  const double c = std::cos(condition.alpha), s = std::sin(condition.alpha), cb = std::cos(condition.beta),
               sb = std::sin(condition.beta);
  return {{-s, 0, c}, {c * cb, -sb, s * cb}, {c * sb, cb, s * sb}};
}

std::vector<Condition> at_angles(std::span<const double> alphas) {
  std::vector<Condition> conditions;
  for (const double alpha : alphas)
    conditions.push_back({alpha, 0, {}});
  return conditions;
}

PolarPoint polar_point(const Responses& responses, const Condition& condition) {
  if (!std::isfinite(condition.alpha) || !std::isfinite(condition.beta))
    throw Error("angle of attack or sideslip: found no finite number, wanted one");
  const double scale = responses.pressure_area;
  const Reference& size = responses.reference;
  const std::vector<double> a = amplitudes(responses, condition);
  const StreamAxes axes = stream_axes(condition);
  const Loads craft(responses.craft, a, axes);
  const Vec3 moment = to_body_axes(craft.moment);

  PolarPoint p;
  p.condition = condition;
  p.wake_angle = responses.wake_angle;
  p.lift_coefficient = craft.lift / scale;
  p.induced_drag_coefficient = craft.far_drag / scale;
  if (condition.in_plane())
    p.near_drag_excess = (craft.drag - craft.far_drag) / scale;
  p.span_efficiency = ratio(p.lift_coefficient * p.lift_coefficient * size.area,
                            std::numbers::pi * size.span * size.span * p.induced_drag_coefficient, size.area);
  p.pitching_moment_coefficient = moment.y / (scale * size.chord);
  const Balance at = balance(responses, condition);
  p.centre_of_lift = at.centre_of_lift;
  p.neutral_point = at.neutral_point;
  p.side_force_coefficient = craft.side_force / scale;
  p.rolling_moment_coefficient = moment.x / (scale * size.span);
  p.yawing_moment_coefficient = moment.z / (scale * size.span);
  for (const SurfaceForms& forms : responses.parts) {
    const Loads part(forms, a, axes);
    const Vec3 about = to_body_axes(part.moment);
    p.parts.push_back({part.lift / scale, part.far_drag / scale, part.drag / scale, part.side_force / scale,
                       about.x / (scale * size.span), about.y / (scale * size.chord),
                       about.z / (scale * size.span), ratio(part.lift, craft.lift, scale)});
  }
  const Matrix& strips = responses.strip_circulation;
  for (std::size_t j = 0; j < strips.rows; ++j) {
    p.strip_circulation.push_back(0);
    for (std::size_t i = 0; i < a.size(); ++i)
      p.strip_circulation.back() += strips(j, i) * a[i];
  }
  return p;
}

StudySummary polar(const Craft& craft, const LatticeOptions& options, std::span<const Condition> conditions,
                   std::optional<double> wake_angle, const PolarSink& sink, const RunControl& control,
                   ThreadPool& pool) {
  StudySummary summary;
  std::optional<Responses> responses;
  const bool in_plane = std::all_of(conditions.begin(), conditions.end(),
                                    [](const Condition& condition) { return condition.in_plane(); });
  const Motions motions = in_plane ? Motions::in_plane : Motions::all;
  const auto lay = [&](double angle) {
    responses = make_responses(craft, options, angle, {}, pool, motions);
    summary.num_factorisations += responses->system.num_factorisations();
    summary.num_solves += responses->system.num_solves();
  };
  if (wake_angle)
    lay(*wake_angle);
  for (const Condition& condition : conditions) {
    if (control.cancelled()) {
      summary.complete = false;
      break;
    }
    if (!wake_angle)
      lay(condition.alpha);
    const PolarPoint point = polar_point(*responses, condition);
    sink({&point, 1});
    ++summary.num_points;
    if (control.progress)
      control.progress(summary.num_points, conditions.size());
  }
  return summary;
}

} // namespace vlm
