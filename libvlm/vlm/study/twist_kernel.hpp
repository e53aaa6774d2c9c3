#pragma once

#include <cstddef>

namespace vlm {

struct Responses;

/// Settings that a kernel takes at once, so that all it holds of them stays in the nearest cache.
constexpr std::size_t twist_block = 64;

/// Loads that a twist study needs of a setting.
enum TwistLoad { load_x, load_z, load_pitch, load_drag, load_surface_x, load_surface_z, num_twist_loads };

/// Loads over c² = cos²α, quadratic in (1, t, a, b): t = tan α, and the amplitudes a and b of two turns
/// [rad]. Coefficients of 1, t, t², a, b, a², ab, b², ta and tb.
struct TwistForms {
  double q[num_twist_loads][10];
};

/// What makes figures of loads.
struct TwistScales {
  double force, moment;    ///< loads at V = 1 m/s over coefficients [N, N·m]
  double about_x, about_z; ///< moment point [m]
  double chord;            ///< of the reference [m]
  double no_force;         ///< coefficient below which a force counts as none
};

/// A block of settings and what they come to, an array each.
struct TwistBlock {
  double a[twist_block], b[twist_block];      ///< amplitudes of the turns [rad]
  double t[twist_block], zero_t[twist_block]; ///< at the angle of attack that carries the lift, and of none
  /// Figures as in TwistPoint.
  ///@{
  double alpha[twist_block], lift_slope[twist_block], zero_lift_moment[twist_block],
      pitching_moment[twist_block], static_margin[twist_block], centre_of_lift[twist_block],
      neutral_point[twist_block], surface_lift[twist_block], induced_drag[twist_block],
      near_drag_excess[twist_block], peak[twist_block], peak_strip[twist_block];
  ///@}
  double has_centre[twist_block], has_neutral[twist_block]; ///< 1 or 0: whether there is one, as in Balance
};

/// One implementation, for one kind of processor. Plain pointers, for code compiled for newer processors must
/// not share a template with the rest. All give the same bits: none fuses or reorders anything.
struct TwistKernel {
  const char* name;

  /// Loads at count settings: t, a and b [count] as above, result: an array [count] for each load.
  void (*loads)(const TwistForms&, const double* t, const double* a, const double* b, std::size_t count,
                double* const* result);

  /// Newton's method in t from 0 at the turns of a block, all settings side by side: into t where a lift [N
  /// at V = 1 m/s] is carried, and into found 1 or 0; where it is 0, a search with more care may still find
  /// it.
  void (*seek)(const TwistForms&, double lift, const TwistBlock&, double* t, double* found);

  /// All figures of a block but the peaks, from turns and both t.
  void (*evaluate)(const TwistForms&, const TwistScales&, TwistBlock&);

  /// The peaks of a block: of all strips the greatest amount, with its sign, of strip·(1, t, a, b) cos α, the
  /// first of equals. strips: [num_strips × 4].
  void (*find_peaks)(const double* strips, std::size_t num_strips, TwistBlock&);
};

/// Forms of the responses of a twist study of a surface.
TwistForms twist_forms(const Responses&, std::size_t surface);

/// The kernel in use, chosen as flow_kernel is.
const TwistKernel& twist_kernel();

/// The kernel of that name; null if there is none or this processor cannot run it.
const TwistKernel* find_twist_kernel(const char* name);

} // namespace vlm
