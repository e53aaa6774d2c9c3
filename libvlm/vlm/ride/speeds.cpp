#include <vlm/ride/speeds.hpp>

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <functional>

#include <vlm/base/error.hpp>

namespace vlm {
namespace {

std::string rounded(double x, int decimals) {
  char text[64];
  std::snprintf(text, sizeof text, "%.*f", decimals, x);
  return text;
}

// Trims at any speed, and keeps what it found in rising order of speed.
class Search {
public:
  Search(const Ride& ride, std::vector<SpeedFigures> known, const RunControl& control, ThreadPool& pool)
      : ride_(ride), points_(std::move(known)), control_(control), pool_(pool) {}

  std::size_t num_factorisations = 0, num_solves = 0;

  const std::vector<SpeedFigures>& points() const { return points_; }

  SpeedFigures at(double speed) {
    const auto place = std::lower_bound(points_.begin(), points_.end(), speed,
                                        [](const SpeedFigures& p, double v) { return p.speed < v; });
    if (place != points_.end() && place->speed == speed)
      return *place;
    if (control_.cancelled())
      throw Error("interrupted", ErrorKind::run);
    const TrimmedCraft t = trimmed_craft(ride_, speed, pool_, guess(speed));
    num_factorisations += t.num_factorisations;
    num_solves += t.num_solves;
    const SpeedFigures found = speed_figures(ride_.craft, t);
    points_.insert(place, found);
    return found;
  }

private:
  // Angle of attack goes nearly in a straight line with 1/V².
  double guess(double speed) const {
    const auto x = [](double v) { return 1 / (v * v); };
    std::vector<const SpeedFigures*> near;
    for (const SpeedFigures& p : points_)
      near.push_back(&p);
    std::sort(near.begin(), near.end(), [&](const SpeedFigures* a, const SpeedFigures* b) {
      return std::abs(x(a->speed) - x(speed)) < std::abs(x(b->speed) - x(speed));
    });
    const SpeedFigures& a = *near[0];
    if (near.size() == 1)
      return a.alpha;
    const SpeedFigures& b = *near[1];
    return std::clamp(a.alpha + (b.alpha - a.alpha) * (x(speed) - x(a.speed)) / (x(b.speed) - x(a.speed)),
                      -0.3, 0.3);
  }

