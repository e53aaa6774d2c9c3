// The kernel itself, included by one source for each kind of processor and compiled for it: plain loops over
// settings, whose passes the compiler runs side by side. Everything here is of internal linkage: the linker
// keeps one copy of a shared inline function, perhaps one that the processor at hand cannot run.

#include <vlm/study/twist_kernel.hpp>

namespace {

#define VLM_INLINE inline __attribute__((always_inline))

// Passes of the loop that follows do not touch each other's numbers.
#if defined(__clang__)
#define VLM_SIDE_BY_SIDE _Pragma("clang loop vectorize(assume_safety)")
#else
#define VLM_SIDE_BY_SIDE _Pragma("GCC ivdep")
#endif

constexpr std::size_t block = vlm::twist_block;
constexpr double settled = 3e-9; // step of t after which the next, its square, is nothing
constexpr double farthest = 0.5; // t beyond which none is sought here
constexpr int most_steps = 8;

// A load over c² is p0 + p1 t + p2 t² at fixed turns.
VLM_INLINE double at_no_angle(const double* q, double a, double b) {
  return q[0] + a * (q[3] + a * q[5] + b * q[6]) + b * (q[4] + b * q[7]);
}
VLM_INLINE double first_order(const double* q, double a, double b) {
  return q[1] + a * q[8] + b * q[9];
}

VLM_INLINE double over_c2(const double* q, double t, double a, double b) {
  return at_no_angle(q, a, b) + t * (first_order(q, a, b) + t * q[2]);
}

void loads(const vlm::TwistForms& forms, const double* t, const double* a, const double* b, std::size_t count,
           double* const* result) {
  constexpr std::size_t most = 512; // at once: few enough for the first cache
  for (std::size_t first = 0; first < count; first += most) {
    const std::size_t n = count - first < most ? count - first : most;
    double c2[most];
    for (std::size_t k = 0; k < vlm::num_twist_loads; ++k) {
      const double* q = forms.q[k];
      double* into = result[k] + first;
      const double *tangent = t + first, *p = a + first, *r = b + first;
      if (k == 0) { // along with the divisions, which take their time
        VLM_SIDE_BY_SIDE
        for (std::size_t i = 0; i < n; ++i) {
          c2[i] = 1 / (1 + tangent[i] * tangent[i]);
          into[i] = c2[i] * over_c2(q, tangent[i], p[i], r[i]);
        }
      } else {
        VLM_SIDE_BY_SIDE
        for (std::size_t i = 0; i < n; ++i)
          into[i] = c2[i] * over_c2(q, tangent[i], p[i], r[i]);
      }
    }
  }
}

// Angle of tangent t = tan α, by half of it: u = tan(α/2), and the arc tangent's series.
VLM_INLINE double angle(double t, double root) {
  const double u = t / (1 + root), u2 = u * u;
  double sum = 1.0 / 29;
  sum = 1.0 / 27 - u2 * sum;
  sum = 1.0 / 25 - u2 * sum;
  sum = 1.0 / 23 - u2 * sum;
  sum = 1.0 / 21 - u2 * sum;
  sum = 1.0 / 19 - u2 * sum;
  sum = 1.0 / 17 - u2 * sum;
  sum = 1.0 / 15 - u2 * sum;
  sum = 1.0 / 13 - u2 * sum;
  sum = 1.0 / 11 - u2 * sum;
  sum = 1.0 / 9 - u2 * sum;
  sum = 1.0 / 7 - u2 * sum;
  sum = 1.0 / 5 - u2 * sum;
  sum = 1.0 / 3 - u2 * sum;
  return 2 * (u - u * u2 * sum);
}

VLM_INLINE bool all_settled(const double* moving) {
  constexpr std::size_t lanes = 8; // sums side by side, which do not wait for each other
  double sum[lanes] = {};
  for (std::size_t i = 0; i < block; i += lanes)
    for (std::size_t k = 0; k < lanes; ++k)
      sum[k] += moving[i + k];
  double all = 0;
  for (const double one : sum)
    all += one;
  return all == 0;
}

// Lift over c³ at fixed turns: l0 + l1 t + l2 t² + l3 t³.
struct LiftCubic {
  double l0[block], l1[block], l2[block], l3;
};

// A step of all settings towards where the cubic is lift·(1 + t²)^(3/2); with_root: unless the lift is 0.
// Each goes on until its own step is small, so that its figures do not hang on its neighbours.
VLM_INLINE void step_all(const LiftCubic& cubic, double lift, bool with_root, double* t, double* moving,
                         double* found) {
  VLM_SIDE_BY_SIDE
  for (std::size_t i = 0; i < block; ++i) {
    const double x = t[i];
    double error = cubic.l0[i] + x * (cubic.l1[i] + x * (cubic.l2[i] + x * cubic.l3)),
           inner = 2 * cubic.l2[i] + 3 * x * cubic.l3;
    if (with_root) {
      const double square = 1 + x * x, root = __builtin_sqrt(square);
      error -= lift * square * root;
      inner -= 3 * lift * root;
    }
    const double change = moving[i] == 0 ? 0 : error / (cubic.l1[i] + x * inner), next = x - change;
    t[i] = next;
    moving[i] = __builtin_fabs(change) < settled ? 0 : 1;
    found[i] = __builtin_fabs(next) < farthest ? found[i] : 0;
  }
}

void seek(const vlm::TwistForms& forms, double lift, const vlm::TwistBlock& s, double* t, double* found) {
  const double *x = forms.q[vlm::load_x], *z = forms.q[vlm::load_z];
  LiftCubic cubic;
  cubic.l3 = -x[2];
  double moving[block];
  VLM_SIDE_BY_SIDE
  for (std::size_t i = 0; i < block; ++i) {
    cubic.l0[i] = at_no_angle(z, s.a[i], s.b[i]);
    cubic.l1[i] = first_order(z, s.a[i], s.b[i]) - at_no_angle(x, s.a[i], s.b[i]);
    cubic.l2[i] = z[2] - first_order(x, s.a[i], s.b[i]);
    t[i] = 0, found[i] = 1, moving[i] = 1;
  }
  for (int step = 0; step < most_steps && !all_settled(moving); ++step)
    if (lift == 0)
      step_all(cubic, lift, false, t, moving, found);
    else
      step_all(cubic, lift, true, t, moving, found);
  for (std::size_t i = 0; i < block; ++i)
    found[i] = moving[i] == 0 ? found[i] : 0;
}

// A load over c² with its first two powers of t, which the third, q[2], follows.
struct Load {
  double none, first;
};
VLM_INLINE Load load_of(const double* q, double a, double b) {
  return {at_no_angle(q, a, b), first_order(q, a, b)};
}
VLM_INLINE double value(const Load& load, double second, double t) {
  return load.none + t * (load.first + t * second);
}
// Derivative with angle of attack, over c².
VLM_INLINE double slope(const Load& load, double second, double t) {
  return 2 * t * (second - load.none) + (1 - t * t) * load.first;
}

void evaluate(const vlm::TwistForms& forms, const vlm::TwistScales& scales, vlm::TwistBlock& s) {
  const double *qx = forms.q[vlm::load_x], *qz = forms.q[vlm::load_z], *qm = forms.q[vlm::load_pitch];
  const double per_force = 1 / scales.force, per_moment = 1 / scales.moment, per_chord = 1 / scales.chord;
  const double least = scales.no_force, x0 = scales.about_x, z0 = scales.about_z;
  VLM_SIDE_BY_SIDE
  for (std::size_t i = 0; i < block; ++i) {
    const double t = s.t[i], root = __builtin_sqrt(1 + t * t), c = 1 / root, sine = t * c;
    const double f = c * c * per_force;
    const Load of_x = load_of(qx, s.a[i], s.b[i]), of_z = load_of(qz, s.a[i], s.b[i]),
               of_m = load_of(qm, s.a[i], s.b[i]);
    const double x = f * value(of_x, qx[2], t), z = f * value(of_z, qz[2], t), dx = f * slope(of_x, qx[2], t),
                 dz = f * slope(of_z, qz[2], t);
    const double m = c * c * value(of_m, qm[2], t), dm = c * c * slope(of_m, qm[2], t);
    const double lift = z * c - x * sine, drag = f * value(load_of(forms.q[vlm::load_drag], s.a[i], s.b[i]),
                                                           forms.q[vlm::load_drag][2], t);
    s.alpha[i] = angle(t, root);
    s.lift_slope[i] = dz * c - z * sine - dx * sine - x * c;
    s.pitching_moment[i] = m * per_moment;
    s.induced_drag[i] = drag;
    s.near_drag_excess[i] = x * c + z * sine - drag;
    s.centre_of_lift[i] = x0 - (m * per_force + z0 * x) / z;
    s.neutral_point[i] = x0 - (dm * per_force + z0 * dx) / dz;
    s.static_margin[i] = (s.neutral_point[i] - s.centre_of_lift[i]) * per_chord;
    const bool lifts = __builtin_fabs(lift) > least, bears = __builtin_fabs(z) > least;
    s.has_centre[i] = lifts ? (bears ? 1 : 0) : 0;
    s.has_neutral[i] = __builtin_fabs(dz) > least ? 1 : 0;
    const double *qsx = forms.q[vlm::load_surface_x], *qsz = forms.q[vlm::load_surface_z];
    s.surface_lift[i] = f * (value(load_of(qsz, s.a[i], s.b[i]), qsz[2], t) * c -
                             value(load_of(qsx, s.a[i], s.b[i]), qsx[2], t) * sine);
    const double u = s.zero_t[i];
    s.zero_lift_moment[i] = value(of_m, qm[2], u) * per_moment / (1 + u * u);
  }
}

void find_peaks(const double* strips, std::size_t num_strips, vlm::TwistBlock& s) {
  double cosine[block];
  VLM_SIDE_BY_SIDE
  for (std::size_t i = 0; i < block; ++i) {
    cosine[i] = 1 / __builtin_sqrt(1 + s.t[i] * s.t[i]);
    s.peak[i] = 0, s.peak_strip[i] = 0;
  }
  for (std::size_t j = 0; j < num_strips; ++j) {
    const double *u = strips + 4 * j, number = static_cast<double>(j);
    const double u0 = u[0], u1 = u[1], u2 = u[2], u3 = u[3];
    VLM_SIDE_BY_SIDE
    for (std::size_t i = 0; i < block; ++i) {
      const double local = cosine[i] * (u0 + u1 * s.t[i] + u2 * s.a[i] + u3 * s.b[i]);
      const bool more = __builtin_fabs(local) > __builtin_fabs(s.peak[i]);
      s.peak[i] = more ? local : s.peak[i];
      s.peak_strip[i] = more ? number : s.peak_strip[i];
    }
  }
}

} // namespace
