#include <vlm/ride/internal_loads.hpp>

#include <algorithm>
#include <cmath>
#include <optional>

#include <vlm/shape/fuselage.hpp>
#include <vlm/shape/outline.hpp>

namespace vlm {
namespace {

constexpr Vec3 aft{1, 0, 0}, starboard{0, 1, 0}, up{0, 0, 1};

// Directions at a cut. outward: to the free end.
struct Frame {
  Vec3 outward, flat, edge, axis;
};

std::array<double, num_internal_loads> resolved(const Load& load, const Vec3& point, const Frame& frame) {
  const Vec3 moment = moment_about(point, load);
  return {dot(load.force, frame.flat),
          dot(load.force, frame.edge),
          dot(load.force, frame.outward),
          dot(moment, cross(frame.outward, frame.flat)),
          dot(moment, cross(frame.outward, frame.edge)),
          dot(moment, frame.axis)};
}

// A row of strips as a beam that is loaded at its edges, by legs, and between them.
class RowBeam {
public:
  RowBeam(const Craft& craft, const Lattice& lattice, const LatticeLoads& loads, const Row& row)
      : craft_(craft), lattice_(lattice), loads_(loads), row_(row) {
    for (const Surface& surface : craft.surfaces)
      outlines_.emplace_back(surface);
  }

  // Place of the support in strips from the first edge: where it runs into the body, or else what is nearest
  // to the middle plane.
  double support() const {
    const std::size_t n = row_.num_strips;
    if (on_body(row_.ends[0]))
      return 0;
    if (on_body(row_.ends[1]))
      return static_cast<double>(n);
    std::vector<double> y;
    for (std::size_t e = 0; e <= n; ++e)
      y.push_back(point(place(e, e == 0 ? 1 : 0)).y);
    std::size_t nearest = 0;
    for (std::size_t e = 0; e <= n; ++e) {
      if (std::abs(y[e]) < std::abs(y[nearest]))
        nearest = e;
      if (e < n && y[e] * y[e + 1] < 0 && std::min(std::abs(y[e]), std::abs(y[e + 1])) > rounding)
        return static_cast<double>(e) + y[e] / (y[e] - y[e + 1]);
    }
    return static_cast<double>(nearest);
  }

  // The beam from the end `side` to a support so many strips from the first edge. start: what acts on the
  // free end from outside. top: the support is the last station of the surface, above the water.
  Beam beam(std::size_t side, double support, const Load& start, bool top) const {
    const std::size_t n = row_.num_strips;
    const double length = side == 0 ? support : static_cast<double>(n) - support;
    const auto whole = static_cast<std::size_t>(std::floor(length + rounding));
    const bool lone = length > static_cast<double>(n) - 0.5; // nothing on the other side of the support
    Beam result;
    Load sum = start;
    const auto cut = [&](const Place& at) { result.stations.push_back(station(at, side, sum)); };
    const auto strip_at = [&](std::size_t i) { return side == 0 ? i : n - 1 - i; };
    const auto legs_at = [&](std::size_t i) { return legs(side == 0 ? i : n - i); };

    // A free tip lies half a step beyond the first edge, unless spacing is uniform.
    const Place first = place(side == 0 ? 0 : n, side);
    const double tip_arc = side == 0 ? 0 : outlines_[first.surface].length();
    const bool has_tip = row_.ends[side] == RowEnd::tip && std::abs(first.arc - tip_arc) > rounding;
    if (has_tip)
      cut({first.surface, tip_arc});
    double counted = has_tip ? 0.5 : 0; // share of the legs that lies on the free side of the cut
    sum += counted * legs_at(0);
    cut(first);
    for (std::size_t i = 0; i < whole; ++i) {
      sum += (1 - counted) * legs_at(i) + strip(strip_at(i));
      counted = i + 1 == whole && lone ? 1 : 0.5;
      sum += counted * legs_at(i + 1);
      cut(place(side == 0 ? i + 1 : n - i - 1, side));
    }
    if (const double part = length - static_cast<double>(whole); part > rounding) {
      const std::size_t j = strip_at(whole);
      sum += (1 - counted) * legs_at(whole) + portion(j, side, part);
      const Strip& at = strip_of(j);
      cut({at.surface, at.first_edge + (side == 0 ? part : 1 - part) * at.width});
    }
    if (const Strip& last = strip_of(n - 1);
        top && outlines_[last.surface].length() - (last.first_edge + last.width) > rounding)
      cut({last.surface, outlines_[last.surface].length()});
    result.part = craft_.surfaces[strip_of(strip_at(std::max<std::size_t>(whole, 1) - 1)).surface].name;
    const double y = result.stations.front().point.y;
    result.from = top ? "foot" : y < -rounding ? "port tip" : y > rounding ? "starboard tip" : "tip";
    result.to = top ? "board" : on_body(row_.ends[1 - side]) && lone ? "skin" : "middle plane";
    result.into_support = sum;
    return result;
  }

private:
  static constexpr double rounding = 1e-9; // [m], or of a strip

