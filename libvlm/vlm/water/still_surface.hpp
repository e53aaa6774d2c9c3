#pragma once

#include <optional>

namespace vlm {

/// Which plane bounds the water near a craft.
enum class Boundary {
  none, ///< the water is deep above and below
  free, ///< the still surface above, at high Froude number: a plane of constant pressure
  wall, ///< a wall below: the ground of shallow water, the floor of a towing tank
};

/// The plane that bounds the water, and how a craft rides by it. A mast ends at the still surface whatever
/// the boundary, if a depth is given.
struct StillSurface {
  Boundary boundary = Boundary::none; ///< `free` needs a depth, `wall` a clearance
  std::optional<double> depth;        ///< of the craft's origin below the still surface [m], > 0
  std::optional<double> clearance;    ///< of the craft's origin above the wall [m], > 0
  double bank = 0; ///< roll angle [rad], starboard down positive; below 80 degrees to either side

  friend bool operator==(const StillSurface&, const StillSurface&) = default;
};

} // namespace vlm
