#include <vlm/shape/twist_shape.hpp>

#include <vlm/base/error.hpp>
#include <vlm/shape/interpolation.hpp>

namespace vlm {

TwistShape linear_twist() {
  return {"linear", {0, 1}, {0, 1}, Curve::straight};
}

double value_at(const TwistShape& shape, double fraction) {
  if (shape.fraction.size() < 2 || shape.value.size() != shape.fraction.size())
    throw Error("twist shape '" + shape.name + "': found " + std::to_string(shape.fraction.size()) +
                " fractions and " + std::to_string(shape.value.size()) +
                " values, wanted as many, two or more");
  return interpolated(shape.fraction, shape.value, shape.curve, fraction);
}

} // namespace vlm
