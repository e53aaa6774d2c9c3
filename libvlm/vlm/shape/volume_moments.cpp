#include <vlm/shape/volume_moments.hpp>

#include <algorithm>
#include <cmath>
#include <numbers>

#include <vlm/shape/quadrature.hpp>

namespace vlm {
namespace {

using std::numbers::pi;

// ∫ z² dA of a cut about its own middle [m⁴].
double spread(const Skin& skin, CutShape shape, double x) {
  const double a = skin.half_width(x), b = skin.half_height(x);
  if (shape == CutShape::elliptical)
    return skin.area(x) * b * b / 4;
  // A rectangle without its corners, strips above and below it, and four quarters of a circle.
  const double r = skin.corner(x), h = b - r;
  return 4.0 / 3 * (a * h * h * h + (a - r) * (b * b * b - h * h * h)) + pi * r * r * (h * h + r * r / 4) +
         8.0 / 3 * h * r * r * r;
}

} // namespace

VolumeMoments volume_moments(const Fuselage& fuselage) {
  const Skin skin(fuselage);
  const double length = skin.tail() - skin.nose();
  const auto place = [&](double theta) { return skin.nose() + length / 2 * (1 - std::cos(theta)); };
  const auto over_body = [&](const auto& function) {
    double sum = 0;
    for (std::size_t i = 0; i + 1 < fuselage.cuts.size(); ++i) {
      const auto theta = [&](const FuselageCut& cut) {
        return std::acos(std::clamp(1 - 2 * (cut.x - skin.nose()) / length, -1.0, 1.0));
      };
      sum += integral([&](double at) { return length / 2 * std::sin(at) * function(place(at)); },
                      theta(fuselage.cuts[i]), theta(fuselage.cuts[i + 1]));
    }
    return sum;
  };
  VolumeMoments m;
  m.volume = over_body([&](double x) { return skin.area(x); });
  m.centre = {over_body([&](double x) { return skin.area(x) * x; }) / m.volume, 0,
              over_body([&](double x) { return skin.area(x) * skin.centre(x); }) / m.volume};
  m.length = over_body([&](double x) { return skin.area(x) * std::pow(x - m.centre.x, 2); });
  m.height = over_body([&](double x) {
    return skin.area(x) * std::pow(skin.centre(x) - m.centre.z, 2) + spread(skin, fuselage.shape, x);
  });
  return m;
}

} // namespace vlm
