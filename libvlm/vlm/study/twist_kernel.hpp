#pragma once

#include <cstddef>

namespace vlm {

/// Settings that a kernel takes at once, so that all it holds of them stays in the nearest cache.
constexpr std::size_t twist_block = 64;

/// Loads that a twist study needs of a setting.
enum TwistLoad { load_x, load_z, load_pitch, load_drag, load_surface_x, load_surface_z, num_twist_loads };

/// Loads over c² = cos²α, quadratic in (1, t, a, b): t = tan α, and the amplitudes a and b of two turns
/// [rad]. Coefficients of 1, t, t², a, b, a², ab, b², ta and tb.
struct TwistForms {
  double q[num_twist_loads][10];
};

/// A block of settings and what they come to, an array each.
struct TwistBlock {
  double a[twist_block], b[twist_block];      ///< amplitudes of the turns [rad]
  double t[twist_block], zero_t[twist_block]; ///< at the angle of attack that carries the lift, and of none
  double alpha[twist_block], cosine[twist_block]; ///< of the former
  double load[num_twist_loads][twist_block];      ///< there [N, N·m at V = 1 m/s]
  double slope[3][twist_block];                   ///< there, of x, z and pitch with angle of attack [per rad]
  double zero_pitch[twist_block];                 ///< pitch at the latter angle
  double peak[twist_block], peak_strip[twist_block]; ///< of find_peaks, and its strip's number
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

  /// All of a block but the peaks, from turns and both t.
  void (*evaluate)(const TwistForms&, TwistBlock&);

  /// Of all strips the greatest amount, with its sign, of cosine times strip·(1, t, a, b), the first of
  /// equals. strips: [num_strips × 4].
  void (*find_peaks)(const double* strips, std::size_t num_strips, TwistBlock&);
};

/// The kernel in use, chosen as line_kernel is.
const TwistKernel& twist_kernel();

/// The kernel of that name; null if there is none or this processor cannot run it.
const TwistKernel* find_twist_kernel(const char* name);

} // namespace vlm
