#pragma once

#include <cstddef>
#include <vector>

#include <vlm/base/vec3.hpp>
#include <vlm/lattice/lattice.hpp>

namespace vlm {

/// How a craft moves through water at rest, and how its axes see it.
struct Motion {
  double speed = 1;  ///< V [m/s]
  double alpha = 0;  ///< angle of attack [rad], nose-up positive
  double beta = 0;   ///< sideslip [rad], positive when water comes from starboard
  Vec3 rates;        ///< p, q, r [rad/s] about ISO 1151 body axes: starboard down, nose up, nose to starboard
  Vec3 moment_point; ///< [m], geometry axes: where speed is taken and rates turn about
};

/// Something that bends or drives the water about a lattice, and to which circulation answers linearly.
/// Water reaches a point r with velocity − rotation × (r − centre) before the lattice acts on it; strips are
/// turned by `turn` per unit of axial velocity.
struct Cause {
  Vec3 velocity;            ///< [m/s], geometry axes
  Vec3 rotation;            ///< of the craft [rad/s], geometry axes
  Vec3 centre;              ///< [m]
  std::vector<double> turn; ///< nose-up angle of each strip times axial velocity [rad·m/s]; empty: none
};

/// Velocity of the undisturbed water at a point [m/s].
Vec3 onset(const Cause&, const Vec3& point);

/// The stream's velocity of a motion [m/s]: V·(cos α cos β, −sin β, sin α cos β).
Vec3 stream_velocity(const Motion&);

/// A whole motion as one cause.
Cause cause_of(const Motion&);

/// Direction of the wake along the stream at an angle of attack [rad].
Vec3 wake_along_stream(double alpha);

/// Velocity [m/s] of the onset along the axis of each source line, at its middle; its strength is in
/// proportion to that.
std::vector<double> axial_onset(const Lattice&, const Cause&);

} // namespace vlm
