#include <vlm/ride/reach.hpp>

#include <algorithm>
#include <cmath>
#include <numbers>

#include <vlm/base/error.hpp>
#include <vlm/lattice/lattice.hpp>
#include <vlm/shape/outline.hpp>

namespace vlm {
namespace {

constexpr double greatest_bank = 80 * std::numbers::pi / 180; // as check(craft) has it
constexpr int curve_samples = 16;                             // between stations of a smooth curve

// Bank from level, either way, at which a point comes out of the water; from greatest_bank up where it does
// not. height: above the origin, across the level surface; up_side: distance from the origin to the side that
// comes up. A point is out while
//   height cos(bank) + up_side sin(bank) = r cos(bank − θ) ≥ depth,
// r and θ its polar coordinates: in one interval of banks, of which this is the beginning.
double bank_at_breach(double height, double up_side, double depth) {
  if (height >= depth)
    return 0;
  const double r = std::hypot(height, up_side);
  if (up_side <= 0 || r < depth)
    return std::numbers::pi + depth - (up_side <= 0 ? height : r); // less for points nearer to it
  return std::atan2(up_side, height) - std::acos(depth / r);
}

class Level {
public:
  Level(double alpha, double depth) : up_(upward(alpha, 0)), depth_(depth) {}

  double breach(const Vec3& p, bool starboard_down) const {
    return bank_at_breach(dot(p, up_), starboard_down ? -p.y : p.y, depth_);
  }

private:
  Vec3 up_;
  double depth_;
};

// The leading or the trailing edge of a surface. Between them a chord is straight, so the least deep place
// is on one of them.
class Edge {
public:
  Edge(const Outline& outline, Curve curve, bool trailing) : outline_(outline), trailing_(trailing) {
    const std::vector<double>& stations = outline.station_arcs();
    for (std::size_t i = 0; i + 1 < stations.size(); ++i) {
      const int pieces = curve == Curve::smooth ? curve_samples : 1;
      for (int k = 0; k < pieces; ++k)
        arc_.push_back(stations[i] + (stations[i + 1] - stations[i]) * k / pieces);
    }
    arc_.push_back(stations.back());
    for (const double s : arc_)
      point_.push_back(at(s));
    smooth_ = curve == Curve::smooth;
  }

  Vec3 at(double s) const {
    const SpanPoint p = outline_.at(s);
    return p.leading_edge + Vec3{trailing_ ? p.chord : 0, 0, 0};
  }

  // Where a figure of points is least, and how much it is there.
  template <class Figure>
  std::pair<double, double> least(const Figure& figure) const {
    std::vector<double> values;
    for (const Vec3& p : point_)
      values.push_back(figure(p));
    const auto first = std::min_element(values.begin(), values.end());
    std::pair best{arc_[static_cast<std::size_t>(first - values.begin())], *first};
    if (!smooth_) // straight from station to station: depth is least, and bank first, at one of them
      return best;
    const std::size_t last = values.size() - 1;
    for (std::size_t i = 0; i <= last; ++i) {
      const bool falls = i == 0 || values[i] < values[i - 1], rises = i == last || values[i] <= values[i + 1];
      if (!falls || !rises)
        continue;
      const auto found = refined([&](double s) { return figure(at(s)); }, arc_[i == 0 ? 0 : i - 1],
                                 arc_[std::min(i + 1, last)]);
      if (found.second < best.second)
        best = found;
    }
    return best;
  }

  bool trailing() const { return trailing_; }

private:
  // By golden sections, to where the figure no longer tells places apart.
  template <class Figure>
  static std::pair<double, double> refined(const Figure& figure, double a, double b) {
    constexpr double share = 1 / std::numbers::phi;
    double low = b - share * (b - a), high = a + share * (b - a);
    double at_low = figure(low), at_high = figure(high);
    for (int round = 0; round < 45; ++round)
      if (at_low <= at_high) {
        b = high, high = low, at_high = at_low;
        low = b - share * (b - a), at_low = figure(low);
      } else {
        a = low, low = high, at_low = at_high;
        high = a + share * (b - a), at_high = figure(high);
      }
    return at_low <= at_high ? std::pair{low, at_low} : std::pair{high, at_high};
  }

