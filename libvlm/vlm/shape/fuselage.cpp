#include <vlm/shape/fuselage.hpp>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <string>
#include <utility>

#include <vlm/base/error.hpp>
#include <vlm/shape/millimetres.hpp>
#include <vlm/shape/quadrature.hpp>

namespace vlm {
namespace {

using std::numbers::pi;

constexpr double skin_tolerance = 1e-9; // [m] within which a point is on it

// The angle θ of a place between two ends, to full precision beside both.
double angle_between(double x, double nose, double tail) {
  const auto from_end = [&](double distance) {
    return 2 * std::asin(std::sqrt(std::clamp(distance / (tail - nose), 0.0, 1.0)));
  };
  return x - nose < tail - x ? from_end(x - nose) : pi - from_end(tail - x);
}

void check_cut(const Fuselage& fuselage, std::size_t i) {
  const FuselageCut& cut = fuselage.cuts[i];
  const std::string place = "fuselage, cut " + std::to_string(i + 1) + ": ";
  const std::pair<const char*, double> figures[] = {{"x", cut.x},
                                                    {"width", cut.width},
                                                    {"height", cut.height},
                                                    {"centre", cut.centre},
                                                    {"corner", cut.corner}};
  for (const auto& [name, value] : figures)
    if (!std::isfinite(value))
      throw Error(place + "found a " + name + " that is not finite, wanted a number");
  const auto size = [&] {
    return millimetres(cut.width) + " mm wide and " + millimetres(cut.height) + " mm high";
  };
  const bool end = i == 0 || i + 1 == fuselage.cuts.size();
  if (end && (cut.width != 0 || cut.height != 0))
    throw Error(place + "found an end " + size() +
                ", wanted width and height 0 there, where the body closes");
  if (!end && !(cut.width > 0 && cut.height > 0))
    throw Error(place + "found it " + size() + ", wanted both above 0 between the ends");
  const double most = std::min(cut.width, cut.height) / 2;
  if (fuselage.shape == CutShape::elliptical && cut.corner != 0)
    throw Error(place + "found a corner of " + millimetres(cut.corner) +
                " mm in an ellipse, wanted 0, or rounded rectangles");
  if (cut.corner < 0 || cut.corner > most)
    throw Error(place + "found a corner of " + millimetres(cut.corner) + " mm, wanted 0 to " +
                millimetres(most) + " mm, half of the smaller of width and height");
}

const Fuselage& checked(const Fuselage& fuselage) {
  const auto& cuts = fuselage.cuts;
  if (cuts.size() < 3)
    throw Error("fuselage: found " + std::to_string(cuts.size()) +
                " cuts, wanted at least three: two ends and one between");
  for (std::size_t i = 0; i < cuts.size(); ++i)
    check_cut(fuselage, i);
  const auto theta = [&](std::size_t i) { return angle_between(cuts[i].x, cuts.front().x, cuts.back().x); };
  for (std::size_t i = 1; i < cuts.size(); ++i)
    if (!(cuts[i].x > cuts[i - 1].x && theta(i) > theta(i - 1)))
      throw Error("fuselage, cut " + std::to_string(i + 1) + ": found x = " + millimetres(cuts[i].x) +
                  " mm behind " + millimetres(cuts[i - 1].x) + " mm, wanted x rising from cut to cut");
  return fuselage;
}

// A figure of the cuts, one after the other.
template <typename Figure>
std::vector<double> of_cuts(const std::vector<FuselageCut>& cuts, const Figure& figure) {
  std::vector<double> values;
  for (std::size_t i = 0; i < cuts.size(); ++i)
    values.push_back(figure(i));
  return values;
}

// Corner over half of the smaller of width and height. The ends have the shape of their neighbours.
double corner_share(const std::vector<FuselageCut>& cuts, std::size_t i) {
  const FuselageCut& cut = cuts[std::clamp<std::size_t>(i, 1, cuts.size() - 2)];
  return cut.corner / (std::min(cut.width, cut.height) / 2);
}

// A place on the starboard upper quarter of a contour, from its middle, and the angle of its normal.
struct QuarterPlace {
  double y, z, cosine, sine;
};

QuarterPlace on_ellipse(double half_width, double half_height, double phi) {
  const double y = std::cos(phi), z = std::sin(phi);
  const double ny = half_height * y, nz = half_width * z, length = std::hypot(ny, nz);
  if (length == 0)
    return {0, 0, y, z};
  return {half_width * y, half_height * z, ny / length, nz / length};
}

QuarterPlace on_rounded_rectangle(double half_width, double half_height, double corner, double phi) {
  const double side = half_height - corner, arc = corner * pi / 2, top = half_width - corner;
  const double length = side + arc + top, from_side = length * (phi / (pi / 2));
  if (from_side <= side)
    return {half_width, from_side, 1, 0};
  if (from_side >= side + arc)
    return {length - from_side, half_height, 0, 1};
  const double turn = (from_side - side) / corner, cosine = std::cos(turn), sine = std::sin(turn);
  return {top + corner * cosine, side + corner * sine, cosine, sine};
}

// An angle around the cut as one of the starboard upper quarter and the signs of y and z there.
struct Quarter {
  double phi, y_sign, z_sign;
};

Quarter quarter_of(double phi) {
  phi = std::remainder(phi, 2 * pi);
  const double size = std::abs(phi);
  return {size > pi / 2 ? pi - size : size, size > pi / 2 ? -1.0 : 1.0, phi < 0 ? -1.0 : 1.0};
}

// Size over full size at the angle ψ of t = cos ψ: ψ = 0 is the point, π/2 the full size.
double end_size(EndShape shape, double psi) {
  const double sine = std::sin(psi), half_sine = std::sin(psi / 2);
  switch (shape) {
  case EndShape::ellipse:
    return sine;
  case EndShape::parabola:
    return sine * sine;
  case EndShape::cone:
    return 2 * half_sine * half_sine;
  }
  return 0;
}

void check_size(const FuselageSize& size) {
  const auto number = [](double found, const char* what) {
    if (!std::isfinite(found))
      throw Error(std::string("fuselage: found a ") + what + " that is not finite, wanted a number");
  };
  const auto positive = [&](double found, const char* what) {
    number(found, what);
    if (!(found > 0))
      throw Error(std::string("fuselage: found a ") + what + " of " + millimetres(found) +
                  " mm, wanted one above 0");
  };
  number(size.nose, "nose");
  number(size.centre, "centre");
  number(size.corner, "corner");
  positive(size.length, "length");
  positive(size.width, "width");
  positive(size.height, "height");
  positive(size.nose_length, "nose length");
  positive(size.tail_length, "tail length");
}

} // namespace

Fuselage shaped_fuselage(CutShape shape, const FuselageSize& size) {
  check_size(size);
  const double rounding = 1e-9 * size.length;
  const double middle = size.length - size.nose_length - size.tail_length;
  if (middle < -rounding)
    throw Error("fuselage: found a nose of " + millimetres(size.nose_length) + " mm and a tail of " +
                millimetres(size.tail_length) + " mm, wanted them together at most the length, " +
                millimetres(size.length) + " mm");
  // Beside its greatest and least values the slopes of the cubic are of first order in the step only, so the
  // cuts crowd at the full size; a round point needs none of it, the others have slope 0 there as well.
  constexpr int steps = 80;
  const auto psi = [](EndShape end, int i) {
    const double u = static_cast<double>(i) / steps;
    return pi / 2 * (end == EndShape::ellipse ? u * (2 - u) : u * u * (3 - 2 * u));
  };
  const auto cut = [&](double x, double share) {
    return FuselageCut{x, share * size.width, share * size.height, size.centre, share * size.corner};
  };
  Fuselage result{shape, {}};
  for (int i = 0; i <= steps; ++i) {
    const double angle = psi(size.nose_shape, i), half_sine = std::sin(angle / 2);
    result.cuts.push_back(cut(size.nose + size.nose_length * 2 * half_sine * half_sine,
                              i == steps ? 1 : end_size(size.nose_shape, angle)));
  }
  for (int i = middle > rounding ? steps : steps - 1; i >= 0; --i) {
    const double angle = psi(size.tail_shape, i), half_sine = std::sin(angle / 2);
    result.cuts.push_back(cut(size.nose + size.length - size.tail_length * 2 * half_sine * half_sine,
                              i == steps ? 1 : end_size(size.tail_shape, angle)));
  }
  checked(result);
  return result;
}

Skin::Skin(const Fuselage& fuselage)
    : shape_(checked(fuselage).shape), nose_(fuselage.cuts.front().x), tail_(fuselage.cuts.back().x),
      theta_(of_cuts(fuselage.cuts, [&](std::size_t i) { return theta(fuselage.cuts[i].x); })),
      half_width_(theta_, of_cuts(fuselage.cuts, [&](std::size_t i) { return fuselage.cuts[i].width / 2; }),
                  Curve::smooth),
      half_height_(theta_, of_cuts(fuselage.cuts, [&](std::size_t i) { return fuselage.cuts[i].height / 2; }),
                   Curve::smooth),
      centre_(theta_, of_cuts(fuselage.cuts, [&](std::size_t i) { return fuselage.cuts[i].centre; }),
              Curve::smooth),
      corner_(theta_, of_cuts(fuselage.cuts, [&](std::size_t i) { return corner_share(fuselage.cuts, i); }),
              Curve::smooth) {
  lowest_ = highest_ = fuselage.cuts.front().centre;
  double half_height = 0;
  for (const FuselageCut& cut : fuselage.cuts) {
    widest_ = std::max(widest_, cut.width / 2);
    half_height = std::max(half_height, cut.height / 2);
    lowest_ = std::min(lowest_, cut.centre);
    highest_ = std::max(highest_, cut.centre);
  }
  lowest_ -= half_height;
  highest_ += half_height;
}

bool Skin::well_beside(const Vec3& at) const {
  // The curves between cuts keep between their figures, but for rounding.
  return std::abs(at.y) > widest_ + 2 * skin_tolerance || at.z < lowest_ - 2 * skin_tolerance ||
         at.z > highest_ + 2 * skin_tolerance;
}

double Skin::theta(double x) const {
  return angle_between(x, nose_, tail_);
}

KnotPlace Skin::place(double x) const {
  return knot_place(theta_, theta(x));
}

Skin::Cross Skin::cross_section(const KnotPlace& at) const {
  const double half_width = half_width_.value(at), half_height = half_height_.value(at);
  return {half_width, half_height, centre_.value(at), corner_.value(at) * std::min(half_width, half_height)};
}

Skin::Cross Skin::cross_slope(const KnotPlace& at) const {
  const double half_width = half_width_.value(at), half_height = half_height_.value(at);
  const double width_slope = half_width_.slope(at), height_slope = half_height_.slope(at);
  const double smaller_slope = half_width < half_height ? width_slope : height_slope;
  return {width_slope, height_slope, centre_.slope(at),
          corner_.slope(at) * std::min(half_width, half_height) + corner_.value(at) * smaller_slope};
}

double Skin::half_width(double x) const {
  return cross_section(x).half_width;
}

double Skin::half_height(double x) const {
  return cross_section(x).half_height;
}

double Skin::centre(double x) const {
  return cross_section(x).centre;
}

double Skin::corner(double x) const {
  return cross_section(x).corner;
}

double Skin::flat_width(double x) const {
  const Cross cut = cross_section(x);
  return shape_ == CutShape::elliptical ? 0 : 2 * (cut.half_width - cut.corner);
}

double Skin::area(double x) const {
  const Cross cut = cross_section(x);
  if (shape_ == CutShape::elliptical)
    return pi * cut.half_width * cut.half_height;
  return 4 * cut.half_width * cut.half_height - (4 - pi) * cut.corner * cut.corner;
}

double Skin::perimeter(double x) const {
  const Cross cut = cross_section(x);
  if (shape_ == CutShape::rounded_rectangle)
    return 4 * (cut.half_width + cut.half_height) - (8 - 2 * pi) * cut.corner;
  const auto [small, large] = std::minmax(cut.half_width, cut.half_height);
  if (large == 0)
    return 0;
  // 4 a E(k), k² = 1 − b²/a²: Abramowitz & Stegun, Handbook of Mathematical Functions, 17.3.3 (from memory).
  return 4 * large * std::comp_ellint_2(std::sqrt((1 - small / large) * (1 + small / large)));
}

Vec3 Skin::point(double x, double phi) const {
  const Cross cut = cross_section(x);
  const Quarter quarter = quarter_of(phi);
  const QuarterPlace at =
      shape_ == CutShape::elliptical
          ? on_ellipse(cut.half_width, cut.half_height, quarter.phi)
          : on_rounded_rectangle(cut.half_width, cut.half_height, cut.corner, quarter.phi);
  return {x, quarter.y_sign * at.y, cut.centre + quarter.z_sign * at.z};
}

Vec3 Skin::normal(double x, double phi) const {
  const KnotPlace on_axis = place(x);
  const Cross cut = cross_section(on_axis), slope = cross_slope(on_axis);
  const Quarter quarter = quarter_of(phi);
  // Along the skin, dθ moves a point by dx/dθ aft while the contour moves outward by `growth`, so the normal
  // is that of the contour leaning forward by their ratio.
  QuarterPlace at;
  double growth;
  if (shape_ == CutShape::elliptical) {
    at = on_ellipse(cut.half_width, cut.half_height, quarter.phi);
    growth = slope.half_width * std::cos(quarter.phi) * at.cosine +
             slope.half_height * std::sin(quarter.phi) * at.sine;
  } else {
    at = on_rounded_rectangle(cut.half_width, cut.half_height, cut.corner, quarter.phi);
    growth = (slope.half_width - slope.corner) * at.cosine + (slope.half_height - slope.corner) * at.sine +
             slope.corner;
  }
  growth += quarter.z_sign * at.sine * slope.centre;
  const double run = (tail_ - nose_) / 2 * std::sin(theta(x));
  const Vec3 normal{-growth, quarter.y_sign * run * at.cosine, quarter.z_sign * run * at.sine};
  if (norm(normal) == 0) // at the very end of a pointed body
    return {x - nose_ < tail_ - x ? -1.0 : 1.0, 0, 0};
  return normalized(normal);
}

double Skin::half_width_above(const Cross& cut, double height) const {
  if (shape_ == CutShape::elliptical) {
    const double sine = cut.half_height > 0 ? height / cut.half_height : 1;
    return cut.half_width * std::sqrt((1 - sine) * (1 + sine));
  }
  const double into_corner = std::clamp(height - (cut.half_height - cut.corner), 0.0, cut.corner);
  return cut.half_width - cut.corner + std::sqrt((cut.corner - into_corner) * (cut.corner + into_corner));
}

double Skin::half_width_at(double x, double z) const {
  const Cross cut = cross_section(x);
  const double height = std::abs(z - cut.centre);
  return height > cut.half_height ? 0 : half_width_above(cut, height);
}

bool Skin::contains(const Vec3& at) const {
  if (at.x < nose_ - skin_tolerance || at.x > tail_ + skin_tolerance || well_beside(at))
    return false;
  const Cross cut = cross_section(at.x);
  const double height = std::abs(at.z - cut.centre);
  return height <= cut.half_height + skin_tolerance &&
         std::abs(at.y) <= half_width_above(cut, std::min(height, cut.half_height)) + skin_tolerance;
}

bool Skin::encloses(const Vec3& at) const {
  if (!(at.x > nose_ && at.x < tail_) || well_beside(at))
    return false;
  const Cross cut = cross_section(at.x);
  const double height = std::abs(at.z - cut.centre);
  return height < cut.half_height && std::abs(at.y) <= half_width_above(cut, height);
}

double Skin::angle_at(double x, double z) const {
  const Cross cut = cross_section(x);
  if (cut.half_height == 0)
    return 0;
  const double height = std::min(std::abs(z - cut.centre), cut.half_height);
  const double sign = z < cut.centre ? -1 : 1;
  if (shape_ == CutShape::elliptical)
    return sign * std::asin(height / cut.half_height);
  const double side = cut.half_height - cut.corner;
  const double along_contour =
      height <= side ? height : side + cut.corner * std::asin(std::min((height - side) / cut.corner, 1.0));
  const double length = side + cut.corner * pi / 2 + cut.half_width - cut.corner;
  return sign * pi / 2 * (along_contour / length);
}

FuselageFigures fuselage_figures(const Fuselage& fuselage) {
  const Skin skin(fuselage);
  FuselageFigures figures;
  figures.length = skin.tail() - skin.nose();
  for (const FuselageCut& cut : fuselage.cuts) {
    figures.width = std::max(figures.width, cut.width);
    figures.height = std::max(figures.height, cut.height);
  }

  // Skin at x per dx/dθ and dθ: the contour's length, each piece lengthened by the slope of the skin there.
  const auto skin_per_step = [&](double x) {
    const double half_width = skin.half_width(x), half_height = skin.half_height(x), corner = skin.corner(x);
    const double quarter = half_width + half_height - (2 - pi / 2) * corner;
    const auto piece = [&](double phi) {
      const Vec3 normal = skin.normal(x, phi);
      const double contour = fuselage.shape == CutShape::elliptical
                                 ? std::hypot(half_width * std::sin(phi), half_height * std::cos(phi))
                                 : quarter / (pi / 2);
      return contour / std::hypot(normal.y, normal.z);
    };
    // Smooth between these: the ends of the round corner, or for an ellipse just halves.
    const double side_share = fuselage.shape == CutShape::elliptical ? 0.5 : (half_height - corner) / quarter;
    const double top_share = fuselage.shape == CutShape::elliptical ? 0.5 : (half_width - corner) / quarter;
    const double low = pi / 2 * side_share, high = pi / 2 * (1 - top_share);
    double sum = 0;
    for (const double side : {-1.0, 1.0}) // below and above the middle
      for (const auto& [from, to] : {std::pair{0.0, low}, {low, high}, {high, pi / 2}})
        if (to > from)
          sum += integral([&](double phi) { return piece(side * phi); }, from, to);
    return 2 * sum; // starboard and port
  };

  const auto theta = [&](const FuselageCut& cut) { return angle_between(cut.x, skin.nose(), skin.tail()); };
  const auto place = [&](double at) { // from the nearer end, as exactly as it can be
    const double half_sine = std::sin(at / 2), half_cosine = std::cos(at / 2);
    return at < pi / 2 ? skin.nose() + figures.length * half_sine * half_sine
                       : skin.tail() - figures.length * half_cosine * half_cosine;
  };
  for (std::size_t i = 0; i + 1 < fuselage.cuts.size(); ++i) {
    const double from = theta(fuselage.cuts[i]), to = theta(fuselage.cuts[i + 1]);
    const auto over_x = [&](const auto& function) {
      return integral([&](double at) { return figures.length / 2 * std::sin(at) * function(place(at)); },
                      from, to);
    };
    figures.volume += over_x([&](double x) { return skin.area(x); });
    figures.wetted_area += over_x(skin_per_step);
    // Width may rise where height falls, so that the greatest area lies between two cuts.
    constexpr int samples = 16;
    for (int k = 0; k <= samples; ++k)
      figures.frontal_area =
          std::max(figures.frontal_area, skin.area(place(from + (to - from) * k / samples)));
  }
  return figures;
}

} // namespace vlm
