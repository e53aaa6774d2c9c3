// Every kernel that this processor runs: against the formulas one by one, and against each other.

#include <cmath>
#include <cstring>

#include <gtest/gtest.h>

#include <vlm/study/twist_kernel.hpp>

namespace {

// Loads of no craft in particular: lift slope about 5, some of everything else.
vlm::TwistForms some_forms() {
  vlm::TwistForms forms{};
  for (int k = 0; k < vlm::num_twist_loads; ++k)
    for (int i = 0; i < 10; ++i)
      forms.q[k][i] = std::sin(7 * k + 3 * i + 1);
  for (double& q : forms.q[vlm::load_z])
    q *= 0.2;
  forms.q[vlm::load_z][1] = 5;
  return forms;
}

vlm::TwistBlock some_settings() {
  vlm::TwistBlock s{};
  for (std::size_t i = 0; i < vlm::twist_block; ++i)
    s.a[i] = 0.01 * std::cos(static_cast<double>(i)), s.b[i] = 0.02 * std::sin(2.0 * static_cast<double>(i));
  return s;
}

constexpr vlm::TwistScales scales{2, 3, 0.4, -0.3, 1.5, 1e-9};
constexpr double carried = 0.6;

struct Result {
  vlm::TwistBlock block = some_settings();
  double carries[vlm::twist_block], has_zero[vlm::twist_block];

