#pragma once

#include <string>
#include <vector>

#include <vlm/shape/surface.hpp>

namespace vlm {

/// A spanwise shape of twist, for a study to scale.
struct TwistShape {
  std::string name; ///< for output
  /// Places as fractions of the semispan [-], rising from 0 at the root (the middle of the front-view arc) to
  /// 1 at either tip.
  std::vector<double> fraction;
  std::vector<double> value;     ///< twist there over the amplitude [-]
  Curve curve = Curve::straight; ///< between them

  friend bool operator==(const TwistShape&, const TwistShape&) = default;
};

/// Twist that grows in proportion to the distance from the root: 0 there, the amplitude at the tips.
TwistShape linear_twist();

/// Value [-] of a shape at a fraction of the semispan in [0, 1]. Throws Error for fewer than two places or
/// not as many values.
double value_at(const TwistShape&, double fraction);

} // namespace vlm
