#include <vlm/force/lattice_loads.hpp>

#include <algorithm>
#include <cmath>

#include <vlm/force/near_field.hpp>
#include <vlm/force/panel_circulation.hpp>

namespace vlm {
namespace {

// The condition as one cause at V = 1 m/s.
Cause whole_cause(const Responses& responses, const Condition& condition) {
  const Reference& size = responses.reference;
  const Vec3& rates = condition.rates;
  return cause_of({1,
                   condition.alpha,
                   condition.beta,
                   {2 * rates.x / size.span, 2 * rates.y / size.chord, 2 * rates.z / size.span},
                   responses.moment_point});
}

// Shares a force spread evenly along a straight piece out over the rings that it runs through. What lies
// beyond an end of the body belongs to the ring there.
void add_to_rings(std::vector<Load>& rings, std::span<const SourceLine> cells, const LoadedPiece& piece,
                  const Vec3& force) {
  const bool aft = piece.to.x >= piece.from.x;
  const Vec3 &first = aft ? piece.from : piece.to, &last = aft ? piece.to : piece.from;
  const double length = last.x - first.x;
  const auto fraction_at = [&](double x) { return std::clamp((x - first.x) / length, 0.0, 1.0); };
  for (std::size_t k = 0; k < rings.size(); ++k) {
    double from = 0, to = 1;
    if (length > 0) {
      from = k == 0 ? 0 : fraction_at(cells[k].from.x);
      to = k + 1 == rings.size() ? 1 : fraction_at(cells[k].to.x);
    } else if ((k > 0 && first.x < cells[k].from.x) || (k + 1 < rings.size() && first.x >= cells[k].to.x)) {
      continue;
    }
    const Vec3 middle = first + 0.5 * (from + to) * (last - first), f = (to - from) * force;
    rings[k] += {f, cross(middle, f)};
  }
}

} // namespace

LatticeLoads lattice_loads(const Responses& responses, const Condition& condition,
                           std::span<const double> turns, double speed, double density, ThreadPool& pool) {
  const Lattice& lattice = responses.system.lattice();
  Matrix circulation(lattice.num_panels(), 1);
  circulation.values = panel_circulation(responses, condition, turns);
  const Cause cause = whole_cause(responses, condition);
  LatticeLoads loads{std::vector<Load>(lattice.strips.size()),
                     std::vector<std::array<Load, 2>>(lattice.strips.size()),
                     std::vector<Load>(lattice.sources.size())};
  visit_near_field(responses.system.influence(), {&cause, 1}, circulation, pool,
                   [&](std::size_t, const LoadedPiece& piece) {
                     const Vec3 f = speed * speed * piece.strength[0] * piece.unit_force(density, 0);
                     switch (piece.kind) {
                     case LoadedPiece::Kind::bound:
                       loads.strips[piece.strip] += {f, cross(piece.point, f)};
                       break;
                     case LoadedPiece::Kind::leg:
                       loads.legs[piece.strip][piece.end] += {f, cross(piece.point, f)};
                       break;
                     default:
                       add_to_rings(loads.rings, lattice.sources, piece, f);
                     }
                   });
  return loads;
}

} // namespace vlm
