#include <vlm/study/polar.hpp>

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

struct Loads {
  AngleForm force[3], moment[3], far_drag;

  explicit Loads(const SurfaceForms& forms) : far_drag(at_turns(forms.far_drag, {})) {
    for (std::size_t axis = 0; axis < 3; ++axis) {
      force[axis] = at_turns(forms.force[axis], {});
      moment[axis] = at_turns(forms.moment[axis], {});
    }
  }
  double lift(double c, double s) const { return force[2].value(c, s) * c - force[0].value(c, s) * s; }
  Vec3 body_moment(double c, double s) const {
    return to_body_axes({moment[0].value(c, s), moment[1].value(c, s), moment[2].value(c, s)});
  }
  double drag(double c, double s) const { return force[0].value(c, s) * c + force[2].value(c, s) * s; }
};

} // namespace

PolarPoint polar_point(const Responses& responses, double alpha) {
  if (!std::isfinite(alpha))
    throw Error("angle of attack: found no finite number, wanted one");
  const double c = std::cos(alpha), s = std::sin(alpha), scale = responses.pressure_area;
  const Reference& size = responses.reference;
  const Loads craft(responses.craft);
  const Vec3 moment = craft.body_moment(c, s);
  const double lift = craft.lift(c, s), far_drag = craft.far_drag.value(c, s);

  PolarPoint p;
  p.alpha = alpha;
  p.wake_angle = responses.wake_angle;
  p.lift_coefficient = lift / scale;
  p.induced_drag_coefficient = far_drag / scale;
  p.near_drag_excess = (craft.drag(c, s) - far_drag) / scale;
  p.span_efficiency = ratio(p.lift_coefficient * p.lift_coefficient * size.area,
                            std::numbers::pi * size.span * size.span * p.induced_drag_coefficient, size.area);
  p.pitching_moment_coefficient = moment.y / (scale * size.chord);
  const Balance at = balance(responses, craft.force[0], craft.force[2], craft.moment[1], alpha);
  p.centre_of_lift = at.centre_of_lift;
  p.neutral_point = at.neutral_point;
  p.side_force_coefficient = craft.force[1].value(c, s) / scale;
  p.rolling_moment_coefficient = moment.x / (scale * size.span);
  p.yawing_moment_coefficient = moment.z / (scale * size.span);
  for (const SurfaceForms& forms : responses.parts) {
    const Loads surface(forms);
    const Vec3 about = surface.body_moment(c, s);
    p.parts.push_back({surface.lift(c, s) / scale, surface.far_drag.value(c, s) / scale,
                       surface.drag(c, s) / scale, surface.force[1].value(c, s) / scale,
                       about.x / (scale * size.span), about.y / (scale * size.chord),
                       about.z / (scale * size.span), ratio(surface.lift(c, s), lift, scale)});
  }
  const Matrix& strips = responses.strip_circulation;
  for (std::size_t j = 0; j < strips.rows; ++j)
    p.strip_circulation.push_back(strips(j, 0) * c + strips(j, 1) * s);
  return p;
}

StudySummary polar(const Craft& craft, const LatticeOptions& options, std::span<const double> alphas,
                   std::optional<double> wake_angle, const PolarSink& sink, const RunControl& control,
                   ThreadPool& pool) {
  StudySummary summary;
  std::optional<Responses> responses;
  const auto lay = [&](double angle) {
    responses = make_responses(craft, options, angle, {}, pool);
    summary.num_factorisations += responses->system.num_factorisations();
    summary.num_solves += responses->system.num_solves();
  };
  if (wake_angle)
    lay(*wake_angle);
  for (const double alpha : alphas) {
    if (control.cancelled()) {
      summary.complete = false;
      break;
    }
    if (!wake_angle)
      lay(alpha);
    const PolarPoint point = polar_point(*responses, alpha);
    sink({&point, 1});
    ++summary.num_points;
    if (control.progress)
      control.progress(summary.num_points, alphas.size());
  }
  return summary;
}

} // namespace vlm
