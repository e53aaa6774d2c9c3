#pragma once

#include <cstddef>

#include <vlm/study/twist_kernel.hpp>

namespace bench {

/// What a program of nobody's would do: one loop over settings t, a and b [count] with plain quadratic forms.
/// Compiled with the flags of the library's kernel of that name.
struct BareLoops {
  const char* name;

  /// The six loads of each setting.
  void (*loads)(const vlm::TwistForms&, const double* t, const double* a, const double* b, std::size_t count,
                double* const* result);

  /// Five steps of Newton's method to the angle of attack that carries a lift, and to that of no lift; there
  /// the angle, the loads, the lift's slope, both moments, centre of lift, neutral point and static margin.
  void (*trimmed)(const vlm::TwistForms&, double lift, const double* a, const double* b, std::size_t count,
                  double* const* result);
};

/// Of trimmed.
constexpr std::size_t num_trimmed_figures = 13;

/// Those compiled like vlm::twist_kernel().
const BareLoops& bare_loops();

} // namespace bench
