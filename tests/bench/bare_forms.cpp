#include "bare_forms.hpp"

#include <cmath>
#include <cstring>
#include <initializer_list>

namespace bench {
namespace {

#define INLINE inline __attribute__((always_inline))

// The form at (1, t, a, b): from no angle, first order in t, and second.
INLINE double none(const double* q, double a, double b) {
  return q[0] + a * (q[3] + a * q[5] + b * q[6]) + b * (q[4] + b * q[7]);
}
INLINE double first(const double* q, double a, double b) {
  return q[1] + a * q[8] + b * q[9];
}
INLINE double form(const double* q, double t, double a, double b) {
  return none(q, a, b) + t * (first(q, a, b) + t * q[2]);
}

INLINE void loads_body(const vlm::TwistForms& f, const double* t, const double* a, const double* b,
                       std::size_t count, double* const* result) {
  double *x = result[0], *z = result[1], *pitch = result[2], *drag = result[3], *sx = result[4],
         *sz = result[5];
#pragma GCC ivdep
  for (std::size_t i = 0; i < count; ++i) {
    const double c2 = 1 / (1 + t[i] * t[i]);
    x[i] = c2 * form(f.q[0], t[i], a[i], b[i]);
    z[i] = c2 * form(f.q[1], t[i], a[i], b[i]);
    pitch[i] = c2 * form(f.q[2], t[i], a[i], b[i]);
    drag[i] = c2 * form(f.q[3], t[i], a[i], b[i]);
    sx[i] = c2 * form(f.q[4], t[i], a[i], b[i]);
    sz[i] = c2 * form(f.q[5], t[i], a[i], b[i]);
  }
}

INLINE double step(double t, double l0, double l1, double l2, double l3, double lift) {
  const double square = 1 + t * t, root = std::sqrt(square);
  return t - (l0 + t * (l1 + t * (l2 + t * l3)) - lift * square * root) /
                 (l1 + t * (2 * l2 + 3 * t * l3) - 3 * lift * t * root);
}

INLINE double solve(double l0, double l1, double l2, double l3, double lift) {
  double t = 0;
  t = step(t, l0, l1, l2, l3, lift);
  t = step(t, l0, l1, l2, l3, lift);
  t = step(t, l0, l1, l2, l3, lift);
  t = step(t, l0, l1, l2, l3, lift);
  return step(t, l0, l1, l2, l3, lift);
}

// Likewise for no lift.
INLINE double step_to_none(double t, double l0, double l1, double l2, double l3) {
  return t - (l0 + t * (l1 + t * (l2 + t * l3))) / (l1 + t * (2 * l2 + 3 * t * l3));
}

INLINE double solve_for_none(double l0, double l1, double l2, double l3) {
  double t = 0;
  t = step_to_none(t, l0, l1, l2, l3);
  t = step_to_none(t, l0, l1, l2, l3);
  t = step_to_none(t, l0, l1, l2, l3);
  t = step_to_none(t, l0, l1, l2, l3);
  return step_to_none(t, l0, l1, l2, l3);
}

INLINE double arc_tangent(double t, double root) {
  const double u = t / (1 + root), w = -u * u;
  const double sum =
      1.0 / 3 +
      w * (1.0 / 5 +
           w * (1.0 / 7 +
                w * (1.0 / 9 +
                     w * (1.0 / 11 +
                          w * (1.0 / 13 +
                               w * (1.0 / 15 +
                                    w * (1.0 / 17 +
                                         w * (1.0 / 19 +
                                              w * (1.0 / 21 +
                                                   w * (1.0 / 23 +
                                                        w * (1.0 / 25 + w * (1.0 / 27 + w / 29))))))))))));
  return 2 * (u + u * w * sum);
}

INLINE void trimmed_body(const vlm::TwistForms& f, double lift, const double* a, const double* b,
                         std::size_t count, double* const* result) {
#pragma GCC ivdep
  for (std::size_t i = 0; i < count; ++i) {
    const double p = a[i], r = b[i];
    const double x0 = none(f.q[0], p, r), x1 = first(f.q[0], p, r), x2 = f.q[0][2], z0 = none(f.q[1], p, r),
                 z1 = first(f.q[1], p, r), z2 = f.q[1][2], m0 = none(f.q[2], p, r), m1 = first(f.q[2], p, r),
                 m2 = f.q[2][2];
    const double t = solve(z0, z1 - x0, z2 - x1, -x2, lift), u = solve_for_none(z0, z1 - x0, z2 - x1, -x2);
    const double root = std::sqrt(1 + t * t), c = 1 / root, s = t * c, c2 = c * c;
    const double x = c2 * (x0 + t * (x1 + t * x2)), z = c2 * (z0 + t * (z1 + t * z2)),
                 m = c2 * (m0 + t * (m1 + t * m2));
    const double dx = c2 * (2 * t * (x2 - x0) + (1 - t * t) * x1),
                 dz = c2 * (2 * t * (z2 - z0) + (1 - t * t) * z1),
                 dm = c2 * (2 * t * (m2 - m0) + (1 - t * t) * m1);
    const double drag = c2 * form(f.q[3], t, p, r);
    result[0][i] = p;
    result[1][i] = r;
    result[2][i] = arc_tangent(t, root);
    result[3][i] = dz * c - z * s - dx * s - x * c;
    result[4][i] = m;
    result[5][i] = (m0 + u * (m1 + u * m2)) / (1 + u * u);
    const double centre = -m / z, neutral = -dm / dz;
    result[6][i] = centre;
    result[7][i] = neutral;
    result[8][i] = neutral - centre;
    result[9][i] = c2 * (form(f.q[5], t, p, r) * c - form(f.q[4], t, p, r) * s);
    result[10][i] = drag;
    result[11][i] = x * c + z * s - drag;
    result[12][i] = z * c - x * s;
  }
}

#define BARE(name, ...)                                                                                      \
  __VA_ARGS__ void loads_##name(const vlm::TwistForms& f, const double* t, const double* a, const double* b, \
                                std::size_t count, double* const* result) {                                  \
    loads_body(f, t, a, b, count, result);                                                                   \
  }                                                                                                          \
  __VA_ARGS__ void trimmed_##name(const vlm::TwistForms& f, double lift, const double* a, const double* b,   \
                                  std::size_t count, double* const* result) {                                \
    trimmed_body(f, lift, a, b, count, result);                                                              \
  }                                                                                                          \
  constexpr BareLoops name{#name, loads_##name, trimmed_##name};

BARE(portable)
#ifdef __x86_64__
BARE(avx2, __attribute__((target("avx2"))))
BARE(avx512, __attribute__((target("avx512f,prefer-vector-width=512"))))
#endif

} // namespace

const BareLoops& bare_loops() {
#ifdef __x86_64__
  for (const BareLoops* loops : {&avx2, &avx512})
    if (std::strcmp(loops->name, vlm::twist_kernel().name) == 0)
      return *loops;
#endif
  return portable;
}

} // namespace bench
