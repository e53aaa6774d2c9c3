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

std::vector<double> normal_wash_to_cancel(const Lattice& lattice, const Cause& cause) {
  std::vector<double> wash(lattice.num_panels());
  for (const Strip& strip : lattice.strips) {
    const double turn =
        cause.turn.empty() ? 0 : cause.turn[static_cast<std::size_t>(&strip - lattice.strips.data())];
    const std::size_t end = strip.first_panel + lattice.rows[strip.row].panels_per_strip;
    for (std::size_t p = strip.first_panel; p < end; ++p) {
      const Vec3 v = onset(cause, lattice.control[p]);
      wash[p] = -(dot(v, lattice.normal[p]) + lattice.slope[p] * v.x + turn);
    }
  }
  return wash;
}

} // namespace vlm
