#pragma once

#include <vlm/base/vec3.hpp>
#include <vlm/shape/fuselage.hpp>

namespace vlm {

/// Where the volume of a fuselage lies, and how it spreads in the plane of symmetry.
struct VolumeMoments {
  double volume = 0; ///< [m³]
  Vec3 centre;       ///< of the volume [m]
  double length = 0; ///< ∫ (x − centre)² dV [m⁵]
  double height = 0; ///< ∫ (z − centre)² dV [m⁵]
};

/// Integrals by Gauss's rule between cuts. Throws Error for what Skin refuses.
VolumeMoments volume_moments(const Fuselage&);

} // namespace vlm
