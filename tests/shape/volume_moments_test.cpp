#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include <vlm/shape/volume_moments.hpp>

namespace vlm {
namespace {

using std::numbers::pi;

// Of a solid ellipsoid of semi-axes a, b, c: 4/3 π a b c, of which a²/5 and c²/5 (any textbook of mechanics).
TEST(VolumeMoments, OfAnEllipsoidAreThoseOfMechanics) {
  FuselageSize size;
  size.nose = -0.3;
  size.centre = 0.02;
  size.length = 0.7;
  size.width = 0.06;
  size.height = 0.09;
  size.nose_length = size.tail_length = 0.35;
  size.nose_shape = size.tail_shape = EndShape::ellipse;
  const VolumeMoments m = volume_moments(shaped_fuselage(CutShape::elliptical, size));
  const double volume = pi / 6 * 0.7 * 0.06 * 0.09;
  EXPECT_NEAR(m.volume, volume, 1e-6 * volume);
  EXPECT_NEAR(m.centre.x, 0.05, 1e-7);
  EXPECT_NEAR(m.centre.z, 0.02, 1e-12);
  EXPECT_NEAR(m.length, volume / 5 * 0.35 * 0.35, 3e-6 * m.length);
  EXPECT_NEAR(m.height, volume / 5 * 0.045 * 0.045, 3e-6 * m.height);
}

TEST(VolumeMoments, OfABentRectangularBodyAreThoseOfSlices) {
  const Fuselage body{CutShape::rounded_rectangle,
                      {{-0.2, 0, 0, 0.01, 0}, {0.1, 0.05, 0.045, 0, 0.02}, {0.7, 0, 0, 0.02, 0}}};
  const VolumeMoments m = volume_moments(body);
  // Cut into thin strips across.
  const Skin skin(body);
  double volume = 0, x_sum = 0, z_sum = 0, xx = 0, zz = 0;
  const int n = 800;
  for (int i = 0; i < n; ++i) {
    const double theta = (i + 0.5) * pi / n, x = 0.25 - 0.45 * std::cos(theta),
                 dx = 0.45 * std::sin(theta) * pi / n, h = skin.half_height(x);
    for (int k = 0; k < n; ++k) {
      const double z = skin.centre(x) + h * (2 * (k + 0.5) / n - 1),
                   dv = 2 * skin.half_width_at(x, z) * 2 * h / n * dx;
      volume += dv, x_sum += dv * x, z_sum += dv * z, xx += dv * x * x, zz += dv * z * z;
    }
  }
  const double x = x_sum / volume, z = z_sum / volume;
  EXPECT_NEAR(m.volume, volume, 1e-4 * volume);
  EXPECT_NEAR(m.centre.x, x, 1e-4);
  EXPECT_NEAR(m.centre.z, z, 1e-5);
  EXPECT_NEAR(m.length, xx - volume * x * x, 2e-4 * m.length);
  EXPECT_NEAR(m.height, zz - volume * z * z, 2e-4 * m.height);
}

} // namespace
} // namespace vlm
