// The kernel itself, included by one source for each kind of processor, which defines the vector V of LANES
// doubles and its operations. Everything here is of internal linkage: the linker keeps one copy of a shared
// inline function, perhaps one that the processor at hand cannot run.

#include <vlm/flow/line_kernel.hpp>

namespace {

#define VLM_INLINE inline __attribute__((always_inline))

// Passes of the loop that follows do not touch each other's numbers.
#if defined(__clang__)
#define VLM_SIDE_BY_SIDE _Pragma("clang loop vectorize(assume_safety)")
#else
#define VLM_SIDE_BY_SIDE _Pragma("GCC ivdep")
#endif

constexpr double over_4pi = 0.079577471545947667884; // 1/(4π)

// Square of the sine of the angle between the ends below which a point counts as on the segment.
constexpr double on_line2 = 2e-14;

// Likewise on a ray.
constexpr double on_ray2 = 1e-24;

struct Ends {
  V x, y, z, r; // from the node to the point, and how far
};

VLM_INLINE Ends load_ends(const double* line, std::size_t pitch, std::size_t i) {
  return {load(line + i), load(line + pitch + i), load(line + 2 * pitch + i), load(line + 3 * pitch + i)};
}

// Velocity of a segment of unit circulation from a to b, Biot & Savart: (a × b)(|a| + |b|)/(4π|a||b|(|a||b| +
// a·b)). Between the ends the last sum cancels; there (|a × b|² + core²|b − a|²)/(|a||b| − a·b), which it
// equals, is taken. |a|, |b| and a·b hold core² (Rosenhead 1930, Moore 1972).
VLM_INLINE void add_segment(const Ends& a, const Ends& b, V core2, V& vx, V& vy, V& vz, V share) {
  const V cx = msub(a.y, b.z, mul(a.z, b.y)), cy = msub(a.z, b.x, mul(a.x, b.z)),
          cz = msub(a.x, b.y, mul(a.y, b.x));
  const V ab = mul(a.r, b.r), d = madd(a.x, b.x, madd(a.y, b.y, madd(a.z, b.z, core2)));
  const V length2 = sub(madd(a.r, a.r, mul(b.r, b.r)), add(d, d));
  const V cross2 = madd(cx, cx, madd(cy, cy, madd(cz, cz, mul(core2, length2))));
  const M between = less(d, set(0));
  const V sum = select(between, cross2, add(ab, d));
  const V least = select(between, mul(set(on_line2), mul(ab, ab)), set(0));
  const V above = mul(add(a.r, b.r), select(between, sub(ab, d), set(1)));
  const V quotient = div(mul(share, above), mul(ab, sum));
  const V factor = select(less(least, sum), mul(set(over_4pi), quotient), set(0));
  vx = madd(factor, cx, vx);
  vy = madd(factor, cy, vy);
  vz = madd(factor, cz, vz);
}

// Vectors from the nodes of one chordwise line to the point, with their lengths.
VLM_INLINE void measure(const vlm::LineGrid& g, std::size_t k, const double point[3], double* line,
                        std::size_t pitch) {
  const V px = set(point[0]), py = set(point[1]), pz = set(point[2]), core2 = set(g.core2);
  const std::size_t first = k * g.width;
  VLM_SIDE_BY_SIDE
  for (std::size_t i = 0; i < g.width; i += LANES) {
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
  VLM_SIDE_BY_SIDE
  for (std::size_t i = 0; i < g.width; i += LANES) {
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

void panels(const vlm::LineGrid& g, const double point[3], vlm::LineVelocities leg, const double* leg_share,
            vlm::LineVelocities result, double* scratch) {
  const std::size_t pitch = g.width + vlm::line_lanes;
  double *aft = scratch, *fore = scratch + 4 * pitch;
  const V core2 = set(g.core2), whole = set(1);
  measure(g, g.panels_per_strip, point, aft, pitch);
  for (std::size_t k = g.panels_per_strip; k-- > 0;) {
    measure(g, k, point, fore, pitch);
    // The legs of this line are those behind it and one piece more.
    VLM_SIDE_BY_SIDE
    for (std::size_t i = 0; i < g.width; i += LANES) {
      V x = load(leg.x + i), y = load(leg.y + i), z = load(leg.z + i);
      add_segment(load_ends(fore, pitch, i), load_ends(aft, pitch, i), core2, x, y, z, load(leg_share + i));
      store(leg.x + i, x);
      store(leg.y + i, y);
      store(leg.z + i, z);
    }
    const std::size_t first = k * g.width;
    VLM_SIDE_BY_SIDE
    for (std::size_t i = 0; i < g.width; i += LANES) {
      V x = sub(load(leg.x + i + 1), load(leg.x + i)), y = sub(load(leg.y + i + 1), load(leg.y + i)),
        z = sub(load(leg.z + i + 1), load(leg.z + i));
      add_segment(load_ends(fore, pitch, i), load_ends(fore, pitch, i + 1), core2, x, y, z, whole);
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
