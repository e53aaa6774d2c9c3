#include <vlm/study/operation.hpp>

#include <vlm/base/error.hpp>

namespace vlm {

double lift_coefficient(const Operation& operation, const Craft& craft) {
  if (operation.lift_coefficient)
    return *operation.lift_coefficient;
  if (!operation.mass || !operation.speed)
    throw Error(
        "the study needs the lift to be carried: give a lift coefficient, or mass and speed together");
  if (!(*operation.speed > 0))
    throw Error("speed: found " + std::to_string(*operation.speed) + " m/s, wanted one above 0");
  const double pressure = 0.5 * craft.water.density * *operation.speed * *operation.speed;
  return *operation.mass * standard_gravity / (pressure * reference(craft).area);
}

} // namespace vlm
