#include <vlm/shape/section.hpp>

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include <vlm/base/error.hpp>
#include <vlm/shape/interpolation.hpp>
#include <vlm/shape/quadrature.hpp>

namespace vlm {
namespace {

using std::numbers::pi;

double height(const ParabolicMeanLine& line, double x) {
  const double p = line.position;
  return x < p ? line.camber / (p * p) * x * (2 * p - x)
               : line.camber / ((1 - p) * (1 - p)) * (1 - x) * (1 + x - 2 * p);
}

double slope(const ParabolicMeanLine& line, double x) {
  const double p = line.position, length = x < p ? p : 1 - p;
  return 2 * line.camber / (length * length) * (p - x);
}

// The plain line is the reflexed one with k2 = 0.
double height(const CubicMeanLine& line, double x) {
  const double m = line.m, ratio = line.k2_over_k1, d = x - m;
  const double bend = x < m ? d * d * d : ratio * d * d * d;
  return line.k1 / 6 * (bend - ratio * (1 - m) * (1 - m) * (1 - m) * x + m * m * m * (1 - x));
}

double slope(const CubicMeanLine& line, double x) {
  const double m = line.m, ratio = line.k2_over_k1, d = x - m;
  const double bend = x < m ? 3 * d * d : 3 * ratio * d * d;
  return line.k1 / 6 * (bend - ratio * (1 - m) * (1 - m) * (1 - m) - m * m * m);
}

// The limits of x·ln|x| and x²·ln|x| at 0 are 0.
double x_log(double x) {
  return x == 0 ? 0 : x * std::log(std::abs(x));
}
double x2_log(double x) {
  return x * x_log(x);
}

// The constants g and h of Abbott & von Doenhoff's formula.
double uniform_load_g(double a) {
  return -(a * x_log(a) / 2 - a * a / 4 + 0.25) / (1 - a);
}
double uniform_load_h(double a) {
  return (x2_log(1 - a) / 2 - (1 - a) * (1 - a) / 4) / (1 - a) + uniform_load_g(a);
}

double height(const UniformLoadMeanLine& line, double x) {
  const double a = line.a, ahead = a - x, behind = 1 - x;
  const double load = (x2_log(ahead) - x2_log(behind)) / 2 + (behind * behind - ahead * ahead) / 4;
  const double shape = load / (1 - a) - x_log(x) + uniform_load_g(a) - uniform_load_h(a) * x;
  return line.design_lift / (2 * pi * (a + 1)) * shape;
}

double slope(const UniformLoadMeanLine& line, double x) {
  const double a = line.a;
  const double shape = (x_log(1 - x) - x_log(a - x)) / (1 - a) - std::log(x) - 1 - uniform_load_h(a);
  return line.design_lift / (2 * pi * (a + 1)) * shape;
}

double height(const SampledMeanLine& line, double x) {
  return interpolated(line.x, line.z, Curve::smooth, x);
}
double slope(const SampledMeanLine& line, double x) {
  return interpolated_slope(line.x, line.z, Curve::smooth, x);
}

// ∫ slope·(1 − cos θ) dθ over mean lines that are polynomials between the places given.
double zero_lift_integral(const auto& line, const std::vector<double>& places) {
  const auto theta = [](double x) { return std::acos(1 - 2 * x); };
  double sum = 0;
  for (std::size_t k = 0; k + 1 < places.size(); ++k)
    sum += integral(
        [&](double t) {
          const double c = std::cos(t);
          return slope(line, (1 - c) / 2) * (1 - c);
        },
        theta(places[k]), theta(places[k + 1]));
  return sum;
}

double zero_lift(const ParabolicMeanLine& line) {
  return zero_lift_integral(line, {0, line.position, 1}) / pi;
}
double zero_lift(const CubicMeanLine& line) {
  return zero_lift_integral(line, {0, line.m, 1}) / pi;
}
double zero_lift(const SampledMeanLine& line) {
  return zero_lift_integral(line, line.x) / pi;
}

// The ideal angle -h·design_lift/(2π(a + 1)), where the lift is the design lift, less that lift over 2π.
double zero_lift(const UniformLoadMeanLine& line) {
  return -line.design_lift / (2 * pi) * (uniform_load_h(line.a) / (line.a + 1) + 1);
}

void require(bool sound, const char* fault) {
  if (!sound)
    throw Error(fault);
}

void check_line(const ParabolicMeanLine& line) {
  require(std::abs(line.camber) <= 0.5,
          "found a camber that is no fraction of the chord, wanted -0.5 to 0.5");
  require(line.position > 0 && line.position < 1,
          "found a place of greatest camber off the chord, wanted a fraction between 0 and 1");
}

void check_line(const CubicMeanLine& line) {
  require(line.m > 0 && line.m < 1, "found a mean line whose m is off the chord, wanted it between 0 and 1");
  require(std::isfinite(line.k1) && std::isfinite(line.k2_over_k1),
          "found a mean line whose k1 or k2/k1 is not finite, wanted numbers");
}

void check_line(const UniformLoadMeanLine& line) {
  require(std::isfinite(line.design_lift), "found a design lift that is not finite, wanted a number");
  require(line.a >= 0 && line.a < 1,
          "found a uniform load to the trailing edge or beyond, wanted 0 <= a < 1");
}

void check_line(const SampledMeanLine& line) {
  require(line.x.size() >= 2 && line.x.size() == line.z.size(),
          "found a sampled mean line of unequal or too few x and z, wanted two or more of each");
  require(line.x.front() == 0 && line.x.back() == 1,
          "found a sampled mean line that does not run from x = 0 to 1");
  require(std::adjacent_find(line.x.begin(), line.x.end(), [](double a, double b) { return !(a < b); }) ==
              line.x.end(),
          "found a sampled mean line whose x do not rise, wanted each above the one before");
  require(std::all_of(line.z.begin(), line.z.end(), [](double z) { return std::isfinite(z); }),
          "found a sampled mean line with a z that is not finite, wanted numbers");
}

// Constants of the five-digit mean lines for a design lift coefficient of 0.3 (NACA Report 537, from memory).
struct FiveDigitLine {
  std::string_view digits; // place of the camber and form: 0 plain, 1 reflexed
  CubicMeanLine line;
};
constexpr std::array<FiveDigitLine, 9> five_digit_lines = {{{"10", {0.0580, 361.400, 0}},
                                                            {"20", {0.1260, 51.640, 0}},
                                                            {"30", {0.2025, 15.957, 0}},
                                                            {"40", {0.2900, 6.643, 0}},
                                                            {"50", {0.3910, 3.230, 0}},
                                                            {"21", {0.1300, 51.990, 0.000764}},
                                                            {"31", {0.2170, 15.793, 0.00677}},
                                                            {"41", {0.3180, 6.520, 0.0303}},
                                                            {"51", {0.4410, 3.191, 0.1355}}}};

} // namespace

Section naca_section(std::string_view digits) {
  const auto digit = [&](std::size_t i) { return digits[i] - '0'; };
  const bool all_digits =
      std::all_of(digits.begin(), digits.end(), [](char c) { return c >= '0' && c <= '9'; });
  Section section;
  section.name = digits;
  if (all_digits && digits.size() == 4 && (digit(0) == 0) == (digit(1) == 0)) {
    if (digit(0) != 0)
      section.mean_line = ParabolicMeanLine{digit(0) / 100.0, digit(1) / 10.0};
    section.thickness = (10 * digit(2) + digit(3)) / 100.0;
    return section;
  }
  if (all_digits && digits.size() == 5 && digit(0) != 0) {
    const auto known = std::find_if(five_digit_lines.begin(), five_digit_lines.end(),
                                    [&](const FiveDigitLine& l) { return l.digits == digits.substr(1, 2); });
    if (known != five_digit_lines.end()) {
      CubicMeanLine line = known->line;
      line.k1 *= digit(0) / 2.0; // the first digit is the design lift coefficient over 0.15
      section.mean_line = line;
      section.thickness = (10 * digit(3) + digit(4)) / 100.0;
      return section;
    }
  }
  throw Error(
      "found NACA section '" + std::string(digits) +
      "', wanted four digits (2412; 0012 if without camber) or five with second and third digit 10, 20, "
      "30, 40, 50, 21, 31, 41 or 51 (23012, 23112)");
}

void check(const Section& section) {
  const auto fraction = [](double value) { return value >= 0 && std::isfinite(value); };
  require(
      fraction(section.thickness) && fraction(section.trailing_edge_gap),
      "found a thickness or trailing-edge gap that is negative or not finite, wanted fractions of the chord");
  std::visit([](const auto& line) { check_line(line); }, section.mean_line);
  if (section.polar)
    check(*section.polar);
  const double most_lift = section.max_lift_coefficient.value_or(1);
  require(most_lift > 0 && std::isfinite(most_lift),
          "found a greatest lift coefficient that is not above 0 or not finite, wanted a number above 0");
}

double mean_line_height(const MeanLine& line, double x) {
  return std::visit([&](const auto& l) { return height(l, x); }, line);
}

double mean_line_slope(const MeanLine& line, double x) {
  return std::visit([&](const auto& l) { return slope(l, x); }, line);
}

double zero_lift_angle(const MeanLine& line) {
  return std::visit([](const auto& l) { return zero_lift(l); }, line);
}

double greatest_camber(const MeanLine& line) {
  const auto size = [&](double x) { return std::abs(mean_line_height(line, x)); };
  // The highest of samples, then a golden-section search between its neighbours.
  constexpr int samples = 200;
  int best = 0;
  for (int k = 1; k <= samples; ++k)
    if (size(1.0 * k / samples) > size(1.0 * best / samples))
      best = k;
  double low = std::max(0, best - 1) / (1.0 * samples), high = std::min(samples, best + 1) / (1.0 * samples);
  while (high - low > 1e-9) {
    const double step = (high - low) / std::numbers::phi;
    if (size(high - step) > size(low + step))
      high = low + step;
    else
      low = high - step;
  }
  return mean_line_height(line, (low + high) / 2);
}

} // namespace vlm
