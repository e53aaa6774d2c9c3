#include <vlm/force/derivatives.hpp>

#include <algorithm>
#include <array>
#include <cmath>

#include <vlm/base/error.hpp>

namespace vlm {
namespace {

enum Component : std::size_t {
  lift,
  drag,
  side_force,
  roll_moment,
  pitch_moment,
  yaw_moment,
  num_components
};
constexpr std::array<const char*, num_components> component_names{
    "lift", "drag", "side force", "rolling moment", "pitching moment", "yawing moment"};

constexpr std::array variables{Variable::alpha, Variable::beta, Variable::roll_rate, Variable::pitch_rate,
                               Variable::yaw_rate};

std::string name_of(Variable variable) {
  switch (variable) {
  case Variable::alpha:
    return "angle of attack";
  case Variable::beta:
    return "sideslip";
  case Variable::roll_rate:
    return "roll rate";
  case Variable::pitch_rate:
    return "pitch rate";
  case Variable::yaw_rate:
    return "yaw rate";
  }
  return {};
}

DerivativeGroup group_of(Component component, Variable variable) {
  switch (variable) {
  case Variable::alpha:
    return component == lift || component == pitch_moment ? DerivativeGroup::stiffness
                                                          : DerivativeGroup::coupling;
  case Variable::beta:
    return component == side_force || component == roll_moment || component == yaw_moment
               ? DerivativeGroup::stiffness
               : DerivativeGroup::coupling;
  case Variable::roll_rate:
    return component == roll_moment ? DerivativeGroup::damping : DerivativeGroup::coupling;
  case Variable::pitch_rate:
    return component == pitch_moment ? DerivativeGroup::damping : DerivativeGroup::coupling;
  case Variable::yaw_rate:
    return component == yaw_moment ? DerivativeGroup::damping : DerivativeGroup::coupling;
  }
  return DerivativeGroup::coupling;
}

// Derivatives of the stream's axes with an angle; none with a rate.
StreamAxes axes_slope(const Condition& condition, Variable variable) {
  const double c = std::cos(condition.alpha), s = std::sin(condition.alpha), cb = std::cos(condition.beta),
               sb = std::sin(condition.beta);
  if (variable == Variable::alpha)
    return {{-c, 0, -s}, {-s * cb, 0, c * cb}, {-s * sb, 0, c * sb}};
  if (variable == Variable::beta)
    return {{}, {-c * sb, -cb, -s * sb}, {c * cb, -sb, s * cb}};
  return {};
}

// Coefficients of one part, or of the whole, differentiated.
std::array<double, num_components> slopes(const Responses& responses, const SurfaceForms& forms,
                                          const Condition& condition, Variable variable) {
  const std::vector<double> a = amplitudes(responses, condition),
                            b = amplitude_slopes(responses, condition, variable);
  const StreamAxes axes = stream_axes(condition), turning = axes_slope(condition, variable);
  const auto vector = [](const auto& figure, const std::array<Matrix, 3>& f) {
    return Vec3{figure(f[0]), figure(f[1]), figure(f[2])};
  };
  const auto slope = [&](const Matrix& form) { return derivative(form, a, b); };
  const Vec3 force = vector([&](const Matrix& form) { return value(form, a); }, forms.force);
  const Vec3 force_slope = vector(slope, forms.force);
  const Vec3 moment_slope = to_body_axes(vector(slope, forms.moment));
  const auto along = [&](const Vec3& axis, const Vec3& axis_slope) {
    return dot(force_slope, axis) + dot(force, axis_slope);
  };
  const double scale = responses.pressure_area, span = responses.reference.span,
               chord = responses.reference.chord;
  return {along(axes.lift, turning.lift) / scale,
          along(axes.drag, turning.drag) / scale,
          along(axes.side_force, turning.side_force) / scale,
          moment_slope.x / (scale * span),
          moment_slope.y / (scale * chord),
          moment_slope.z / (scale * span)};
}

} // namespace

const char* name_of(DerivativeGroup group) {
  return group == DerivativeGroup::stiffness ? "stiffness"
         : group == DerivativeGroup::damping ? "damping"
                                             : "coupling";
}

std::vector<Derivative> derivatives(const Responses& responses, const Condition& condition) {
  if (responses.motions != Motions::all)
    throw Error(
        "derivatives: found responses in the plane of symmetry, wanted responses made for all motions");
  std::vector<Derivative> result;
  for (const Variable variable : variables) {
    const bool angle = variable == Variable::alpha || variable == Variable::beta;
    const auto whole = slopes(responses, responses.craft, condition, variable);
    std::vector<std::array<double, num_components>> parts;
    for (const SurfaceForms& part : responses.parts)
      parts.push_back(slopes(responses, part, condition, variable));
    for (std::size_t i = 0; i < num_components; ++i) {
      Derivative d{group_of(static_cast<Component>(i), variable),
                   std::string(component_names[i]) + " due to " + name_of(variable),
                   angle ? "per rad" : "per rate",
                   whole[i],
                   {}};
      for (const auto& part : parts)
        d.parts.push_back(part[i]);
      result.push_back(std::move(d));
    }
  }
  return result;
}

std::vector<Derivative> depth_derivatives(const Craft& craft, const LatticeOptions& options,
                                          double wake_angle, const Condition& condition, ThreadPool& pool) {
  if (craft.still_surface.boundary != Boundary::free)
    return {};
  check(craft); // a depth among other things
  const double step = 1e-4 * *craft.still_surface.depth;
  const Motions motions = condition.in_plane() ? Motions::in_plane : Motions::all;
  const auto at = [&](double change) {
    Craft moved = craft;
    *moved.still_surface.depth += change;
    return polar_point(make_responses(moved, options, wake_angle, {}, pool, motions), condition);
  };
  const PolarPoint above = at(-step), below = at(step);
  Derivative of_lift{DerivativeGroup::stiffness,
                     "lift due to depth",
                     "per m",
                     (below.lift_coefficient - above.lift_coefficient) / (2 * step),
                     {}};
  Derivative of_pitch{DerivativeGroup::stiffness,
                      "pitching moment due to depth",
                      "per m",
                      (below.pitching_moment_coefficient - above.pitching_moment_coefficient) / (2 * step),
                      {}};
  for (std::size_t i = 0; i < below.parts.size(); ++i) {
    of_lift.parts.push_back((below.parts[i].lift - above.parts[i].lift) / (2 * step));
    of_pitch.parts.push_back((below.parts[i].pitching_moment - above.parts[i].pitching_moment) / (2 * step));
  }
  return {of_lift, of_pitch};
}

bool vanishes(const Derivative& derivative, const std::vector<Derivative>& among) {
  const auto cause = [](const Derivative& d) { return d.name.substr(d.name.find(" due to ")); };
  double greatest = 0;
  for (const Derivative& d : among)
    if (cause(d) == cause(derivative))
      greatest = std::max(greatest, std::abs(d.value));
  return std::abs(derivative.value) <= std::max(1e-6 * greatest, 1e-12);
}

} // namespace vlm
