#include <vlm/flow/velocity.hpp>

#include <algorithm>
#include <cmath>

#include <vlm/flow/induced_velocities.hpp>

namespace vlm {

std::vector<Vec3> velocity_at(const Influence& influence, const Cause& cause,
                              std::span<const double> circulation, std::span<const Vec3> points,
                              ThreadPool& pool) {
  std::vector<SurfacePoint> places;
  for (const Vec3& point : points)
    places.push_back({point, std::nullopt});
  Matrix gamma(circulation.size(), 1);
  std::copy(circulation.begin(), circulation.end(), gamma.values.begin());
  const Velocities induced = induced_velocities(influence, places, gamma, pool);
  const std::vector<double> axial = axial_onset(influence.lattice(), cause);
  std::vector<Vec3> velocity, from_sources(axial.size());
  for (std::size_t i = 0; i < points.size(); ++i) {
    velocity.push_back(onset(cause, points[i]) + Vec3{induced.x(i, 0), induced.y(i, 0), induced.z(i, 0)});
    influence.source_row(points[i], from_sources);
    for (std::size_t k = 0; k < axial.size(); ++k)
      velocity.back() += axial[k] * from_sources[k];
  }
  return velocity;
}

std::vector<double> downwash_angle(const Influence& influence, const Cause& cause,
                                   std::span<const double> circulation, std::span<const Vec3> points,
                                   ThreadPool& pool) {
  const std::vector<Vec3> velocity = velocity_at(influence, cause, circulation, points, pool);
  std::vector<double> angle;
  for (std::size_t i = 0; i < points.size(); ++i) {
    const Vec3 undisturbed = onset(cause, points[i]);
    angle.push_back(std::atan2(undisturbed.z, undisturbed.x) - std::atan2(velocity[i].z, velocity[i].x));
  }
  return angle;
}

} // namespace vlm
