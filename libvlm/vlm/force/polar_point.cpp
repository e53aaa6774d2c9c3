#include <vlm/force/polar_point.hpp>

#include <cmath>
#include <numbers>

#include <vlm/base/error.hpp>

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

PolarPoint polar_point(const Responses& responses, const Condition& condition,
                       std::span<const double> turns) {
  if (!std::isfinite(condition.alpha) || !std::isfinite(condition.beta))
    throw Error("angle of attack or sideslip: found no finite number, wanted one");
  const double scale = responses.pressure_area;
  const Reference& size = responses.reference;
  const std::vector<double> a = amplitudes(responses, condition, turns);
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
  const Balance at = balance(responses, condition, turns);
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

} // namespace vlm
