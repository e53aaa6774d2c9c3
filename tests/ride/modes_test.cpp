// Natural motions: against oscillators worked by hand and the textbook approximations for aircraft.

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

#include <vlm/base/error.hpp>
#include <vlm/base/gravity.hpp>
#include <vlm/ride/modes.hpp>

namespace {

using std::numbers::pi;

constexpr double g = vlm::standard_gravity;

// An aircraft of a tonne at 50 m/s, far from any surface; figures of a light aeroplane, made up.
struct Aeroplane {
  double speed = 50, mass = 1000, inertia = 1500, chord = 1.5;
  double lift_slope = 1.1e5, drag = 600, drag_slope = 6000; // N/rad, N, N/rad
  double stiffness = 2.4e4, rate_damping = 4000, lag_damping = 1500;

  vlm::LevelFlight flight() const {
    vlm::LevelFlight f;
    f.speed = speed, f.mass = mass, f.pitch_inertia = inertia;
    f.lift = mass * g, f.drag = drag;
    f.by_speed = {-2 * drag / speed, 2 * f.lift / speed, 0};
    f.by_alpha = {-drag_slope, lift_slope, -stiffness};
    f.by_pitch_rate = {0, 0, -rate_damping};
    f.by_alpha_rate = {0, 0, -lag_damping};
    return f;
  }
  std::vector<vlm::Mode> modes() const { return vlm::modes(vlm::motion_of(flight()), speed, chord); }
};

TEST(Modes, PitchAloneSwingsAtTheRootOfStiffnessOverInertia) {
  vlm::LongitudinalMotion m;
  m.mass(0, 0) = m.mass(1, 1) = 90;
  m.mass(2, 2) = 12;                // kg m2
  m.place(2, 2) = -300;             // N m/rad
  m.rate(2, 2) = -2 * 0.3 * 12 * 5; // damping ratio 0.3 at 5 rad/s
  const auto all = vlm::modes(m, 6, 0.12);
  ASSERT_EQ(all.size(), 3U); // drifts of the two velocities besides
  EXPECT_NEAR(*all[0].frequency, 5 * std::sqrt(1 - 0.3 * 0.3) / (2 * pi), 1e-12);
  EXPECT_NEAR(*all[0].damping_ratio, 0.3, 1e-12);
  EXPECT_NEAR(*all[0].time_to_half, std::numbers::ln2 / (0.3 * 5), 1e-12);
  EXPECT_FALSE(all[0].time_to_double || all[0].time_constant);
  EXPECT_NEAR(all[0].reduced_frequency, 5 * 0.12 / (2 * 6), 1e-12);
  EXPECT_TRUE(all[0].quasi_steady);
  EXPECT_EQ(all[0].name, "oscillation in pitch");
  EXPECT_NEAR(all[0].share[2], 1, 1e-12);
  EXPECT_EQ(all[1].name.substr(0, 5), "drift");
}

TEST(Modes, HeightOnASpringNeitherGrowsNorDiesOut) {
  vlm::LevelFlight f;
  f.speed = 6, f.mass = 80, f.pitch_inertia = 10;
  f.by_depth = {0, 500, 0}; // N/m: lift lost towards the still surface
  f.added_mass(1, 1) = 20;
  const auto all = vlm::modes(vlm::motion_of(f), f.speed, 0.12);
  EXPECT_NEAR(*all[0].frequency, std::sqrt(500 / 100.0) / (2 * pi), 1e-12);
  EXPECT_NEAR(*all[0].damping_ratio, 0, 1e-12);
  EXPECT_FALSE(all[0].time_to_half || all[0].time_to_double);
  EXPECT_EQ(all[0].name, "oscillation in heave");
}

TEST(Modes, WithoutDampingEnergyStaysWhateverIsCoupled) {
  vlm::LongitudinalMotion m;
  const double mass[3][3] = {{90, 5, 2}, {5, 110, -8}, {2, -8, 14}},
               spring[3][3] = {{0, 0, 0}, {0, 700, 90}, {0, 90, 400}};
  for (std::size_t i = 0; i < 3; ++i)
    for (std::size_t j = 0; j < 3; ++j)
      m.mass(i, j) = mass[i][j], m.place(i, j) = -spring[i][j];
  const auto all = vlm::modes(m, 6, 0.12);
  std::size_t oscillations = 0;
  for (const vlm::Mode& mode : all)
    if (mode.damping_ratio) {
      ++oscillations;
      EXPECT_NEAR(*mode.damping_ratio, 0, 1e-12);
    }
  EXPECT_EQ(oscillations, 2U);
}

TEST(Modes, PitchUnderACentreOfMassThatTopplesDiverges) {
  vlm::LongitudinalMotion m;
  m.mass(0, 0) = m.mass(1, 1) = 90, m.mass(2, 2) = 10;
  m.place(2, 2) = 160;
  const auto all = vlm::modes(m, 6, 0.12);
  const auto found = std::find_if(all.begin(), all.end(), [](const auto& x) { return x.time_to_double; });
  ASSERT_NE(found, all.end());
  EXPECT_NEAR(found->growth, 4, 1e-12);
  EXPECT_NEAR(*found->time_constant, 0.25, 1e-12);
  EXPECT_NEAR(*found->time_to_double, std::numbers::ln2 / 4, 1e-12);
  EXPECT_EQ(found->name, "divergence in pitch");
}

// Etkin 1972, chapter 9 (from memory): speed held, ω² = (L_α M_q/(mV) + M_α)/I and 2ζω = L_α/(mV) + (M_q +
// M_α̇)/I, signs of damping and stiffness. It leaves out drag and what speed changes, here some 1 %.
TEST(Modes, FastModeOfAnAeroplaneIsTheShortPeriod) {
  const Aeroplane a;
  const auto all = a.modes();
  ASSERT_EQ(all.size(), 2U);
  const double heave = a.lift_slope / (a.mass * a.speed);
  const double omega = std::sqrt((heave * a.rate_damping + a.stiffness) / a.inertia),
               damping = heave + (a.rate_damping + a.lag_damping) / a.inertia;
  EXPECT_NEAR(std::hypot(all[0].growth, all[0].angular_frequency) / omega, 1, 0.01);
  EXPECT_NEAR(-2 * all[0].growth / damping, 1, 0.01);
  EXPECT_GT(all[0].share[1] + all[0].share[2], 0.98);
  EXPECT_LT(all[1].share[2], 0.01);
}

// Lanchester 1908 (from memory): at a held angle of attack height and speed trade, period √2 π V/g. Held by a
// stiffness in pitch that grows; what is left falls as its inverse.
TEST(Modes, SlowModeOfAStiffAeroplaneIsThePhugoid) {
  Aeroplane a;
  a.drag = a.drag_slope = 0;
  double error = 1;
  for (const double stiffer : {1.0, 10.0, 100.0, 1000.0}) {
    a.stiffness = 2.4e4 * stiffer;
    const auto all = a.modes();
    ASSERT_EQ(all.size(), 2U);
    EXPECT_EQ(all[1].name.substr(all[1].name.find("oscillation")), "oscillation in surge and heave");
    const double omega = std::hypot(all[1].growth, all[1].angular_frequency);
    const double next = std::abs(2 * pi / omega / (std::sqrt(2.0) * pi * a.speed / g) - 1);
    EXPECT_LT(next, 0.2 * error);
    error = next;
  }
  EXPECT_LT(error, 1e-3);
}

// Damping ratio D/(√2 L) where the thrust turns with the aeroplane (Etkin 1972, chapter 9, from memory). One
// that keeps its direction in space lets the drag of a climbing path pull down: half as much again.
TEST(Modes, PhugoidIsDampedByDragAndByAThrustThatDoesNotTurn) {
  Aeroplane a;
  a.drag_slope = 0;
  a.stiffness = 1e8;
  vlm::LevelFlight f = a.flight();
  const double textbook = a.drag / (std::sqrt(2.0) * a.mass * g);
  EXPECT_NEAR(*vlm::modes(vlm::motion_of(f), a.speed, a.chord)[1].damping_ratio / textbook, 1.5, 0.003);
  f.turning_thrust = a.drag;
  EXPECT_NEAR(*vlm::modes(vlm::motion_of(f), a.speed, a.chord)[1].damping_ratio / textbook, 1, 0.003);
}

// Dimensions: a flight twice as fast with the same coefficients, were gravity four times as great.
TEST(Modes, GrowWithTheSpeedAtTheSameCoefficients) {
  const Aeroplane a;
  const vlm::LevelFlight slow = a.flight();
  vlm::LevelFlight fast = slow; // twice as fast in all: forces four times as great
  fast.speed *= 2;
  for (double* force : {&fast.lift, &fast.drag})
    *force *= 4;
  const auto times = [](vlm::StreamLoads& loads, double factor) {
    loads.forward *= factor, loads.up *= factor, loads.pitch *= factor;
  };
  times(fast.by_speed, 2), times(fast.by_alpha, 4), times(fast.by_pitch_rate, 2);
  times(fast.by_alpha_rate, 2);
  const auto x = vlm::modes(vlm::motion_of(slow), slow.speed, 1.5),
             y = vlm::modes(vlm::motion_of(fast), fast.speed, 1.5);
  ASSERT_EQ(x.size(), y.size());
  for (std::size_t i = 0; i < x.size(); ++i) {
    EXPECT_NEAR(y[i].growth / x[i].growth, 2, 1e-9);
    EXPECT_NEAR(y[i].reduced_frequency, x[i].reduced_frequency, 1e-12);
  }
}

// A thin aerofoil that heaves and pitches carries πρb²(h″ + Vα′) of its added mass (Theodorsen, NACA Report
// 496, 1935), h downward at mid-chord: turned with a velocity along its own chord held, no force.
TEST(Modes, AddedMassFeelsTheAccelerationThatTheTurningCraftSees) {
  vlm::LevelFlight f;
  f.speed = 7, f.mass = 1, f.pitch_inertia = 1;
  f.added_mass(1, 1) = 3;
  const vlm::LongitudinalMotion m = vlm::motion_of(f);
  EXPECT_DOUBLE_EQ(m.mass(1, 1), 4);
  EXPECT_DOUBLE_EQ(m.rate(1, 2), 3 * 7);
  EXPECT_DOUBLE_EQ(m.rate(2, 2), 0);
}

TEST(Modes, RefusesWhatHasNoMassOrNoFiniteFigures) {
  vlm::LongitudinalMotion m;
  EXPECT_THROW(vlm::modes(m, 6, 0.12), vlm::Error);
  m.mass(0, 0) = m.mass(1, 1) = m.mass(2, 2) = 1;
  m.place(1, 1) = std::numeric_limits<double>::quiet_NaN();
  EXPECT_THROW(vlm::modes(m, 6, 0.12), vlm::Error);
}

} // namespace
