#include <algorithm>
#include <cmath>
#include <numbers>
#include <vlm/shape/fuselage.hpp>
namespace vlm {
using std::numbers::pi;
static std::vector<double> th(const Fuselage& f) {
  std::vector<double> t;
  double a = f.cuts.front().x, b = f.cuts.back().x;
  for (auto& c : f.cuts)
    t.push_back(std::acos(std::clamp(1 - 2 * (c.x - a) / (b - a), -1.0, 1.0)));
  return t;
}
template <class F>
static std::vector<double> col(const Fuselage& f, F g) {
  std::vector<double> t;
  for (auto& c : f.cuts)
    t.push_back(g(c));
  return t;
}
Fuselage shaped_fuselage(CutShape s, const FuselageSize& z) {
  Fuselage f;
  f.shape = s;
  int n = 400;
  auto r = [&](EndShape e, double t) {
    return e == EndShape::ellipse    ? std::sqrt(std::max(0.0, 1 - t * t))
           : e == EndShape::parabola ? 1 - t * t
                                     : 1 - t;
  };
  for (int i = 0; i <= n; ++i) {
    double x = 0.5 * z.length * (1 - std::cos(i * pi / n));
    double k = 1;
    if (x < z.nose_length)
      k = r(z.nose_shape, 1 - x / z.nose_length);
    else if (x > z.length - z.tail_length)
      k = r(z.tail_shape, (x - (z.length - z.tail_length)) / z.tail_length);
    if (i == 0 || i == n)
      k = 0;
    f.cuts.push_back({z.nose + x, z.width * k, z.height * k, z.centre, 0});
  }
  return f;
}
Skin::Skin(const Fuselage& f)
    : shape_(f.shape), nose_(f.cuts.front().x), tail_(f.cuts.back().x),
      half_width_(th(f), col(f, [](auto& c) { return c.width / 2; }), Curve::smooth),
      half_height_(th(f), col(f, [](auto& c) { return c.height / 2; }), Curve::smooth),
      centre_(th(f), col(f, [](auto& c) { return c.centre; }), Curve::smooth),
      corner_(th(f), col(f, [](auto&) { return 0.0; }), Curve::smooth) {}
double Skin::theta(double x) const {
  return std::acos(std::clamp(1 - 2 * (x - nose_) / (tail_ - nose_), -1.0, 1.0));
}
double Skin::half_width(double x) const {
  return x <= nose_ || x >= tail_ ? 0 : half_width_.value(theta(x));
}
double Skin::half_height(double x) const {
  return x <= nose_ || x >= tail_ ? 0 : half_height_.value(theta(x));
}
double Skin::centre(double x) const {
  return centre_.value(theta(x));
}
double Skin::area(double x) const {
  return pi * half_width(x) * half_height(x);
}
double Skin::perimeter(double x) const {
  double a = half_width(x), b = half_height(x);
  double s = 0;
  int n = 400;
  for (int i = 0; i < n; ++i) {
    double p = 2 * pi * (i + .5) / n;
    s += std::hypot(a * std::sin(p), b * std::cos(p)) * 2 * pi / n;
  }
  return s;
}
Vec3 Skin::point(double x, double p) const {
  return {x, half_width(x) * std::cos(p), centre(x) + half_height(x) * std::sin(p)};
}
Vec3 Skin::normal(double x, double p) const {
  double t = theta(x), dt = 2 / ((tail_ - nose_) * std::sin(t));
  double a = half_width(x), b = half_height(x), da = half_width_.slope(t) * dt,
         db = half_height_.slope(t) * dt, dc = centre_.slope(t) * dt;
  Vec3 u{1, da * std::cos(p), dc + db * std::sin(p)}, v{0, -a * std::sin(p), b * std::cos(p)};
  return normalized(cross(v, u));
}
double Skin::half_width_at(double x, double z) const {
  double b = half_height(x);
  double r = (z - centre(x)) / b;
  return b <= 0 || std::abs(r) >= 1 ? 0 : half_width(x) * std::sqrt(1 - r * r);
}
double Skin::angle_at(double x, double z) const {
  double b = half_height(x);
  return std::asin(std::clamp((z - centre(x)) / b, -1.0, 1.0));
}
FuselageFigures fuselage_figures(const Fuselage&) {
  return {};
}
} // namespace vlm
