#include <vlm/flow/cause.hpp>

#include <cmath>

namespace vlm {

Vec3 onset(const Cause& cause, const Vec3& point) {
  return cause.velocity - cross(cause.rotation, point - cause.centre);
}

Vec3 stream_velocity(const Motion& m) {
  return m.speed *
         Vec3{std::cos(m.alpha) * std::cos(m.beta), -std::sin(m.beta), std::sin(m.alpha) * std::cos(m.beta)};
}

Cause cause_of(const Motion& m) {
  return {stream_velocity(m), to_body_axes(m.rates), m.moment_point, {}};
}

Vec3 wake_along_stream(double alpha) {
  return {std::cos(alpha), 0, std::sin(alpha)};
}

std::vector<double> axial_onset(const Lattice& lattice, const Cause& cause) {
  std::vector<double> axial;
  for (const SourceLine& source : lattice.sources)
    axial.push_back(dot(onset(cause, 0.5 * (source.from + source.to)), source.axis));
  return axial;
}

} // namespace vlm