  struct Place {
    std::size_t surface;
    double arc;
  };

  const Strip& strip_of(std::size_t j) const { return lattice_.strips[row_.first_strip + j]; }
  Load strip(std::size_t j) const { return loads_.strips[row_.first_strip + j]; }
  Load legs(std::size_t edge) const {
    Load sum;
    if (edge > 0)
      sum += loads_.legs[row_.first_strip + edge - 1][1];
    if (edge < row_.num_strips)
      sum += loads_.legs[row_.first_strip + edge][0];
    return sum;
  }

  // An edge on the surface on its free side.
  Place place(std::size_t edge, std::size_t side) const {
    const bool of_strip_before = side == 0 ? edge > 0 : edge == row_.num_strips;
    const Strip& s = strip_of(of_strip_before ? edge - 1 : edge);
    return {s.surface, of_strip_before ? s.first_edge + s.width : s.first_edge};
  }

  Vec3 point(const Place& at) const {
    const SpanPoint p = outlines_[at.surface].at(at.arc);
    return p.leading_edge + 0.25 * p.chord * aft;
  }

  // The share of a strip's load next to its edge at the free end, the load even along its quarter chord.
  Load portion(std::size_t j, std::size_t side, double share) const {
    const Strip& s = strip_of(j);
    const Vec3 along = point({s.surface, s.first_edge + s.width}) - point({s.surface, s.first_edge});
    const Vec3 shift = 0.5 * (share - 1) * (side == 0 ? along : -along);
    Load load = share * strip(j);
    load.moment += cross(shift, load.force);
    return load;
  }

  BeamStation station(const Place& at, std::size_t side, const Load& sum) const {
    const Outline& outline = outlines_[at.surface];
    const Vec3 about = point(at);
    // On a corner, the direction on the free side.
    const double step = 1e-9 * outline.length();
    const Vec3 t =
        outline.at(std::clamp(at.arc + (side == 0 ? -step : step), 0.0, outline.length())).direction;
    return {about, at.arc, outline.at(at.arc).chord,
            resolved(sum, about, {side == 0 ? -t : t, cross(aft, t), aft, t})};
  }

  const Craft& craft_;
  const Lattice& lattice_;
  const LatticeLoads& loads_;
  const Row& row_;
  std::vector<Outline> outlines_;
};

// A load on the fuselage between two x: force per length varies along a straight line so that it has the
// resultant and the moments about y and z; the moment about x spreads evenly.
struct Spread {
  double from, to;
  Load load;