  const Ride& ride_;
  std::vector<SpeedFigures> points_;
  const RunControl& control_;
  ThreadPool& pool_;
};

using Figure = std::function<double(const SpeedFigures&)>;

SpeedMark none(const std::string& why) {
  return {std::nullopt, why};
}

SpeedMark find_take_off(Search& search) {
  const SpeedFigures first = search.points().front();
  if (!first.share_of_limit)
    return none("no section of the case says its max_lift_coefficient");
  // The share goes nearly in a straight line with x = 1/V².
  double x = 1 / (first.speed * first.speed), share = *first.share_of_limit;
  double next = x / share;
  for (int i = 0; i < 20; ++i) {
    const SpeedFigures p = search.at(1 / std::sqrt(next));
    const double slope = (*p.share_of_limit - share) / (next - x);
    if (std::abs(next - x) <= 2e-5 * next || std::abs(*p.share_of_limit - 1) < 1e-9)
      return {p, {}};
    x = next, share = *p.share_of_limit;
    next = x + (1 - share) / slope;
    if (!(next > 0))
      break;
  }
  return none("the lift limit is not found at any speed");
}

// Where speeds are sought, and what the lower end is.
struct SearchRange {
  double low, high;
  std::string low_is;
};

SpeedMark find_least(Search& search, const Figure& figure, const SearchRange& range,
                     const std::string& what) {
  const double low = range.low, high = range.high;
  const auto value = [&](double speed) { return figure(search.at(speed)); };
  // From the best known, outward until it grows again on both sides.
  double middle =
      std::clamp(std::min_element(search.points().begin(), search.points().end(),
                                  [&](const auto& a, const auto& b) { return figure(a) < figure(b); })
                     ->speed,
                 low, high);
  constexpr double stride = 1.12, first_step = 1.01;
  if (middle < low * first_step) { // at the lower end: whether it falls from there
    middle = std::min(high, low * first_step);
    if (value(middle) >= value(low))
      return none("the least " + what + " is at " + range.low_is + ", " + rounded(low, 2) + " m/s");
  }
  double below = std::max(low, middle / stride), above = std::min(high, middle * stride);
  while (value(below) < value(middle) && below > low)
    above = middle, middle = below, below = std::max(low, below / stride);
  while (value(above) < value(middle) && above < high)
    below = middle, middle = above, above = std::min(high, above * stride);
  const bool at_low = middle == below || (below < middle && value(below) <= value(middle));
  const bool at_high = middle == above || (above > middle && value(above) <= value(middle));
  if (at_low)
    return none("the least " + what + " is at " + range.low_is + ", " + rounded(low, 2) + " m/s");
  if (at_high)
    return none("the least " + what + " lies beyond " + rounded(high, 2) +
                " m/s, twice the fastest asked for");
  for (int i = 0; i < 20; ++i) {
    const double a = below - middle, b = above - middle;
    const double fa = value(below) - value(middle), fb = value(above) - value(middle);
    const double next = middle + (fa * b * b - fb * a * a) / (2 * (fa * b - fb * a));
    if (!(next > below && next < above) || std::abs(next - middle) < 1e-3 * middle)
      break;
    if (value(next) < value(middle)) {
      (next > middle ? below : above) = middle;
      middle = next;
    } else {
      (next > middle ? above : below) = next;
    }
  }
  return {search.at(middle), {}};
}

SpeedMark find_top(Search& search, const Drive& drive, const SpeedMark& least_power,
                   const SearchRange& range) {
  if (!drive.greatest_force && !drive.greatest_power)
    return none("the drive has no greatest_force_n or greatest_power_w");
  const auto want = [&](const SpeedFigures& p) {
    return drive.greatest_force ? p.drive_force / *drive.greatest_force : p.power / *drive.greatest_power;
  };
  // From where the least is wanted, outward.
  const SpeedMark least =
      drive.greatest_force ? find_least(
                                 search, [](const SpeedFigures& p) { return p.drive_force; }, range, "force")
                           : least_power;
  const double high = range.high;
  SpeedFigures inner = search.at(least.at ? least.at->speed : range.low);
  for (const SpeedFigures& p : search.points())
    if (p.speed >= range.low && p.speed <= high && want(p) < want(inner))
      inner = p;
  if (want(inner) > 1)
    return none(
        "the drive cannot hold any speed: the least it must give is " +
        (drive.greatest_force ? rounded(inner.drive_force, 1) + " N" : rounded(inner.power, 0) + " W") +
        ", at " + rounded(inner.speed, 2) + " m/s");
  SpeedFigures outer = inner;
  while (want(outer) <= 1) {
    if (outer.speed >= high)
      return none("beyond " + rounded(high, 2) + " m/s, twice the fastest asked for");
    inner = outer;
    outer = search.at(std::min(high, outer.speed * 1.2));
  }
  // Between inner and outer, by secants that keep both sides.
  for (int i = 0; i < 40 && outer.speed - inner.speed > 1e-5 * outer.speed; ++i) {
    const double share = (1 - want(inner)) / (want(outer) - want(inner));
    // A little past the secant's root, so that both ends close in.
    const double aim = inner.speed + (outer.speed - inner.speed) * std::clamp(share, 0.02, 0.98);
    const double nudge = 4e-6 * aim;
    for (const double speed : {aim - nudge, aim + nudge}) {
      const SpeedFigures p = search.at(std::clamp(speed, inner.speed, outer.speed));
      (want(p) <= 1 ? inner : outer) = p;
    }
  }
  return {inner, {}};
}

// An Error on the way to a mark is why there is none.
template <class Find>
SpeedMark tried(const Find& find) {
  try {
    return find();
  } catch (const Error& error) {
    return none(error.what());
  }
}

} // namespace

SpeedFigures speed_figures(const Craft& craft, const TrimmedCraft& t) {
  SpeedFigures p;
  p.speed = t.speed;
  p.alpha = t.state.alpha;
  p.lift = t.state.lift, p.drag = t.state.drag, p.drive_force = t.state.drive_force;
  p.load_station = t.state.load_station;
  p.power = t.state.drag * t.speed;
  if (const auto hardest = nearest_to_limit(craft, t))
    p.share_of_limit = hardest->share;
  return p;
}

SpeedMarks speed_marks(const Ride& ride, const std::vector<SpeedFigures>& known, const RunControl& control,
                       ThreadPool& pool) {
  if (known.empty())
    throw Error("speeds: found none at which the craft is trimmed, wanted one to search from");
  Search search(ride, known, control, pool);
  SpeedMarks marks;
  const double high = 2 * known.back().speed;
  marks.take_off = tried([&] { return find_take_off(search); });
  const bool flies = marks.take_off.at && marks.take_off.at->speed < high;
  const SearchRange range{flies ? marks.take_off.at->speed : 0.5 * known.front().speed, high,
                          flies ? "take-off" : "half the slowest speed asked for, or slower"};
  marks.best_glide = tried([&] {
    return find_least(
        search, [](const SpeedFigures& p) { return p.drag / p.lift; }, range, "drag over lift");
  });
  marks.least_power = tried([&] {
    return find_least(
        search, [](const SpeedFigures& p) { return p.power; }, range, "power");
  });
  marks.top = tried([&] { return find_top(search, ride.loading.drive, marks.least_power, range); });
  marks.num_factorisations = search.num_factorisations;
  marks.num_solves = search.num_solves;
  return marks;
}

} // namespace vlm