  const Outline& outline_;
  bool trailing_, smooth_ = false;
  std::vector<double> arc_;
  std::vector<Vec3> point_;
};

std::optional<double> bank_or_none(double bank, double sign) {
  return bank < greatest_bank ? std::optional(sign * bank) : std::nullopt;
}

// Whether an end is a tip: not joined, not in the fuselage.
bool is_tip(const std::vector<Joint>& all, const std::optional<Skin>& skin, std::size_t surface, bool last,
            const SpanPoint& end) {
  const bool joined = std::any_of(all.begin(), all.end(), [&](const Joint& j) {
    return (j.surface_a == surface && j.end_a == last) || (j.surface_b == surface && j.end_b == last);
  });
  return !joined && !(skin && skin->contains(end.leading_edge + Vec3{0.5 * end.chord, 0, 0}));
}

} // namespace

double depth_of(const Vec3& point, double alpha, double depth, double bank) {
  return depth - dot(point, upward(alpha, bank));
}

Reach reach(const Craft& craft, double alpha) {
  check(craft);
  const StillSurface& still = craft.still_surface;
  if (!still.depth)
    throw Error(
        "found no depth of the craft, wanted one: its reach to the still surface is measured from it");
  if (!std::isfinite(alpha))
    throw Error("angle of attack: found no finite number, wanted one");
  Reach result{alpha, *still.depth, still.bank, {}, {}};
  const Level level(alpha, *still.depth);
  const auto depth = [&](const Vec3& p) { return depth_of(p, alpha, *still.depth, still.bank); };
  const std::vector<Joint> joined = joints(craft);
  std::optional<Skin> skin;
  if (craft.fuselage)
    skin.emplace(*craft.fuselage);
  for (std::size_t i = 0; i < craft.surfaces.size(); ++i) {
    const Surface& surface = craft.surfaces[i];
    if (surface.pierces)
      continue;
    const Outline outline(surface);
    const Edge edges[] = {{outline, surface.curve, false}, {outline, surface.curve, true}};
    for (const bool last : {false, true}) {
      const double s = last ? outline.length() : 0;
      if (!is_tip(joined, skin, i, last, outline.at(s)))
        continue;
      TipReach tip{i, last, outline.at(s).chord, {}, {}};
      const Vec3 lead = edges[0].at(s), trail = edges[1].at(s);
      tip.highest = depth(trail) < depth(lead) ? EdgePlace{trail, s, true, depth(trail)}
                                               : EdgePlace{lead, s, false, depth(lead)};
      const auto first = [&](bool down) {
        return std::min(level.breach(lead, down), level.breach(trail, down));
      };
      tip.breach = {bank_or_none(first(true), 1), bank_or_none(first(false), -1)};
      result.tips.push_back(tip);
    }
    SurfaceReach whole{i, {}, {}};
    double bank[2] = {greatest_bank, greatest_bank};
    for (const Edge& edge : edges) {
      const auto [s, least] = edge.least(depth);
      if (!edge.trailing() || least < whole.highest.depth)
        whole.highest = {edge.at(s), s, edge.trailing(), least};
      for (const bool down : {false, true}) {
        const auto breach = [&](const Vec3& p) { return level.breach(p, down); };
        bank[down ? 1 : 0] = std::min(bank[down ? 1 : 0], edge.least(breach).second);
      }
    }
    whole.breach = {bank_or_none(bank[1], 1), bank_or_none(bank[0], -1)};
    result.surfaces.push_back(whole);
  }
  return result;
}

std::optional<SurfaceReach> first_to_breach(const Reach& reach, bool starboard_down) {
  const auto bank = [&](const SurfaceReach& s) {
    return std::abs((starboard_down ? s.breach.starboard_down : s.breach.port_down).value_or(greatest_bank));
  };
  std::optional<SurfaceReach> first;
  for (const SurfaceReach& s : reach.surfaces)
    if (bank(s) < (first ? bank(*first) : greatest_bank))
      first = s;
  return first;
}

std::optional<double> least_depth(const Reach& reach) {
  std::optional<double> least;
  for (const SurfaceReach& s : reach.surfaces)
    least = std::max(least, std::optional(reach.depth - s.highest.depth)); // nothing is less than any
  return least;
}

} // namespace vlm
