#pragma once

#include <string>
#include <vector>

#include <vlm/shape/surface.hpp>

namespace vlm {

/// A spanwise shape of twist, for a study to scale.
struct TwistShape {
  std::string name;
  /// Twist relative to the amplitude [-] at fractions of the semispan, 0 at the root (the middle of the
  /// front-view arc) and 1 at either tip. Fractions rise from 0 to 1.
  std::vector<double> fraction, value;
  Curve curve = Curve::straight;

  friend bool operator==(const TwistShape&, const TwistShape&) = default;
};

/// Twist that grows in proportion to the distance from the root: 0 there, the amplitude at the tips.
TwistShape linear_twist();

/// Value [-] of a shape at a fraction of the semispan in [0, 1].
double value_at(const TwistShape&, double fraction);

} // namespace vlm
