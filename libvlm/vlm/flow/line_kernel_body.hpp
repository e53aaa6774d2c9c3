// The kernel itself, included by one source for each kind of processor, which defines the vector V of LANES
// doubles and its operations. Everything here is of internal linkage: the linker keeps one copy of a shared
// inline function, perhaps one that the processor at hand cannot run.

#include <vlm/flow/flow_kernel.hpp>

namespace {

#define VLM_INLINE inline __attribute__((always_inline))

constexpr double over_4pi = 0.079577471545947667884; // 1/(4π)

// Square of the sine of the angle between the ends below which a point counts as on the segment.
constexpr double on_line2 = 2e-14;

// Likewise on a ray.
constexpr double on_ray2 = 1e-24;

// Strength of a segment of unit circulation, to be multiplied by a × b. Biot & Savart:
// (|a| + |b|)/(4π|a||b|(|a||b| + a·b)). Between the ends the last sum cancels; there it is
// |a × b|²/(|a||b| − a·b), and 0 close to the line. share: of unit circulation, over 4π. In other places the
// test of closeness only finds |a||b| = 0, for any distance below 5,000 km.
VLM_INLINE V strength(V a, V b, V dot, V cross2, V share) {
  const V ab = mul(a, b), sum = add(ab, magnitude(dot));
  const M between = negative(dot);
  const V below = select(between, cross2, sum);
  const V quotient = div(mul(mul(share, add(a, b)), select(between, sum, set(1))), mul(ab, below));
  return select(less(mul(ab, mul(set(on_line2), ab)), below), quotient, set(0));
}

struct Ends {
  V x, y, z, r; // from the node to the point, and how far
};

VLM_INLINE Ends load_ends(const double* line, std::size_t pitch, std::size_t i) {
  return {load(line + i), load(line + pitch + i), load(line + 2 * pitch + i), load(line + 3 * pitch + i)};
}

// Adds the velocity of a segment from a to b. |a|, |b| and a·b hold core², and |a × b|² core²|b − a|²
// (Rosenhead 1930, Moore 1972).
VLM_INLINE void add_segment(const Ends& a, const Ends& b, V core2, V& vx, V& vy, V& vz, V share) {
  const V cx = msub(a.y, b.z, mul(a.z, b.y)), cy = msub(a.z, b.x, mul(a.x, b.z)),
          cz = msub(a.x, b.y, mul(a.y, b.x));
  const V dot = madd(a.x, b.x, madd(a.y, b.y, madd(a.z, b.z, core2)));
  const V length2 = sub(madd(a.r, a.r, mul(b.r, b.r)), add(dot, dot));
  const V cross2 = madd(cx, cx, madd(cy, cy, madd(cz, cz, mul(core2, length2))));
  const V factor = strength(a.r, b.r, dot, cross2, share);
  vx = madd(factor, cx, vx);
  vy = madd(factor, cy, vy);
  vz = madd(factor, cz, vz);
}

// Vectors from the nodes of one chordwise line to the point, with their lengths.
VLM_INLINE void measure(const vlm::LineGrid& g, std::size_t k, const double point[3], double* line,
                        std::size_t pitch) {
  const V px = set(point[0]), py = set(point[1]), pz = set(point[2]), core2 = set(g.core2);
  const std::size_t first = k * g.width;
  for (std::size_t i = 0; i < g.num_edges; i += LANES) {
    const V x = sub(px, load(g.x + first + i)), y = sub(py, load(g.y + first + i)),
            z = sub(pz, load(g.z + first + i));
    store(line + i, x);
    store(line + pitch + i, y);
    store(line + 2 * pitch + i, z);
    store(line + 3 * pitch + i, root(madd(x, x, madd(y, y, madd(z, z, core2)))));
  }
}

void rays(const vlm::LineGrid& g, const double point[3], const double direction[3],
          vlm::LineVelocities result, double* scratch) {
  const std::size_t pitch = g.width + vlm::line_lanes;
  measure(g, g.panels_per_strip, point, scratch, pitch);
  const V ux = set(direction[0]), uy = set(direction[1]), uz = set(direction[2]), core2 = set(g.core2);
  for (std::size_t i = 0; i < g.num_edges; i += LANES) {
    const Ends a = load_ends(scratch, pitch, i);
    const V along = madd(a.x, ux, madd(a.y, uy, mul(a.z, uz)));
    const V cx = msub(uy, a.z, mul(uz, a.y)), cy = msub(uz, a.x, mul(ux, a.z)),
            cz = msub(ux, a.y, mul(uy, a.x));
    const V distance2 = madd(cx, cx, madd(cy, cy, madd(cz, cz, core2))); // r² − along²
    const M behind = less(set(0), along); // upstream of the start nothing cancels
    const V sum = select(behind, distance2, sub(a.r, along));
    const V least = select(behind, mul(set(on_ray2), mul(a.r, a.r)), set(0));
    const V quotient = div(select(behind, add(a.r, along), set(1)), mul(a.r, sum));
    const V factor = select(less(least, sum), mul(set(over_4pi), quotient), set(0));
    store(result.x + i, mul(factor, cx));
    store(result.y + i, mul(factor, cy));
    store(result.z + i, mul(factor, cz));
  }
}

// One chordwise line of a grid whose edges run along x, as seen from the point.
struct StraightLine {
  double *x, *r; // from its nodes, along x and altogether
  double* leg;   // of the leg along +x from each node, up to a constant of its edge: times (0, −z, y)
};

// A leg of unit circulation from a node along +x gives (1 + x/r)/(4πh²), h² being core² + y² + z². Ahead of
// the node, where x < 0, that is 1/(4πr(r − x)), behind it 2/(4πh²) − 1/(4πr(r + x)). twice holds 2/(4πh²),
// but 0 for an edge that ends ahead of the point: only differences between its nodes are used, and that
// large term would drown them. Far away they lose digits as r over the chord, of a velocity that is as small.
VLM_INLINE void measure_straight(const double* nodes, V x, const double* h2, const double* share,
                                 const double* twice, const StraightLine& line, std::size_t i) {
  const V along = sub(x, load(nodes + i)), r = root(madd(along, along, load(h2 + i)));
  // A point on a node is on the line, too, where anything finite will do.
  const V q = div(load(share + i), madd(r, add(r, magnitude(along)), set(1e-300)));
  store(line.x + i, along);
  store(line.r + i, r);
  store(line.leg + i, select(negative(along), q, sub(load(twice + i), q)));
}

// Of a grid whose edges run along x.
VLM_INLINE void straight_panels(const vlm::LineGrid& g, const double point[3], const vlm::LineVelocities& leg,
                                const double* leg_share, const vlm::LineVelocities& result, double* scratch) {
  const std::size_t pitch = g.width + vlm::line_lanes, edges = g.num_edges, panels = edges - 1;
  // What is the same on all chordwise lines: of an edge y, z, core² + y² + z², share of unit circulation over
  // 4π and twice that over h²; of a bound segment the x of its cross product, its product in y and z, and
  // what its horseshoe's legs give beside those of its line.
  double *y = scratch, *z = y + pitch, *h2 = z + pitch, *share = h2 + pitch, *twice = share + pitch,
         *cross = twice + pitch, *dot = cross + pitch, *rest_x = dot + pitch, *rest_y = rest_x + pitch,
         *rest_z = rest_y + pitch, *lines = rest_z + pitch;
  StraightLine here{lines, lines + pitch, lines + 2 * pitch},
      next{lines + 3 * pitch, lines + 4 * pitch, lines + 5 * pitch};
  const V px = set(point[0]), py = set(point[1]), pz = set(point[2]), core2 = set(g.core2);
  const double* last = g.x + g.panels_per_strip * g.width;
  for (std::size_t i = 0; i < g.width; i += LANES) {
    const V dy = sub(py, load(g.y + i)), dz = sub(pz, load(g.z + i)),
            across2 = madd(dy, dy, madd(dz, dz, core2)), unit = mul(set(over_4pi), load(leg_share + i));
    store(y + i, dy);
    store(z + i, dz);
    store(h2 + i, across2);
    store(share + i, unit);
    // 0, too, within 4e-8 of the chord from the edge, whose own legs count as none there.
    const V to_first = sub(px, load(g.x + i)), to_last = sub(px, load(last + i)),
            length = sub(to_first, to_last);
    const V ab2 = mul(madd(to_first, to_first, across2), madd(to_last, to_last, across2));
    const V quotient = div(add(unit, unit), across2);
    store(twice + i, select(negative(to_last),
                            select(less(mul(set(on_line2), ab2), mul(madd(length, length, across2), across2)),
                                   quotient, set(0)),
                            set(0)));
    measure_straight(last, px, h2, share, twice, next, i);
    const V behind = load(next.leg + i);
    store(leg.y + i, madd(dz, behind, load(leg.y + i)));
    store(leg.z + i, nmadd(dy, behind, load(leg.z + i)));
    measure_straight(last - g.width, px, h2, share, twice, here, i);
  }
  for (std::size_t i = 0; i < panels; i += LANES) {
    const V ay = load(y + i), by = load(y + i + 1), az = load(z + i), bz = load(z + i + 1);
    store(cross + i, msub(ay, bz, mul(az, by)));
    store(dot + i, madd(ay, by, madd(az, bz, core2)));
    store(rest_x + i, sub(load(leg.x + i + 1), load(leg.x + i)));
    store(rest_y + i, sub(load(leg.y + i + 1), load(leg.y + i)));
    store(rest_z + i, sub(load(leg.z + i + 1), load(leg.z + i)));
  }
  // Beyond the last edge stands what lets all_positive() choose by panels alone.
  const std::size_t beyond = g.width;
  y[beyond] = z[beyond] = 0, dot[beyond - 1] = 1;
  here.x[beyond] = next.x[beyond] = here.leg[beyond] = next.leg[beyond] = 0;
  here.r[beyond] = next.r[beyond] = 1;
  for (std::size_t k = g.panels_per_strip; k-- > 0;) {
    const double* before = k == 0 ? nullptr : g.x + (k - 1) * g.width;
    const vlm::LineVelocities to{result.x + k * g.width, result.y + k * g.width, result.z + k * g.width};
    std::size_t i = 0;
    for (; i < panels; i += LANES) {
      // The next line is measured on the way: its roots and these divisions keep each other company.
      if (before != nullptr)
        measure_straight(before, px, h2, share, twice, next, i);
      const V ax = load(here.x + i), bx = load(here.x + i + 1), ay = load(y + i), by = load(y + i + 1),
              az = load(z + i), bz = load(z + i + 1), ar = load(here.r + i), br = load(here.r + i + 1),
              aleg = load(here.leg + i), bleg = load(here.leg + i + 1);
      const V product = madd(ax, bx, load(dot + i)), ab = mul(ar, br);
      // strength() in short, the same bits, where all ends are seen less than 90° apart, as they mostly are.
      V factor = div(mul(set(over_4pi), add(ar, br)), mul(ab, add(ab, product)));
      if (!all_positive(product)) {
        const V cx = load(cross + i), cy = msub(az, bx, mul(ax, bz)), cz = msub(ax, by, mul(ay, bx));
        const V sx = sub(bx, ax), sy = sub(by, ay), sz = sub(bz, az);
        const V length2 = madd(sx, sx, madd(sy, sy, mul(sz, sz)));
        factor = strength(ar, br, product, madd(cx, cx, madd(cy, cy, madd(cz, cz, mul(core2, length2)))),
                          set(over_4pi));
      }
      // factor·(a × b) + aleg·(0, az, −ay) − bleg·(0, bz, −by), what goes with a and with b put together.
      const V of_a = madd(factor, bx, aleg), of_b = madd(factor, ax, bleg);
      store(to.x + i, madd(factor, load(cross + i), load(rest_x + i)));
      store(to.y + i, nmadd(bz, of_b, madd(az, of_a, load(rest_y + i))));
      store(to.z + i, madd(by, of_b, nmadd(ay, of_a, load(rest_z + i))));
    }
    for (; before != nullptr && i < edges; i += LANES)
      measure_straight(before, px, h2, share, twice, next, i);
    const StraightLine swap = here;
    here = next;
    next = swap;
  }
}

void panels(const vlm::LineGrid& g, const double point[3], vlm::LineVelocities leg, const double* leg_share,
            vlm::LineVelocities result, double* scratch) {
  if (g.straight) {
    straight_panels(g, point, leg, leg_share, result, scratch);
    return;
  }
  const std::size_t pitch = g.width + vlm::line_lanes;
  double *aft = scratch, *fore = scratch + 4 * pitch;
  const V core2 = set(g.core2);
  measure(g, g.panels_per_strip, point, aft, pitch);
  for (std::size_t k = g.panels_per_strip; k-- > 0;) {
    measure(g, k, point, fore, pitch);
    // The legs of this line are those behind it and one piece more.
    for (std::size_t i = 0; i < g.num_edges; i += LANES) {
      V x = load(leg.x + i), y = load(leg.y + i), z = load(leg.z + i);
      add_segment(load_ends(fore, pitch, i), load_ends(aft, pitch, i), core2, x, y, z,
                  mul(set(over_4pi), load(leg_share + i)));
      store(leg.x + i, x);
      store(leg.y + i, y);
      store(leg.z + i, z);
    }
    const std::size_t first = k * g.width;
    for (std::size_t i = 0; i + 1 < g.num_edges; i += LANES) {
      V x = sub(load(leg.x + i + 1), load(leg.x + i)), y = sub(load(leg.y + i + 1), load(leg.y + i)),
        z = sub(load(leg.z + i + 1), load(leg.z + i));
      add_segment(load_ends(fore, pitch, i), load_ends(fore, pitch, i + 1), core2, x, y, z, set(over_4pi));
      store(result.x + first + i, x);
      store(result.y + first + i, y);
      store(result.z + first + i, z);
    }
    double* swap = aft;
    aft = fore;
    fore = swap;
  }
}

} // namespace
