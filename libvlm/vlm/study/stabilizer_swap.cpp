#include <vlm/study/stabilizer_swap.hpp>

#include <algorithm>
#include <array>
#include <cmath>

#include <vlm/base/error.hpp>

namespace vlm {
namespace {

using Pair = std::array<double, 2>;

constexpr double greatest_log = 1.6094379124341003; // of five
constexpr double settled_place = 1e-6;              // [m]

Pair difference(const Steadiness& a, const Steadiness& b) {
  return {a.load_station - b.load_station, a.neutral_point - b.neutral_point};
}

// A member of the new family on the craft, at a logarithm of the area's scale and a change of incidence.
class Member {
public:
  Member(const Ride& ride, const Stabilizer& stabilizer, double speed, ThreadPool& pool)
      : ride_(ride), stabilizer_(stabilizer), area_(outline_figures(stabilizer.surface).area), speed_(speed),
        pool_(pool) {}

  Steadiness at(const Pair& x) const {
    Stabilizer changed = stabilizer_;
    if (x[0] != 0)
      changed.surface = stretched(changed.surface, area_ * std::exp(x[0]), std::nullopt);
    changed.surface.incidence += x[1];
    return steadiness(with_stabilizer(ride_, changed), speed_, pool_);
  }

private:
  const Ride& ride_;
  const Stabilizer& stabilizer_;
  double area_, speed_;
  ThreadPool& pool_;
};

// Figures as drawn, and their slopes there.
struct Drawn {
  Member member;
  std::optional<Steadiness> figures;
  std::array<Pair, 2> slopes{}; // [equation][unknown]
  std::string refusal;
};

Drawn drawn(const Ride& ride, const Stabilizer& stabilizer, double speed, ThreadPool& pool) {
  Drawn d{Member(ride, stabilizer, speed, pool), {}, {}, {}};
  try {
    d.figures = d.member.at({0, 0});
    constexpr double step = 0.01;
    for (std::size_t k = 0; k < 2; ++k) {
      Pair x{0, 0};
      x[k] = step;
      const Pair change = difference(d.member.at(x), *d.figures);
      for (std::size_t i = 0; i < 2; ++i)
        d.slopes[i][k] = change[i] / step;
    }
  } catch (const Error& error) {
    d.refusal = error.what();
  }
  return d;
}

Pair fit(const Drawn& d, const Steadiness& wanted) {
  Pair x{0, 0}, miss = difference(*d.figures, wanted);
  std::array<Pair, 2> j = d.slopes;
  for (int i = 0; i < 20; ++i) {
    if (std::abs(miss[0]) < settled_place && std::abs(miss[1]) < settled_place)
      return x;
    const double det = j[0][0] * j[1][1] - j[0][1] * j[1][0];
    Pair step{-(j[1][1] * miss[0] - j[0][1] * miss[1]) / det, -(j[0][0] * miss[1] - j[1][0] * miss[0]) / det};
    if (!std::isfinite(step[0]) || !std::isfinite(step[1]))
      throw Error("size and incidence do the same here");
    // Not further at once than the slopes can be trusted.
    const double shorter = std::min({1.0, 0.5 / std::abs(step[0]), 0.1 / std::abs(step[1])});
    step = {shorter * step[0], shorter * step[1]};
    x = {x[0] + step[0], x[1] + step[1]};
    if (std::abs(x[0]) > greatest_log)
      throw Error("its area would change to more than five times or less than a fifth");
    const Pair now = difference(d.member.at(x), wanted);
    const double square = step[0] * step[0] + step[1] * step[1];
    for (std::size_t k = 0; k < 2; ++k) {
      const double off = now[k] - miss[k] - j[k][0] * step[0] - j[k][1] * step[1];
      j[k] = {j[k][0] + off * step[0] / square, j[k][1] + off * step[1] / square};
    }
    miss = now;
  }
  throw Error("size and incidence do not settle", ErrorKind::run);
}

StabilizerSwap swap(const Steadiness& wanted, std::span<const Drawn> family) {
  StabilizerSwap result;
  for (std::size_t m = 0; m < family.size(); ++m) {
    const Drawn& d = family[m];
    if (d.figures) {
      const Pair by = difference(*d.figures, wanted);
      if (!result.nearest || std::hypot(by[0], by[1]) < std::hypot(result.nearest->by.load_station,
                                                                   result.nearest->by.neutral_point))
        result.nearest = StabilizerMiss{m, {by[0], by[1]}};
    }
    std::string why = d.refusal;
    if (why.empty())
      try {
        const Pair x = fit(d, wanted);
        if (!result.fit || std::abs(x[0]) < std::abs(std::log(result.fit->area_scale)))
          result.fit = StabilizerFit{m, std::exp(x[0]), x[1]};
      } catch (const Error& error) {
        why = error.what();
      }
    if (result.refusal.empty())
      result.refusal = why;
  }
  if (result.fit && result.nearest)
    result.refusal.clear();
  return result;
}

} // namespace

std::size_t stabilizer_index(const Craft& craft) {
  const std::vector<std::size_t> others = surfaces_beside_reference(craft);
  if (others.size() != 1)
    throw Error("'" + craft.title + "': found " + std::to_string(others.size()) +
                " surfaces beside the reference surface and the mast, wanted one: the stabilizer");
  return others.front();
}

Stabilizer stabilizer_of(const Ride& ride) {
  const std::size_t i = stabilizer_index(ride.craft);
  return {ride.craft.surfaces[i], ride.lattice.counts.empty() ? PanelCounts{} : ride.lattice.counts[i]};
}

Ride with_stabilizer(const Ride& ride, const Stabilizer& other) {
  const std::size_t i = stabilizer_index(ride.craft);
  Ride changed = ride;
  Surface& surface = changed.craft.surfaces[i];
  const Surface own = surface;
  surface = other.surface;
  surface.name = own.name, surface.position = own.position;
  if (changed.lattice.counts.empty())
    changed.lattice.counts.resize(changed.craft.surfaces.size());
  changed.lattice.counts[i] = other.counts;
  return changed;
}

Steadiness steadiness(const Ride& ride, double speed, ThreadPool& pool) {
  check(ride.craft);
  const TrimmedCraft t = trimmed_craft(ride, speed, pool);
  if (!t.point.neutral_point)
    throw Error("'" + ride.craft.title + "': found no neutral point, for its lift does not change");
  return {t.state.load_station, *t.point.neutral_point};
}

std::vector<StabilizerSwap> swap_stabilizers(const Ride& ride, std::span<const Stabilizer> old_family,
                                             std::span<const Stabilizer> new_family, double speed,
                                             ThreadPool& pool) {
  if (new_family.empty())
    throw Error("new family: found no stabilizer, wanted at least one");
  std::vector<Drawn> family;
  for (const Stabilizer& stabilizer : new_family)
    family.push_back(drawn(ride, stabilizer, speed, pool));
  std::vector<StabilizerSwap> swaps;
  for (const Stabilizer& old : old_family) {
    try {
      swaps.push_back(swap(steadiness(with_stabilizer(ride, old), speed, pool), family));
    } catch (const Error& error) {
      swaps.push_back({{}, {}, error.what()});
    }
  }
  return swaps;
}

} // namespace vlm
