// Sheets of wakes, after line_kernel_body.hpp in the same sources.

namespace {

// Distances of a point from a ribbon's nearer end, in its lengths.
constexpr double FAR_AWAY = 8; // beyond it the closed form cancels and a series is taken
constexpr double FARTHER = 64, FARTHEST = 1024;

// Terms until |ẑ|^(−n) < 1e-17 from there on.
constexpr int TERMS_FAR_AWAY = 19, TERMS_FARTHER = 10, TERMS_FARTHEST = 6;

// ∫ τ^m/(ẑ − τ) dτ over [0, 1] for m = 0, 1, 2, real and imaginary parts.
struct RibbonMoments {
  V re0, im0, re1, im1, re2, im2;
};

// Σ w^(n+1)/(n+m+1), w = 1/ẑ, of a ribbon far away: the last as a polynomial of real coefficients at a
// complex place (Knuth, The Art of Computer Programming 2, 4.6.4), from it back the others.
template <int TERMS>
VLM_INLINE RibbonMoments far_moments(V eta, V zeta, V distance2) {
  const V square = div(set(1), distance2), u = mul(eta, square), v = mul(sub(set(0), zeta), square),
          twice = add(u, u);
  V b1 = set(0), b2 = set(0);
#pragma GCC unroll 32
  for (int n = TERMS + 2; n > 3; --n) {
    const V b0 = nmadd(square, b2, madd(twice, b1, set(1.0 / n)));
    b2 = b1, b1 = b0;
  }
  const V sum = nmadd(square, b2, madd(u, b1, set(1.0 / 3))), turned = mul(v, b1);
  const V re2 = msub(u, sum, mul(v, turned)), im2 = madd(u, turned, mul(v, sum));
  const V half = add(re2, set(0.5));
  const V re1 = msub(u, half, mul(v, im2)), im1 = madd(u, im2, mul(v, half));
  const V whole = add(re1, set(1));
  return {msub(u, whole, mul(v, im1)), madd(u, im1, mul(v, whole)), re1, im1, re2, im2};
}

VLM_INLINE V smaller(V a, V b) {
  return select(less(a, b), a, b);
}

VLM_INLINE V larger(V a, V b) {
  return select(less(a, b), b, a);
}

// Σ ±s^(2k+1)/(2k+1): the area hyperbolic tangent of s, or with changing signs the inverse tangent, up to a
// relative error of s^(2·terms)/(2·terms + 1).
template <int TERMS, int SIGN>
VLM_INLINE V inverse_tangent_series(V s) {
  const V square = SIGN < 0 ? sub(set(0), mul(s, s)) : mul(s, s);
  V sum = set(1.0 / (2 * TERMS - 1));
#pragma GCC unroll 16
  for (int n = 2 * TERMS - 3; n > 0; n -= 2)
    sum = madd(square, sum, set(1.0 / n));
  return mul(s, sum);
}

// ½ log(a/b) of positive numbers: the nearest power of two apart, artanh((a − b)/(a + b)) of what is left,
// where |s| is no more than (√2 − 1)/(√2 + 1).
VLM_INLINE V half_log_ratio(V a, V b) {
  constexpr double root2 = 1.4142135623730950488, half_log2 = 0.34657359027997265471;
  const V ma = mantissa(a), mb = mantissa(b);
  const M above = less(mul(set(root2), mb), ma), below = less(mul(set(root2), ma), mb);
  const V beside = select(above, add(mb, mb), select(below, mul(set(0.5), mb), mb));
  const V power = add(sub(exponent(a), exponent(b)), select(above, set(1), select(below, set(-1), set(0))));
  return madd(power, set(half_log2), inverse_tangent_series<11, 1>(div(sub(ma, beside), add(ma, beside))));
}

// Angle of (x, y) from the x axis, −π to π. The nearest of 0, π/8 and π/4 is turned away first: tangents of
// π/16 and less are left to the series.
VLM_INLINE V angle_of(V y, V x) {
  constexpr double tan_1 = 0.19891236737965800691, tan_2 = 0.41421356237309504880, // of π/16 and π/8
      tan_3 = 0.66817863791929891999,                                              // of 3π/16
      pi = 3.14159265358979323846;
  const V ax = magnitude(x), ay = magnitude(y);
  const M steep = less(ax, ay);
  const V large = select(steep, ay, ax), small = select(steep, ax, ay);
  const M second = less(mul(set(tan_1), large), small), third = less(mul(set(tan_3), large), small);
  const V turn = select(third, set(1), select(second, set(tan_2), set(0))),
          turned = select(third, set(pi / 4), select(second, set(pi / 8), set(0)));
  // Where both are 0, any angle will do.
  const V rest = div(nmadd(turn, large, small), larger(madd(turn, small, large), set(1e-300)));
  const V acute = add(turned, inverse_tangent_series<12, -1>(rest));
  const V right = select(steep, sub(set(pi / 2), acute), acute);
  const V all = select(less(x, set(0)), sub(set(pi), right), right);
  return select(less(y, set(0)), sub(set(0), all), all);
}

// The closed form. Nearer to an end than the root of least2, that distance is taken: the same for both
// ribbons that meet there, so that their logarithms still cancel. smoothing: ε of WakeSheet in ribbon
// lengths.
VLM_INLINE RibbonMoments near_moments(V eta, V zeta, V before2, V behind2, V least2, V smoothing) {
  const V re0 = half_log_ratio(larger(before2, least2), larger(behind2, least2));
  // The angle that the ribbon fills jumps by 2π through it; on the ribbon itself the mean, zero, is taken.
  V im0 = sub(set(0), angle_of(zeta, madd(eta, sub(eta, set(1)), mul(zeta, zeta))));
  const V off = div(magnitude(zeta), smoothing);
  if (!all_positive(sub(off, set(6)))) { // from there on the function is 1 in all digits
    double angle[LANES], distance[LANES];
    store(angle, im0);
    store(distance, off);
    for (std::size_t lane = 0; lane < LANES; ++lane)
      if (distance[lane] < 6)
        angle[lane] *= __builtin_erf(distance[lane]);
    im0 = load(angle);
  }
  const V re1 = sub(msub(eta, re0, mul(zeta, im0)), set(1)), im1 = madd(eta, im0, mul(zeta, re0));
  return {re0, im0, re1, im1, sub(msub(eta, re1, mul(zeta, im1)), set(0.5)), madd(eta, im1, mul(zeta, re1))};
}

void ribbon_moments(const vlm::SheetGrid& g, const double point[3], double* const moment[8]) {
  const V p1 = set(point[0]), p2 = set(point[1]);
  for (std::size_t i = 0; i <= g.num_ribbons; i += LANES) {
    const V r1 = sub(p1, load(g.node1 + i)), r2 = sub(p2, load(g.node2 + i));
    const V t1 = load(g.tangent1 + i), t2 = load(g.tangent2 + i), scale = load(g.per_length + i);
    const V eta = mul(madd(r1, t1, mul(r2, t2)), scale), zeta = mul(msub(r2, t1, mul(r1, t2)), scale);
    const V beyond = sub(eta, set(1)), zeta2 = mul(zeta, zeta), before2 = madd(eta, eta, zeta2),
            behind2 = madd(beyond, beyond, zeta2), nearest2 = smaller(before2, behind2);
    const auto farther_than = [&](double distance) {
      return all_positive(sub(nearest2, set(distance * distance)));
    };
    const auto near = [&] {
      return near_moments(eta, zeta, before2, behind2, mul(set(g.least_distance2), mul(scale, scale)),
                          smaller(mul(set(g.smoothing), scale), set(1)));
    };
    RibbonMoments m;
    if (farther_than(FARTHEST)) {
      m = far_moments<TERMS_FARTHEST>(eta, zeta, before2);
    } else if (farther_than(FARTHER)) {
      m = far_moments<TERMS_FARTHER>(eta, zeta, before2);
    } else if (farther_than(FAR_AWAY)) {
      m = far_moments<TERMS_FAR_AWAY>(eta, zeta, before2);
    } else if (all_positive(sub(set(FAR_AWAY * FAR_AWAY), nearest2))) {
      m = near();
    } else {
      const RibbonMoments a = near(), b = far_moments<TERMS_FAR_AWAY>(eta, zeta, before2);
      const M is_near = less(nearest2, set(FAR_AWAY * FAR_AWAY));
      m = {select(is_near, a.re0, b.re0), select(is_near, a.im0, b.im0), select(is_near, a.re1, b.re1),
           select(is_near, a.im1, b.im1), select(is_near, a.re2, b.re2), select(is_near, a.im2, b.im2)};
    }
    const V all[] = {eta, zeta, m.re0, m.im0, m.re1, m.im1, m.re2, m.im2};
    for (int k = 0; k < 8; ++k)
      store(moment[k] + i, all[k]);
  }
}

VLM_INLINE V share_downstream(V d1, V d2, V along) {
  const V distance = root(madd(along, along, madd(d1, d1, mul(d2, d2))));
  const V share = madd(set(0.5), div(along, distance), set(0.5));
  return select(less(set(0), distance), share, set(0.5));
}

void ribbon_weights(const vlm::SheetGrid& g, const double point[3], const double* const moment[8],
                    double* const share[2], std::size_t count, const double (*along)[2], double* weights) {
  const V p1 = set(point[0]), p2 = set(point[1]), p3 = set(point[2]), half = set(0.5);
  for (std::size_t i = 0; i <= g.num_ribbons; i += LANES) {
    const V n1 = load(g.node1 + i), n2 = load(g.node2 + i), n3 = load(g.along + i);
    store(share[0] + i, share_downstream(sub(p1, n1), sub(p2, n2), sub(p3, n3)));
    store(share[1] + i, share_downstream(nmadd(half, add(n1, load(g.node1 + i + 1)), p1),
                                         nmadd(half, add(n2, load(g.node2 + i + 1)), p2),
                                         nmadd(half, add(n3, load(g.along + i + 1)), p3)));
  }
  const std::size_t first_mean = vlm::first_mean(g.num_ribbons), pitch = vlm::num_strengths(g.num_ribbons);
  V last_before[2] = {set(0), set(0)};
  for (std::size_t i = 0; i <= g.num_ribbons; i += LANES) {
    const V fore = load(share[0] + i), aft = load(share[0] + i + 1), between = load(share[1] + i),
            counts = load(g.counts + i);
    // By strength at the first end, mean strength and strength at the last end, real and imaginary, of
    // parabolas that are 1 at one of the first end, the middle and the last end, and 0 at the others. The
    // middle's strength follows from the three (Simpson's rule is exact for a parabola).
    V end[3][2];
    for (int part = 0; part < 2; ++part) {
      const V m0 = load(moment[2 + part] + i), m1 = load(moment[4 + part] + i),
              m2 = load(moment[6 + part] + i), twice = add(m2, m2);
      const V first = mul(fore, add(nmadd(set(3), m1, m0), twice)), last = mul(aft, sub(twice, m1)),
              middle = mul(between, mul(set(4), sub(m1, m2)));
      end[0][part] = mul(counts, nmadd(set(0.25), middle, first));
      end[1][part] = mul(counts, mul(set(1.5), middle));
      end[2][part] = mul(counts, nmadd(set(0.25), middle, last));
    }
    const V t1 = load(g.tangent1 + i), t2 = load(g.tangent2 + i);
    for (std::size_t k = 0; k < count; ++k) {
      const V a = set(along[k][0]), b = set(along[k][1]), with_imaginary = madd(a, t1, mul(b, t2)),
              with_real = msub(b, t1, mul(a, t2));
      const auto velocity = [&](int e) { return madd(end[e][1], with_imaginary, mul(end[e][0], with_real)); };
      // A node has the first end of one ribbon and the last of the one before.
      double *at_node = weights + k * pitch + i, *mean = weights + k * pitch + first_mean + i;
      const V last = velocity(2);
      store(at_node, add(load(at_node), add(velocity(0), shifted(last_before[k], last))));
      last_before[k] = last;
      if (i < g.num_ribbons)
        store(mean, add(load(mean), velocity(1)));
    }
  }
}

} // namespace