  explicit Result(const vlm::TwistKernel& kernel) {
    const vlm::TwistForms forms = some_forms();
    kernel.seek(forms, carried, block, block.t, carries);
    kernel.seek(forms, 0, block, block.zero_t, has_zero);
    kernel.evaluate(forms, scales, block);
    const double strips[] = {0.2, 3, 1, -2, -0.9, 2, 5, 3, 0.2, 3, 1, -2};
    kernel.find_peaks(strips, 3, block);
  }
};

double load(const double* q, double alpha, double a, double b) {
  const double c = std::cos(alpha), s = std::sin(alpha), v[4] = {c, s, a * c, b * c};
  return q[0] * v[0] * v[0] + q[1] * v[0] * v[1] + q[2] * v[1] * v[1] + q[3] * v[0] * v[2] +
         q[4] * v[0] * v[3] + q[5] * v[2] * v[2] + q[6] * v[2] * v[3] + q[7] * v[3] * v[3] +
         q[8] * v[1] * v[2] + q[9] * v[1] * v[3];
}

TEST(TwistKernel, FindsAnglesThatCarryTheLiftAndTheLoadsThere) {
  const vlm::TwistForms forms = some_forms();
  for (const char* name : {"portable", "avx2", "avx512"}) {
    const vlm::TwistKernel* kernel = vlm::find_twist_kernel(name);
    if (kernel == nullptr)
      continue;
    const Result r(*kernel);
    const vlm::TwistBlock& s = r.block;
    for (std::size_t i = 0; i < vlm::twist_block; ++i) {
      ASSERT_TRUE(r.carries[i] == 1 && r.has_zero[i] == 1) << name;
      const auto at = [&](int k, double alpha) { return load(forms.q[k], alpha, s.a[i], s.b[i]); };
      const auto lift_at = [&](double alpha) {
        return at(vlm::load_z, alpha) * std::cos(alpha) - at(vlm::load_x, alpha) * std::sin(alpha);
      };
      const double alpha = s.alpha[i], none = std::atan(s.zero_t[i]);
      EXPECT_NEAR(std::tan(alpha), s.t[i], 1e-15);
      EXPECT_NEAR(lift_at(alpha), carried, 1e-14);
      EXPECT_NEAR(lift_at(none), 0, 1e-14);
      EXPECT_NEAR(at(vlm::load_pitch, none) / scales.moment, s.zero_lift_moment[i], 1e-14);
      EXPECT_NEAR(at(vlm::load_pitch, alpha) / scales.moment, s.pitching_moment[i], 1e-14);
      const double x = at(vlm::load_x, alpha), z = at(vlm::load_z, alpha), c = std::cos(alpha),
                   sine = std::sin(alpha), drag = at(vlm::load_drag, alpha);
      EXPECT_NEAR(drag / scales.force, s.induced_drag[i], 1e-14);
      EXPECT_NEAR((x * c + z * sine - drag) / scales.force, s.near_drag_excess[i], 1e-14);
      EXPECT_NEAR((at(vlm::load_surface_z, alpha) * c - at(vlm::load_surface_x, alpha) * sine) / scales.force,
                  s.surface_lift[i], 1e-14);
      const auto slope_of = [&](const auto& figure) {
        return (figure(alpha + 1e-5) - figure(alpha - 1e-5)) / 2e-5;
      };
      const auto of = [&](int k) { return slope_of([&](double angle) { return at(k, angle); }); };
      EXPECT_NEAR(slope_of(lift_at) / scales.force, s.lift_slope[i], 1e-9);
      // The resultant and that of a change of angle pass through these points of the x axis.
      const double centre = s.centre_of_lift[i] - scales.about_x,
                   neutral = s.neutral_point[i] - scales.about_x;
      EXPECT_NEAR(at(vlm::load_pitch, alpha), -centre * z - scales.about_z * x, 1e-13);
      EXPECT_NEAR(of(vlm::load_pitch), -neutral * of(vlm::load_z) - scales.about_z * of(vlm::load_x), 1e-8);
      EXPECT_NEAR((neutral - centre) / scales.chord, s.static_margin[i], 1e-13);
      EXPECT_TRUE(s.has_centre[i] == 1 && s.has_neutral[i] == 1);
      const double t = s.t[i], first = std::cos(alpha) * (0.2 + 3 * t + s.a[i] - 2 * s.b[i]),
                   second = std::cos(alpha) * (-0.9 + 2 * t + 5 * s.a[i] + 3 * s.b[i]);
      const bool takes_second = std::abs(second) > std::abs(first);
      EXPECT_NEAR(takes_second ? second : first, s.peak[i], 1e-15);
      EXPECT_EQ(takes_second ? 1 : 0, s.peak_strip[i]); // the third strip is the first once more
    }
  }
}

TEST(TwistKernel, LoadsAtManySettingsAreThoseOfEach) {
  const vlm::TwistForms forms = some_forms();
  for (const char* name : {"portable", "avx2", "avx512"}) {
    const vlm::TwistKernel* kernel = vlm::find_twist_kernel(name);
    if (kernel == nullptr)
      continue;
    constexpr std::size_t count = 37; // no multiple of any processor's lanes
    double t[count], a[count], b[count], into[vlm::num_twist_loads][count], *result[vlm::num_twist_loads];
    for (std::size_t k = 0; k < vlm::num_twist_loads; ++k)
      result[k] = into[k];
    for (std::size_t i = 0; i < count; ++i)
      t[i] = 0.01 * static_cast<double>(i) - 0.2, a[i] = 0.1 * t[i], b[i] = 0.1 - t[i] * t[i];
    kernel->loads(forms, t, a, b, count, result);
    for (std::size_t k = 0; k < vlm::num_twist_loads; ++k)
      for (std::size_t i = 0; i < count; ++i)
        EXPECT_NEAR(load(forms.q[k], std::atan(t[i]), a[i], b[i]), into[k][i], 1e-14) << name;
  }
}

TEST(TwistKernel, GivesTheSameBitsOnEachProcessor) {
  const Result portable(*vlm::find_twist_kernel("portable"));
  for (const char* name : {"avx2", "avx512"})
    if (const vlm::TwistKernel* kernel = vlm::find_twist_kernel(name)) {
      const Result other(*kernel);
      EXPECT_EQ(std::memcmp(&portable.block, &other.block, sizeof portable.block), 0) << name;
    }
}

// A lift out of reach, and one beyond where the kernel looks.
TEST(TwistKernel, SaysWhereItFindsNoAngle) {
  const vlm::TwistForms forms = some_forms();
  const vlm::TwistBlock s = some_settings();
  double t[vlm::twist_block], found[vlm::twist_block];
  for (const double much : {3.0, 30.0}) {
    vlm::twist_kernel().seek(forms, much, s, t, found);
    for (const double one : found)
      EXPECT_EQ(one, 0);
  }
}

} // namespace
