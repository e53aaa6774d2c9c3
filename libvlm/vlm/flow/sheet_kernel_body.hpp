// Sheets of wakes, after line_kernel_body.hpp in the same sources.

namespace {

// Terms until |ẑ|^(−n) < 1e-17 where |ẑ| is 8 or more.
constexpr int SERIES_TERMS = 19;

// Moments Σ w^(n+1)/(n+m+1), w = 1/ẑ, of a ribbon far away: the second as a polynomial of real coefficients
// at a complex place (Knuth, The Art of Computer Programming 2, 4.6.4), from it back the others.
void ribbon_moments(const vlm::SheetGrid& g, const double point[3], double* const moment[8]) {
  const V p1 = set(point[0]), p2 = set(point[1]), one = set(1);
  for (std::size_t i = 0; i < g.num_ribbons; i += LANES) {
    const V r1 = sub(p1, load(g.node1 + i)), r2 = sub(p2, load(g.node2 + i));
    const V t1 = load(g.tangent1 + i), t2 = load(g.tangent2 + i), scale = load(g.per_length + i);
    const V eta = mul(madd(r1, t1, mul(r2, t2)), scale), zeta = mul(msub(r2, t1, mul(r1, t2)), scale);
    const V square = div(one, madd(eta, eta, mul(zeta, zeta)));
    const V u = mul(eta, square), v = mul(sub(set(0), zeta), square), twice = add(u, u);
    V b1 = set(0), b2 = set(0);
#pragma GCC unroll 32
    for (int n = SERIES_TERMS + 2; n > 3; --n) {
      const V b0 = nmadd(square, b2, madd(twice, b1, set(1.0 / n)));
      b2 = b1, b1 = b0;
    }
    const V sum = nmadd(square, b2, madd(u, b1, set(1.0 / 3))), turned = mul(v, b1);
    const V re2 = msub(u, sum, mul(v, turned)), im2 = madd(u, turned, mul(v, sum));
    const V half = add(re2, set(0.5));
    const V re1 = msub(u, half, mul(v, im2)), im1 = madd(u, im2, mul(v, half));
    const V whole = add(re1, one);
    const V all[] = {eta, zeta, msub(u, whole, mul(v, im1)), madd(u, im1, mul(v, whole)), re1, im1, re2, im2};
    for (int k = 0; k < 8; ++k)
      store(moment[k] + i, all[k]);
  }
}

VLM_INLINE V share_downstream(V d1, V d2, V along) {
  const V distance = root(madd(along, along, madd(d1, d1, mul(d2, d2))));
  const V share = madd(set(0.5), div(along, distance), set(0.5));
  return select(less(set(0), distance), share, set(0.5));
}

void ribbon_velocities(const vlm::SheetGrid& g, const double point[3], const double* const moment[8],
                       double* const share[2], double* const velocity[6]) {
  const V p1 = set(point[0]), p2 = set(point[1]), p3 = set(point[2]), half = set(0.5);
  for (std::size_t i = 0; i <= g.num_ribbons; i += LANES) {
    const V n1 = load(g.node1 + i), n2 = load(g.node2 + i), n3 = load(g.along + i);
    store(share[0] + i, share_downstream(sub(p1, n1), sub(p2, n2), sub(p3, n3)));
    store(share[1] + i, share_downstream(nmadd(half, add(n1, load(g.node1 + i + 1)), p1),
                                         nmadd(half, add(n2, load(g.node2 + i + 1)), p2),
                                         nmadd(half, add(n3, load(g.along + i + 1)), p3)));
  }
  for (std::size_t i = 0; i < g.num_ribbons; i += LANES) {
    const V fore = load(share[0] + i), aft = load(share[0] + i + 1), between = load(share[1] + i);
    // By strength at the first end, mean strength and strength at the last end, real and imaginary, of
    // parabolas that are 1 at one of the first end, the middle and the last end, and 0 at the others. The
    // middle's strength follows from the three (Simpson's rule is exact for a parabola).
    V end[3][2];
    for (int part = 0; part < 2; ++part) {
      const V m0 = load(moment[2 + part] + i), m1 = load(moment[4 + part] + i),
              m2 = load(moment[6 + part] + i), twice = add(m2, m2);
      const V first = mul(fore, add(nmadd(set(3), m1, m0), twice)), last = mul(aft, sub(twice, m1)),
              middle = mul(between, mul(set(4), sub(m1, m2)));
      end[0][part] = nmadd(set(0.25), middle, first);
      end[1][part] = mul(set(1.5), middle);
      end[2][part] = nmadd(set(0.25), middle, last);
    }
    const V t1 = load(g.tangent1 + i), t2 = load(g.tangent2 + i);
    for (int k = 0; k < 3; ++k) {
      store(velocity[2 * k] + i, msub(end[k][1], t1, mul(end[k][0], t2)));
      store(velocity[2 * k + 1] + i, madd(end[k][1], t2, mul(end[k][0], t1)));
    }
  }
}

} // namespace
