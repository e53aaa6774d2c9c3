#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <numbers>

#include <vlm/base/error.hpp>
#include <vlm/shape/fuselage.hpp>

namespace vlm {
namespace {

using std::numbers::pi;

FuselageSize half_and_half(double length, double width, double height, EndShape nose, EndShape tail) {
  FuselageSize size;
  size.nose = -0.3;
  size.centre = 0.02;
  size.length = length;
  size.width = width;
  size.height = height;
  size.nose_shape = nose;
  size.tail_shape = tail;
  size.nose_length = size.tail_length = length / 2;
  return size;
}

Fuselage ellipsoid(double length, double width, double height) {
  return shaped_fuselage(CutShape::elliptical,
                         half_and_half(length, width, height, EndShape::ellipse, EndShape::ellipse));
}

// A body whose width, height, centre and corners all vary, each in its own way.
Fuselage bent(CutShape shape) {
  const double corner = shape == CutShape::elliptical ? 0 : 1;
  return {shape,
          {{-0.2, 0, 0, 0.01, 0},
           {-0.1, 0.03, 0.04, 0.005, 0.004 * corner},
           {0.1, 0.05, 0.045, 0, 0.02 * corner},
           {0.4, 0.03, 0.025, 0.01, 0.003 * corner},
           {0.7, 0, 0, 0.02, 0}}};
}

// Normal by finite differences of the skin's points.
Vec3 difference_normal(const Skin& skin, double x, double phi) {
  const double dx = 1e-6, dphi = 1e-6;
  const Vec3 aft = skin.point(x + dx, phi) - skin.point(x - dx, phi);
  const Vec3 around = skin.point(x, phi + dphi) - skin.point(x, phi - dphi);
  return normalized(cross(around, aft));
}

std::string refusal(const Fuselage& fuselage) {
  try {
    Skin skin(fuselage);
  } catch (const Error& error) {
    return error.what();
  }
  return "";
}

TEST(Fuselage, OfTwoEllipticEndsIsAnEllipsoid) {
  const double a = 0.35, b = 0.03, c = 0.045;
  const Skin skin(ellipsoid(2 * a, 2 * b, 2 * c));
  EXPECT_DOUBLE_EQ(skin.nose(), -0.3);
  EXPECT_DOUBLE_EQ(skin.tail(), 0.4);
  for (int i = 1; i < 200; ++i) {
    const double s = -1 + i / 100.0, x = 0.05 + a * s, share = std::sqrt(1 - s * s);
    EXPECT_NEAR(skin.half_width(x), b * share, 1e-6 * b) << x;
    EXPECT_NEAR(skin.half_height(x), c * share, 1e-6 * c) << x;
    for (const double phi : {-3.0, -1.2, 0.0, 0.4, 1.5, 2.5}) {
      const Vec3 exact = normalized({s / a, share * std::cos(phi) / b, share * std::sin(phi) / c});
      EXPECT_LT(norm(skin.normal(x, phi) - exact), 1e-4) << x << ' ' << phi;
    }
  }
}

TEST(FuselageFigures, HaveTheVolumeOfAnEllipsoid) {
  const FuselageFigures figures = fuselage_figures(ellipsoid(0.7, 0.06, 0.09));
  const double volume = 4.0 / 3 * pi * 0.35 * 0.03 * 0.045;
  EXPECT_NEAR(figures.volume, volume, 1e-6 * volume);
  EXPECT_DOUBLE_EQ(figures.length, 0.7);
  EXPECT_DOUBLE_EQ(figures.width, 0.06);
  EXPECT_DOUBLE_EQ(figures.height, 0.09);
  EXPECT_NEAR(figures.frontal_area, pi * 0.03 * 0.045, 1e-12);
}

TEST(FuselageFigures, HaveTheSkinOfSpheroidsLongAndFlat) {
  const double a = 0.35, b = 0.04, e = std::sqrt(1 - b * b / (a * a));
  const double long_skin = 2 * pi * b * b * (1 + a / (b * e) * std::asin(e));
  EXPECT_NEAR(fuselage_figures(ellipsoid(2 * a, 2 * b, 2 * b)).wetted_area, long_skin, 1e-6 * long_skin);
  // A disc on edge: axis of turning across the stream.
  const double flat = std::sqrt(1 - 0.25);
  const double disc = 2 * pi * 0.2 * 0.2 * (1 + (1 - flat * flat) / flat * std::atanh(flat));
  EXPECT_NEAR(fuselage_figures(ellipsoid(0.4, 0.2, 0.4)).wetted_area, disc, 1e-6 * disc);
}

TEST(FuselageFigures, OfTwoConesAreThoseOfCones) {
  const double r = 0.03, h = 0.25;
  const FuselageFigures figures = fuselage_figures(shaped_fuselage(
      CutShape::elliptical, half_and_half(2 * h, 2 * r, 2 * r, EndShape::cone, EndShape::cone)));
  const double volume = 2.0 / 3 * pi * r * r * h, skin = 2 * pi * r * std::hypot(r, h);
  EXPECT_NEAR(figures.volume, volume, 1e-5 * volume);
  EXPECT_NEAR(figures.wetted_area, skin, 1e-5 * skin);
}

TEST(FuselageFigures, OfACylinderWithParabolicEndsAreThoseOfItsParts) {
  FuselageSize size = half_and_half(0.6, 0.05, 0.05, EndShape::parabola, EndShape::parabola);
  size.nose_length = 0.1;
  size.tail_length = 0.2;
  const FuselageFigures figures = fuselage_figures(shaped_fuselage(CutShape::elliptical, size));
  // ∫ (1 − t²)² dt = 8/15.
  const double volume = pi * 0.025 * 0.025 * (0.3 + 0.3 * 8.0 / 15);
  EXPECT_NEAR(figures.volume, volume, 1e-5 * volume);
  // Skin of a parabola turned about its chord, radius R(1 − t²), by quadrature of the closed integrand.
  const auto end = [](double radius, double length) {
    double sum = 0;
    const int n = 20000;
    for (int i = 0; i < n; ++i) {
      const double t = (i + 0.5) / n;
      sum += 2 * pi * radius * (1 - t * t) * std::hypot(length, 2 * radius * t) / n;
    }
    return sum;
  };
  const double skin = 2 * pi * 0.025 * 0.3 + end(0.025, 0.1) + end(0.025, 0.2);
  EXPECT_NEAR(figures.wetted_area, skin, 1e-5 * skin);
}

TEST(Fuselage, HasTheAreaAndPerimeterOfItsCuts) {
  const Skin square(bent(CutShape::rounded_rectangle));
  EXPECT_NEAR(square.area(0.1), 0.05 * 0.045 - (4 - pi) * 0.02 * 0.02, 1e-15);
  EXPECT_NEAR(square.perimeter(0.1), 2 * (0.01 + 0.005) + 2 * pi * 0.02, 1e-14);
  EXPECT_NEAR(square.flat_width(0.1), 0.01, 1e-15);
  const Skin round(bent(CutShape::elliptical));
  EXPECT_NEAR(round.area(0.4), pi * 0.015 * 0.0125, 1e-15);
  EXPECT_EQ(round.flat_width(0.4), 0);
  const Skin circle(ellipsoid(0.5, 0.04, 0.04));
  EXPECT_NEAR(circle.perimeter(-0.05), pi * 0.04, 1e-14);
  // Half axes 2 and 1: perimeter 9.688448220547675 (from memory, and by the sum of chords below).
  const Skin ellipse(ellipsoid(0.5, 0.04, 0.02));
  EXPECT_NEAR(ellipse.perimeter(-0.05), 0.01 * 9.688448220547675, 1e-13);
  double chords = 0;
  for (int i = 0; i < 2000; ++i)
    chords += norm(ellipse.point(-0.05, (i + 1) * pi / 1000) - ellipse.point(-0.05, i * pi / 1000));
  EXPECT_NEAR(chords, ellipse.perimeter(-0.05), 1e-6 * chords);
}

TEST(FuselageFigures, OfABodyOfSquareCutsGrowWithTheirAreas) {
  FuselageSize size = half_and_half(0.8, 0.05, 0.03, EndShape::parabola, EndShape::parabola);
  size.nose_length = size.tail_length = 0.1;
  size.corner = 0.01;
  const FuselageFigures figures = fuselage_figures(shaped_fuselage(CutShape::rounded_rectangle, size));
  const double area = 0.05 * 0.03 - (4 - pi) * 1e-4;
  EXPECT_NEAR(figures.frontal_area, area, 1e-12);
  EXPECT_NEAR(figures.volume, area * (0.6 + 0.2 * 8.0 / 15), 1e-8);
  // The sides of the ends lean by 0.5 at most, top and bottom by 0.3.
  const double perimeter = 2 * (0.03 + 0.01) + 2 * pi * 0.01, plain = perimeter * (0.6 + 0.2 * 2.0 / 3);
  EXPECT_GT(figures.wetted_area, 1.001 * plain);
  EXPECT_LT(figures.wetted_area, perimeter * (0.6 + 0.2 * 2.0 / 3 * std::sqrt(1 + 0.25 + 0.09)));
}

TEST(Fuselage, NormalsStandOnItsSkin) {
  for (const CutShape shape : {CutShape::elliptical, CutShape::rounded_rectangle}) {
    const Skin skin(bent(shape));
    for (const double x : {-0.19, -0.13, 0.0, 0.2, 0.55, 0.69})
      for (const double phi : {-3.1, -2.3, -1.6, -0.8, -0.1, 0.05, 0.7, 0.9, 1.5, 2.4}) {
        const Vec3 normal = skin.normal(x, phi);
        EXPECT_NEAR(norm(normal), 1, 1e-14);
        EXPECT_LT(norm(normal - difference_normal(skin, x, phi)), 1e-6) << x << ' ' << phi;
        EXPECT_GT(dot(normal, skin.point(x, phi) - Vec3{x, 0, skin.centre(x)}), 0) << x << ' ' << phi;
      }
  }
}

TEST(Fuselage, HeightsLeadBackToAnglesAndWidths) {
  for (const CutShape shape : {CutShape::elliptical, CutShape::rounded_rectangle}) {
    const Skin skin(bent(shape));
    for (const double x : {-0.19, 0.0, 0.3, 0.69})
      for (const double phi : {-1.2, -0.7, -0.1, 0.0, 0.3, 0.8}) {
        const Vec3 at = skin.point(x, phi);
        if (std::abs(at.z - skin.centre(x)) > (1 - 1e-9) * skin.half_height(x))
          continue; // a flat top, where many angles have one height
        EXPECT_NEAR(skin.angle_at(x, at.z), phi, 1e-10) << x;
        EXPECT_NEAR(skin.half_width_at(x, at.z), at.y, 1e-12) << x;
      }
    EXPECT_EQ(skin.half_width_at(0.1, 0.03), 0);
    EXPECT_EQ(skin.angle_at(0.1, -1), -skin.angle_at(0.1, 1));
  }
  EXPECT_DOUBLE_EQ(Skin(bent(CutShape::elliptical)).angle_at(0.1, 1), pi / 2);
}

TEST(Fuselage, ContainsWhatLiesWithinItsSkin) {
  for (const CutShape shape : {CutShape::elliptical, CutShape::rounded_rectangle}) {
    const Skin skin(bent(shape));
    for (const double x : {-0.15, 0.0, 0.3, 0.65})
      for (const double phi : {-3.0, -pi / 2, -0.4, 0.0, 0.8, 2.0}) {
        const Vec3 on = skin.point(x, phi), middle{x, 0, skin.centre(x)};
        EXPECT_TRUE(skin.contains(on)) << x << ' ' << phi;
        EXPECT_TRUE(skin.contains(middle + 0.99 * (on - middle))) << x << ' ' << phi;
        EXPECT_FALSE(skin.contains(middle + 1.001 * (on - middle))) << x << ' ' << phi;
      }
    EXPECT_FALSE(skin.contains({skin.nose() - 1e-6, 0, 0.01}));
    EXPECT_FALSE(skin.contains({skin.tail() + 1e-6, 0, 0.02}));
  }
}

TEST(Fuselage, IsFiniteAtItsEnds) {
  for (const EndShape end : {EndShape::ellipse, EndShape::parabola, EndShape::cone})
    for (const CutShape shape : {CutShape::elliptical, CutShape::rounded_rectangle}) {
      const Skin skin(shaped_fuselage(shape, half_and_half(0.7, 0.06, 0.04, end, end)));
      for (const double from_end : {-0.1, 0.0, 1e-17, 1e-12, 1e-6})
        for (const double x : {skin.nose() + from_end, skin.tail() - from_end})
          for (const double phi : {-3.0, 0.0, 1.0, pi / 2}) {
            EXPECT_TRUE(std::isfinite(norm(skin.point(x, phi)))) << x << ' ' << phi;
            EXPECT_NEAR(norm(skin.normal(x, phi)), 1, 1e-12) << x << ' ' << phi;
            EXPECT_TRUE(std::isfinite(skin.half_width_at(x, 0.02))) << x;
            EXPECT_TRUE(std::isfinite(skin.angle_at(x, 0.021))) << x;
            EXPECT_TRUE(std::isfinite(skin.perimeter(x))) << x;
          }
      EXPECT_EQ(skin.half_width(skin.nose() - 0.1), 0);
      EXPECT_EQ(skin.area(skin.tail() + 0.1), 0);
      EXPECT_LT(skin.normal(skin.nose() + 1e-9, 0.3).x, 0);
      EXPECT_GT(skin.normal(skin.tail() - 1e-9, 0.3).x, 0);
    }
}

TEST(Fuselage, RefusesWhatIsNoClosedBody) {
  Fuselage body = bent(CutShape::rounded_rectangle);
  body.cuts[2].x = -0.1;
  EXPECT_EQ(refusal(body),
            "fuselage, cut 3: found x = -100 mm behind -100 mm, wanted x rising from cut to cut");
  body = bent(CutShape::rounded_rectangle);
  body.cuts.back().width = 0.01;
  EXPECT_EQ(refusal(body),
            "fuselage, cut 5: found an end 10 mm wide and 0 mm high, wanted width and height 0 "
            "there, where the body closes");
  body = bent(CutShape::rounded_rectangle);
  body.cuts[1].height = 0;
  EXPECT_EQ(refusal(body),
            "fuselage, cut 2: found it 30 mm wide and 0 mm high, wanted both above 0 between the ends");
  body = bent(CutShape::rounded_rectangle);
  body.cuts[1].corner = 0.016;
  EXPECT_EQ(refusal(body),
            "fuselage, cut 2: found a corner of 16 mm, wanted 0 to 15 mm, half of the smaller of "
            "width and height");
  body.shape = CutShape::elliptical;
  EXPECT_EQ(refusal(body), "fuselage, cut 2: found a corner of 16 mm in an ellipse, wanted 0, or rounded "
                           "rectangles");
  body.cuts[1].centre = std::numeric_limits<double>::infinity();
  EXPECT_EQ(refusal(body), "fuselage, cut 2: found a centre that is not finite, wanted a number");
  body.cuts.resize(2);
  EXPECT_EQ(refusal(body), "fuselage: found 2 cuts, wanted at least three: two ends and one between");
}

TEST(Fuselage, OfASizeRefusesEndsLongerThanItself) {
  FuselageSize size = half_and_half(0.7, 0.06, 0.04, EndShape::ellipse, EndShape::cone);
  size.tail_length = 0.4;
  EXPECT_THROW(shaped_fuselage(CutShape::elliptical, size), Error);
  size.tail_length = 0;
  EXPECT_THROW(shaped_fuselage(CutShape::elliptical, size), Error);
  size = half_and_half(0.7, 0.06, -0.04, EndShape::ellipse, EndShape::cone);
  EXPECT_THROW(shaped_fuselage(CutShape::elliptical, size), Error);
}

} // namespace
} // namespace vlm