  // What lies ahead of x.
  Load ahead_of(double x) const {
    const double length = to - from, middle = 0.5 * (from + to);
    const double u = std::clamp((x - middle) / length, -0.5, 0.5), t = u + 0.5;
    const Vec3 about = moment_about({middle, 0, 0}, load); // of f at ξ: M_y = −ξ f_z, M_z = ξ f_y
    const auto force = [&](double f, double m) { return t * f + 6 * (u * u - 0.25) * m / length; };
    const auto first_moment = [&](double f, double m) {
      return 0.5 * (u * u - 0.25) * length * f + (4 * u * u * u + 0.5) * m;
    };
    const Vec3 f{t * load.force.x, force(load.force.y, about.z), force(load.force.z, -about.y)};
    return {f,
            {t * about.x, -middle * f.z - first_moment(load.force.z, -about.y),
             middle * f.y + first_moment(load.force.y, about.z)}};
  }
};

// The body between nose and tail that is nearest to a length of x.
Spread onto_body(double nose, double tail, double from, double to, const Load& load) {
  const double a = std::clamp(from, nose, tail), b = std::clamp(to, nose, tail);
  const double least = std::min(to - from, tail - nose);
  if (b > a)
    return {a, b, load};
  return a == nose ? Spread{nose, nose + least, load} : Spread{tail - least, tail, load};
}

void add_fuselage(std::vector<Beam>& beams, const Skin& skin, const std::vector<Spread>& spreads,
                  double support) {
  const double nose = skin.nose(), tail = skin.tail(), same = 1e-9 * (tail - nose);
  std::vector<double> cuts{support};
  for (const Spread& s : spreads)
    cuts.insert(cuts.end(), {s.from, s.to});
  std::sort(cuts.begin(), cuts.end());
  cuts.erase(std::unique(cuts.begin(), cuts.end(), [&](double a, double b) { return b - a < same; }),
             cuts.end());
  Load total;
  for (const Spread& s : spreads)
    total += s.load;
  Beam front{"fuselage", "nose", "mast", {}, {}}, back{"fuselage", "tail", "mast", {}, {}};
  for (const double x : cuts) {
    Load ahead;
    for (const Spread& s : spreads)
      ahead += s.ahead_of(x);
    const Load behind = total + -ahead;
    const Vec3 point{x, 0, skin.centre(x)};
    if (x < support + same) {
      front.stations.push_back({point, x, 0, resolved(ahead, point, {-aft, up, starboard, -aft})});
      front.into_support = ahead;
    }
    if (x > support - same) {
      back.stations.insert(back.stations.begin(),
                           {point, x, 0, resolved(behind, point, {aft, up, starboard, -aft})});
      if (back.stations.size() == 1)
        back.into_support = behind;
    }
  }
  beams.push_back(std::move(front));
  beams.push_back(std::move(back));
}

// The row that runs up to the top of a mast, if there is one.
const Row* mast_row(const Craft& craft, const Lattice& lattice) {
  const Row* mast = nullptr;
  for (const Row& row : lattice.rows)
    if (!row.shell && craft.surfaces[lattice.strips[row.first_strip + row.num_strips - 1].surface].pierces)
      mast = &row;
  return mast;
}

} // namespace

const char* name_of(InternalLoad load) {
  constexpr std::array<const char*, num_internal_loads> names{
      "flatwise shear", "edgewise shear", "axial force", "flatwise bending", "edgewise bending", "torsion"};
  return names.at(load);
}

std::vector<Beam> internal_loads(const Craft& craft, const Lattice& lattice, const LatticeLoads& loads) {
  std::vector<Beam> beams;
  Load below_mast;
  const Row* mast = mast_row(craft, lattice);
  for (const Row& row : lattice.rows) {
    if (row.shell || &row == mast)
      continue;
    const RowBeam strips(craft, lattice, loads, row);
    const double support = strips.support();
    for (const std::size_t side : {0, 1})
      if ((side == 0 ? support : static_cast<double>(row.num_strips) - support) > 0) {
        beams.push_back(strips.beam(side, support, {}, false));
        below_mast += beams.back().into_support;
      }
  }
  for (const Load& ring : loads.rings)
    below_mast += ring;
  std::optional<Beam> upright;
  if (mast)
    upright = RowBeam(craft, lattice, loads, *mast)
                  .beam(0, static_cast<double>(mast->num_strips), below_mast, true);
  if (craft.fuselage) {
    const Skin skin(*craft.fuselage);
    std::vector<Spread> spreads;
    for (std::size_t k = 0; k < loads.rings.size(); ++k)
      spreads.push_back({lattice.sources[k].from.x, lattice.sources[k].to.x, loads.rings[k]});
    for (const Beam& beam : beams) {
      const BeamStation& root = beam.stations.back();
      const double front = root.point.x - 0.25 * root.chord;
      spreads.push_back(onto_body(skin.nose(), skin.tail(), front, front + root.chord, beam.into_support));
    }
    const double foot =
        upright ? upright->stations.front().point.x + 0.25 * upright->stations.front().chord : 0;
    add_fuselage(beams, skin, spreads, std::clamp(foot, skin.nose(), skin.tail()));
  }
  if (upright)
    beams.push_back(std::move(*upright));
  return beams;
}

std::vector<Beam> internal_loads(const Craft& craft, const Responses& responses, const Condition& condition,
                                 std::span<const double> turns, double speed, ThreadPool& pool) {
  return internal_loads(craft, responses.system.lattice(),
                        lattice_loads(responses, condition, turns, speed, craft.water.density, pool));
}

std::array<std::size_t, num_internal_loads> greatest_loads(const Beam& beam) {
  std::array<std::size_t, num_internal_loads> greatest{};
  for (std::size_t i = 0; i < beam.stations.size(); ++i)
    for (std::size_t load = 0; load < num_internal_loads; ++load)
      if (std::abs(beam.stations[i].loads[load]) > std::abs(beam.stations[greatest[load]].loads[load]))
        greatest[load] = i;
  return greatest;
}

} // namespace vlm
