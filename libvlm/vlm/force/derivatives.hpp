#pragma once

#include <string>
#include <vector>

#include <vlm/base/thread_pool.hpp>
#include <vlm/force/polar_point.hpp>

namespace vlm {

/// What a derivative says about a craft.
enum class DerivativeGroup {
  stiffness, ///< forces and moments of a displacement: lift and pitching moment of angle of attack and of
             ///< depth; side force, rolling and yawing moment of sideslip
  damping,   ///< the moment of each rate about its own axis
  coupling,  ///< all others
};

/// "stiffness", "damping" or "coupling".
const char* name_of(DerivativeGroup);

/// One stability derivative of a craft's coefficients: forces over ½ρV² and the reference area, moments also
/// over its span (roll, yaw) or chord (pitch), about the moment point. Angles are in radians; rates are p
/// b/2V, q c/2V, r b/2V; depth is in metres. Signs as everywhere: roll starboard down, pitch nose up, yaw
/// nose to starboard.
struct Derivative {
  DerivativeGroup group;     ///< what it says
  std::string name;          ///< in words: "pitching moment due to angle of attack"
  std::string unit;          ///< "per rad", "per rate" or "per m"
  double value = 0;          ///< in that unit
  std::vector<double> parts; ///< what each part gives of it, in the order of part_names
};

/// All six components with respect to angle of attack, sideslip and the three rates, exactly, from responses
/// for all motions: lift, drag (near field, along the stream) and side force along the axes of the stream,
/// which turn with it; the moments in body axes. The wake, depth and bank stay. After Etkin, Dynamics of
/// Atmospheric Flight (1972), chapter 5; for the rate of angle of attack see alpha_rate_derivatives. Throws
/// Error for responses in plane only.
std::vector<Derivative> derivatives(const Responses&, const Condition&);

/// Lift and pitching moment due to depth, positive where they grow downward: central difference over two more
/// set-ups, a ten thousandth of the depth above and below. Empty without a still surface of constant
/// pressure.
std::vector<Derivative> depth_derivatives(const Craft&, const LatticeOptions&, double wake_angle,
                                          const Condition&, ThreadPool&);

/// Whether a derivative vanishes beside the others with respect to the same: below 1e-6 of the greatest.
bool vanishes(const Derivative&, const std::vector<Derivative>& among);

} // namespace vlm
