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
constexpr double settled = 1e-13; // step of t below which a search has come to its end
constexpr double farthest = 0.5;  // t beyond which none is sought here
constexpr int most_steps = 8;

// A load over c² is p0 + p1 t + p2 t² at fixed turns.
VLM_INLINE double at_no_angle(const double* q, double a, double b) {
  return q[0] + a * (q[3] + a * q[5] + b * q[6]) + b * (q[4] + b * q[7]);
}
VLM_INLINE double first_order(const double* q, double a, double b) {
  return q[1] + a * q[8] + b * q[9];
}

void loads(const vlm::TwistForms& forms, const double* t, const double* a, const double* b, std::size_t count,
           double* const* result) {
  for (std::size_t k = 0; k < vlm::num_twist_loads; ++k) {
    const double* q = forms.q[k];
    double* into = result[k];
    VLM_SIDE_BY_SIDE
    for (std::size_t i = 0; i < count; ++i) {
      const double sum = at_no_angle(q, a[i], b[i]) + t[i] * (first_order(q, a[i], b[i]) + t[i] * q[2]);
      into[i] = sum / (1 + t[i] * t[i]);
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
  double sum = 0;
  for (std::size_t i = 0; i < block; ++i)
    sum += moving[i];
  return sum == 0;
}

void seek(const vlm::TwistForms& forms, double lift, const vlm::TwistBlock& s, double* t, double* found) {
  const double *x = forms.q[vlm::load_x], *z = forms.q[vlm::load_z];
  // Lift over c³ is l0 + l1 t + l2 t² + l3 t³, and shall be lift·(1 + t²)^(3/2).
  double l0[block], l1[block], l2[block], moving[block];
  const double l3 = -x[2];
  VLM_SIDE_BY_SIDE
  for (std::size_t i = 0; i < block; ++i) {
    l0[i] = at_no_angle(z, s.a[i], s.b[i]);
    l1[i] = first_order(z, s.a[i], s.b[i]) - at_no_angle(x, s.a[i], s.b[i]);
    l2[i] = z[2] - first_order(x, s.a[i], s.b[i]);
    t[i] = 0, found[i] = 1, moving[i] = 1;
  }
  // Each goes on until its own step is small, so that its figures do not hang on its neighbours.
  for (int step = 0; step < most_steps && !all_settled(moving); ++step) {
    VLM_SIDE_BY_SIDE
    for (std::size_t i = 0; i < block; ++i) {
      const double square = 1 + t[i] * t[i], root = __builtin_sqrt(square);
      const double error = l0[i] + t[i] * (l1[i] + t[i] * (l2[i] + t[i] * l3)) - lift * square * root;
      const double slope = l1[i] + t[i] * (2 * l2[i] + 3 * t[i] * l3 - 3 * lift * root);
      const double change = moving[i] == 0 ? 0 : error / slope;
      t[i] = t[i] - change;
      moving[i] = __builtin_fabs(change) < settled ? 0 : 1;
      found[i] = __builtin_fabs(t[i]) < farthest ? found[i] : 0;
    }
  }
  for (std::size_t i = 0; i < block; ++i)
    found[i] = moving[i] == 0 ? found[i] : 0;
}

void evaluate(const vlm::TwistForms& forms, vlm::TwistBlock& s) {
  VLM_SIDE_BY_SIDE
  for (std::size_t i = 0; i < block; ++i) {
    const double root = __builtin_sqrt(1 + s.t[i] * s.t[i]);
    s.cosine[i] = 1 / root;
    s.alpha[i] = angle(s.t[i], root);
  }
  for (int k = 0; k < vlm::num_twist_loads; ++k) {
    const double* q = forms.q[k];
    VLM_SIDE_BY_SIDE
    for (std::size_t i = 0; i < block; ++i) {
      const double t = s.t[i], c2 = s.cosine[i] * s.cosine[i];
      s.load[k][i] = c2 * (at_no_angle(q, s.a[i], s.b[i]) + t * (first_order(q, s.a[i], s.b[i]) + t * q[2]));
    }
  }
  for (int k = 0; k <= vlm::load_pitch; ++k) {
    const double* q = forms.q[k];
    VLM_SIDE_BY_SIDE
    for (std::size_t i = 0; i < block; ++i) {
      const double t = s.t[i], c2 = s.cosine[i] * s.cosine[i];
      s.slope[k][i] = c2 * (2 * t * (q[2] - at_no_angle(q, s.a[i], s.b[i])) +
                            (1 - t * t) * first_order(q, s.a[i], s.b[i]));
    }
  }
  double* const zero_pitch = s.zero_pitch;
  const double* q = forms.q[vlm::load_pitch];
  VLM_SIDE_BY_SIDE
  for (std::size_t i = 0; i < block; ++i) {
    const double t = s.zero_t[i];
    zero_pitch[i] =
        (at_no_angle(q, s.a[i], s.b[i]) + t * (first_order(q, s.a[i], s.b[i]) + t * q[2])) / (1 + t * t);
  }
}

void find_peaks(const double* strips, std::size_t num_strips, vlm::TwistBlock& s) {
  for (std::size_t i = 0; i < block; ++i)
    s.peak[i] = 0, s.peak_strip[i] = 0;
  for (std::size_t j = 0; j < num_strips; ++j) {
    const double *u = strips + 4 * j, number = static_cast<double>(j);
    const double u0 = u[0], u1 = u[1], u2 = u[2], u3 = u[3];
    VLM_SIDE_BY_SIDE
    for (std::size_t i = 0; i < block; ++i) {
      const double local = s.cosine[i] * (u0 + u1 * s.t[i] + u2 * s.a[i] + u3 * s.b[i]);
      const bool more = __builtin_fabs(local) > __builtin_fabs(s.peak[i]);
      s.peak[i] = more ? local : s.peak[i];
      s.peak_strip[i] = more ? number : s.peak_strip[i];
    }
  }
}

} // namespace
