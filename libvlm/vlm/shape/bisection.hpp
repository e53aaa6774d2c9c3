#pragma once

#include <cmath>

namespace vlm {

/// The last place between two at which a test still holds that holds at `in` and not at `out`, by halving: to
/// a tolerance, or to rounding. The test changes once, or else one of its changes is found.
template <class Test>
double last_holding(const Test& holds, double in, double out, double tolerance = 0) {
  // Sixty halvings leave less than rounding of any length, but of places next to 0.
  for (int i = 0; i < 60 && std::abs(out - in) > tolerance; ++i) {
    const double middle = 0.5 * (in + out);
    if (middle == in || middle == out)
      break;
    (holds(middle) ? in : out) = middle;
  }
  return in;
}

} // namespace vlm
