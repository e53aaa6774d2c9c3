#include <vlm/shape/section_polar.hpp>

#include <algorithm>
#include <cmath>

#include <vlm/base/error.hpp>

namespace vlm {
namespace {

bool rises(const std::vector<double>& values) {
  return !values.empty() &&
         std::all_of(values.begin(), values.end(), [](double v) { return std::isfinite(v); }) &&
         std::adjacent_find(values.begin(), values.end(), [](double a, double b) { return !(a < b); }) ==
             values.end();
}

// Two neighbours of a grid, and how far between them a place lies: 0 at the first, 1 at the second.
struct Between {
  std::size_t first = 0, second = 0;
  double share = 0;
};

template <typename Scale>
Between between(const std::vector<double>& grid, double at, const Scale& scale) {
  if (at <= grid.front())
    return {};
  if (at >= grid.back())
    return {grid.size() - 1, grid.size() - 1, 0};
  const auto above = std::upper_bound(grid.begin(), grid.end(), at);
  const auto k = static_cast<std::size_t>(above - grid.begin());
  const double low = scale(grid[k - 1]), high = scale(grid[k]);
  return {k - 1, k, (scale(at) - low) / (high - low)};
}

} // namespace

void check(const SectionPolar& polar) {
  if (!rises(polar.lift_coefficient) || !rises(polar.reynolds) || polar.reynolds.front() <= 0)
    throw Error("found lift coefficients or Reynolds numbers of a drag table that do not rise, wanted each "
                "above the one before, and Reynolds numbers above 0");
  if (polar.drag_coefficient.size() != polar.lift_coefficient.size() * polar.reynolds.size())
    throw Error("found " + std::to_string(polar.drag_coefficient.size()) +
                " drag coefficients, wanted one for each of " +
                std::to_string(polar.lift_coefficient.size()) + " lift coefficients at each of " +
                std::to_string(polar.reynolds.size()) + " Reynolds numbers");
  if (!std::all_of(polar.drag_coefficient.begin(), polar.drag_coefficient.end(),
                   [](double d) { return d > 0 && std::isfinite(d); }))
    throw Error("found a drag coefficient that is not above 0 or not finite, wanted numbers above 0");
}

double drag_coefficient(const SectionPolar& polar, double lift_coefficient, double reynolds) {
  const Between lift = between(polar.lift_coefficient, lift_coefficient, [](double x) { return x; });
  const Between re = between(polar.reynolds, reynolds, [](double x) { return std::log(x); });
  const auto at_lift = [&](std::size_t row) {
    const double* drag = polar.drag_coefficient.data() + row * polar.reynolds.size();
    return (1 - re.share) * drag[re.first] + re.share * drag[re.second];
  };
  return (1 - lift.share) * at_lift(lift.first) + lift.share * at_lift(lift.second);
}

bool covers(const SectionPolar& polar, double lift_coefficient, double reynolds) {
  const auto within = [](const std::vector<double>& grid, double at) {
    return at >= grid.front() && at <= grid.back();
  };
  return within(polar.lift_coefficient, lift_coefficient) && within(polar.reynolds, reynolds);
}

} // namespace vlm
