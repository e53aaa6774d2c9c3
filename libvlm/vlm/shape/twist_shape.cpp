#include <vlm/shape/twist_shape.hpp>

#include <vlm/shape/interpolation.hpp>

namespace vlm {

TwistShape linear_twist() {
  return {"linear", {0, 1}, {0, 1}, Curve::straight};
}

double value_at(const TwistShape& shape, double fraction) {
  return Interpolant(shape.fraction, shape.value, shape.curve).value(fraction);
}

} // namespace vlm
