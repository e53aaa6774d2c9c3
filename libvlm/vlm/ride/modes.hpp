#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include <vlm/base/matrix.hpp>

namespace vlm {

/// Loads in the plane of symmetry along the axes of the stream, or their derivatives: force against the
/// stream and across it, upward, and moment about a stated point, nose-up positive; of derivatives, per unit
/// of the variable.
struct StreamLoads {
  double forward = 0; ///< [N]
  double up = 0;      ///< [N]
  double pitch = 0;   ///< [N·m]
};

/// A craft in level flight on a straight path, and how its loads answer to small changes. SI; moments about
/// the centre of mass. The axes of the stream turn with it: by_alpha holds minus the slope of drag and the
/// slope of lift.
struct LevelFlight {
  double speed = 0;           ///< V [m/s]
  double mass = 0;            ///< [kg]
  double pitch_inertia = 0;   ///< [kg·m²] about the centre of mass
  double lift = 0, drag = 0;  ///< of the flow [N]
  StreamLoads by_speed;       ///< per m/s
  StreamLoads by_alpha;       ///< per rad
  StreamLoads by_pitch_rate;  ///< per rad/s, turning about the centre of mass
  StreamLoads by_alpha_rate;  ///< per rad/s: what lags behind the angle of attack
  StreamLoads by_depth;       ///< per m of depth of the origin
  double origin_aft = 0;      ///< how far the origin is behind the centre of mass, along the stream [m]
  double turning_thrust = 0;  ///< forward force that turns with the craft, of a motor [N]
  double attitude_moment = 0; ///< moment of what neither turns with the craft nor acts at its centre of mass,
                              ///< buoyancy, per rad of pitch [N·m/rad]
  /// Of velocities forward, upward and nose-up of the centre of mass [3 × 3; kg, kg·m, kg·m²].
  Matrix added_mass{3, 3};
};

/// Small motions in the plane of symmetry: mass · x″ = rate · x′ + place · x, x the way forward and upward
/// [m] of the centre of mass and the pitch [rad] from steady flight, along axes fixed in space.
struct LongitudinalMotion {
  Matrix mass{3, 3};  ///< [3 × 3; kg, kg·m, kg·m²], added mass included
  Matrix rate{3, 3};  ///< [3 × 3], loads per unit of velocity
  Matrix place{3, 3}; ///< [3 × 3], loads per unit of displacement
};

/// Small motions of a flight. The angle of attack is the pitch less upward velocity over V; climbing, lift
/// leans back and drag down by that velocity over V. Weight and drive keep their size and moment, and
/// direction in space but for a turning thrust. Added mass answers to the acceleration as the turning craft
/// sees it, which has V times the pitch rate in it, downward. After Etkin, Dynamics of Atmospheric Flight
/// (1972), chapters 4 to 6, from memory; in axes fixed in space instead of his, so that gravity enters
/// through the lift that leans.
LongitudinalMotion motion_of(const LevelFlight&);

/// Above this reduced frequency loads no longer follow the motion as steady ones would, and a mode found with
/// them is a rough guess (common practice, no source).
inline constexpr double quasi_steady_limit = 0.1;

/// One natural motion, growing or dying out as exp(growth·t), swinging at angular_frequency.
struct Mode {
  std::string name;                     ///< in words: "oscillation in heave and pitch", "divergence in pitch"
  double growth = 0;                    ///< [1/s], negative where it dies out
  double angular_frequency = 0;         ///< [rad/s], 0 if it does not oscillate
  std::optional<double> frequency;      ///< [Hz]; if it oscillates
  std::optional<double> damping_ratio;  ///< −growth over the size of the eigenvalue; if it oscillates
  std::optional<double> time_constant;  ///< [s], of growth to e or decay to 1/e; if it does not oscillate
  std::optional<double> time_to_half;   ///< [s]; if it dies out
  std::optional<double> time_to_double; ///< [s]; if it grows
  double reduced_frequency = 0; ///< k = ωc/(2V), ω the size of the eigenvalue: of no oscillation, too
  bool quasi_steady = true;     ///< below quasi_steady_limit
  /// Of surge, heave and pitch in the kinetic energy, added mass included, its products of two of them left
  /// out; sum 1.
  std::array<double, 3> share{};
};

/// The modes, fastest first. A place that no force depends on (that along the path always, height far from
/// still surface and wall) gives none. speed V [m/s], chord c [m]: of the reduced frequency. Eigenvalues of
/// the first-order system (Etkin 1972, chapter 6, from memory). Throws Error (run) for a mass that cannot be
/// inverted or a figure that is not finite.
std::vector<Mode> modes(const LongitudinalMotion&, double speed, double chord);

} // namespace vlm
