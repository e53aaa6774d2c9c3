#include <vlm/ride/trim.hpp>

#include <array>
#include <cmath>
#include <numbers>

#include <gtest/gtest.h>

#include <vlm/base/error.hpp>
#include <vlm/base/gravity.hpp>
#include <vlm/file/case.hpp>
#include <vlm/ride/trimmed_craft.hpp>

#include "../support/angles.hpp"
#include "../support/wings.hpp"

namespace {

using namespace vlm;

using angles::degree;

Loading rider_alone(double mass, double deck_height) {
  Loading loading;
  loading.rider = {mass, 1, 10};
  loading.deck.height = deck_height;
  return loading;
}

Craft heavy_water(Craft craft) {
  craft.water.density = 1000;
  return craft;
}

// Speed at which a craft of one reference surface carries a mass at a lift coefficient.
double speed_for(const Craft& craft, double mass, double lift_coefficient) {
  return std::sqrt(mass * g / (0.5 * craft.water.density * reference(craft).area * lift_coefficient));
}

const Case& heron_case() {
  static const Case read = read_case(VLM_CASES_DIR "/lake-rescue/heron-880.toml");
  return read;
}

Ride heron_ride(Drive drive = heron_case().loading->drive) {
  Loading loading = *heron_case().loading;
  loading.drive = drive;
  LatticeOptions coarse = heron_case().lattice;
  coarse.counts = {{12, 3}, {8, 3}, {4, 3}};
  coarse.body = {16, 8};
  return make_ride(heron_case().craft, coarse, heron_case().wake, heron_case().drag, loading);
}

Drive pull_held() {
  return heron_case().loading->drive;
}

Drive pull_made_fast() {
  Drive drive = pull_held();
  drive.station = -0.5, drive.height = 0.1, drive.angle = 6 * degree;
  return drive;
}

Drive motor() {
  Drive drive;
  drive.kind = Drive::Kind::motor;
  drive.position = {0.3, 0, -0.01}, drive.angle = -2 * degree;
  return drive;
}

Drive wave() {
  Drive drive;
  drive.kind = Drive::Kind::wave;
  return drive;
}

// All that acts on craft and rider, summed in axes of the earth (forward, up) from the loads of a polar
// point, for every drive but by other steps than the library's: what the feet bear is left out, and the
// rider's own weight and drive put in, where their line crosses the deck or, for `own_places`, at the rider's
// centre of mass and in the hands.
struct OutOfBalance {
  double forward, up, pitch;
};

OutOfBalance out_of_balance(const TrimmedCraft& t, const Ride& ride, bool own_places = false) {
  const TrimState& s = t.state;
  const Loading& loading = ride.loading;
  const double level = s.alpha - s.wave_slope; // pitch against the earth
  // A point of the craft, seen from the side in the earth's axes, forward and up of the origin.
  const auto forward_of = [&](const Vec3& p) { return -p.x * std::cos(level) - p.z * std::sin(level); };
  const auto height_of = [&](const Vec3& p) { return p.z * std::cos(level) - p.x * std::sin(level); };
  OutOfBalance sum{0, 0, 0};
  const auto add = [&](double forward, double up, const Vec3& at) {
    sum.forward += forward, sum.up += up;
    sum.pitch += up * forward_of(at) - forward * height_of(at); // ahead and up pitches the nose up
  };
  // The foil: coefficients about the moment point, along and across the stream, which runs down the face.
  const double unit = t.responses.pressure_area * t.speed * t.speed;
  const double lift = t.point.lift_coefficient * unit;
  const double near_drag = (t.point.induced_drag_coefficient + *t.point.near_drag_excess) * unit;
  const double cw = std::cos(s.wave_slope), sw = std::sin(s.wave_slope);
  add(lift * sw - near_drag * cw, lift * cw + near_drag * sw, t.responses.moment_point);
  sum.pitch += t.point.pitching_moment_coefficient * unit * t.responses.reference.chord;
  const double far_less_near = -*t.point.near_drag_excess * unit;
  add(-far_less_near * cw, far_less_near * sw, {});
  for (const DragItem& item : t.drag.items)
    if (item.point)
      add(-item.drag * cw, item.drag * sw, *item.point);
  for (const Mass& m : loading.masses) {
    add(m.mass * s.deceleration, -m.mass * standard_gravity, m.centre);
    const double buoyancy = ride.craft.water.density * m.displaced_volume * standard_gravity * cw;
    add(buoyancy * sw, buoyancy * cw, m.centre);
  }
  Loading rider = loading;
  rider.masses.clear();
  const Vec3 stand = deck_point(loading.deck, s.load_station);
  const Vec3 centre =
      own_places ? inertia(rider, s.load_station, RiderHold::rigid, s.alpha, s.lean).centre : stand;
  add(loading.rider.mass * s.deceleration, -loading.rider.mass * standard_gravity, centre);
  if (loading.drive.kind == Drive::Kind::motor)
    add(s.drive_force * std::cos(loading.drive.angle + s.alpha),
        s.drive_force * std::sin(loading.drive.angle + s.alpha), loading.drive.position);
  if (loading.drive.kind == Drive::Kind::pull)
    add(s.drive_force * std::cos(loading.drive.angle), s.drive_force * std::sin(loading.drive.angle),
        loading.drive.station ? deck_point(loading.deck, *loading.drive.station, loading.drive.height)
        : own_places          ? deck_point(loading.deck, s.load_station, loading.drive.height)
                              : stand);
  return sum;
}

TEST(Trim, LeavesNothingOutOfBalanceForAnyDrive) {
  const double weight = 98 * standard_gravity;
  for (const Drive& drive : {pull_held(), pull_made_fast(), motor(), wave(), Drive{}})
    for (const double speed : {4.0, 7.0}) {
      const Ride ride = heron_ride(drive);
      const TrimmedCraft t = trimmed_craft(ride, speed, wings::pool());
      const OutOfBalance sum = out_of_balance(t, ride);
      EXPECT_LT(std::abs(sum.forward), 1e-9 * weight) << name_of(drive.kind) << " at " << speed;
      EXPECT_LT(std::abs(sum.up), 1e-9 * weight) << name_of(drive.kind) << " at " << speed;
      EXPECT_LT(std::abs(sum.pitch), 1e-9 * weight) << name_of(drive.kind) << " at " << speed;
      EXPECT_NEAR(t.responses.wake_angle, t.state.alpha, 1e-6);
    }
}

// A rider alone, on a lone wing: two forces only, so the feet stand on the line of the wing's resultant. With
// the lift curve and the centre of an elliptic wing (published in tests/published/lifting_surface_test.cpp)
// and elliptic induced drag CL²/(πA): station = x of the centre + deck height · tan(D/L − α).
TEST(Trim, OfALoneEllipticWingFollowsTheClosedForm) {
  constexpr double aspect_ratio = 8, slope = 4.7999, centre = 0.5664, mass = 80, height = 6;
  const Craft craft = heavy_water(wings::craft_of({wings::ellipse(aspect_ratio, 0.5)}));
  const Responses r = make_responses(craft, wings::counts({{24, 8}}), 0, {}, wings::pool());
  const Loading loading = rider_alone(mass, height);
  for (const double cl : {0.03, 0.06}) {
    const auto state = trim(plane_forms(r), loading, {}, 1000, speed_for(craft, mass, cl));
    ASSERT_TRUE(state);
    const double alpha = cl / slope, glide = cl / (std::numbers::pi * aspect_ratio);
    EXPECT_NEAR(state->alpha, alpha, 1e-3 * alpha); // of the lattice 4e-4, of sin α for α 1e-4
    EXPECT_NEAR(state->drag / state->lift, glide, 2e-3 * glide);
    EXPECT_NEAR(state->load_station, centre + height * std::tan(glide - alpha), 2e-3);
    EXPECT_NEAR(state->deceleration, standard_gravity * glide, 2e-3 * standard_gravity * glide);
  }
}

// Two equal wings, so far apart in height that neither feels the other; the tail's lift follows from its
// setting alone. Lifts: a·α and a·(α + i), a = slope·q·S. Balance gives α = (W/a − i)/2 and the centre of
// lift (L1·x1 + L2·x2)/W, which an incidence moves by a/2·(x2 − x1)/W.
TEST(Trim, OfTwoWingsFarApartFollowsTheClosedForm) {
  constexpr double mass = 80, far = 300, lever = 6;
  Surface front = wings::rectangle(8, "front"), tail = wings::rectangle(8, "tail");
  front.position.z = far, tail.position = {lever, 0, -far};
  const Craft craft = heavy_water(wings::craft_of({front, tail}));
  const LatticeOptions options = wings::counts({{16, 6}, {16, 6}});
  const wings::FlatFigures wing = wings::flat_figures(wings::rectangle(8), 16, 6);
  const TurnShape turn{1, std::nullopt};
  const Responses r = make_responses(craft, options, 0, {&turn, 1}, wings::pool());
  const Loading loading = rider_alone(mass, 1);
  const double cl = 0.05, speed = speed_for(craft, mass, cl), weight = mass * standard_gravity;
  const double a = weight / cl * wing.lift_slope; // N/rad of one wing
  for (const double incidence : {-0.004, 0.0, 0.002}) {
    const auto state = trim(plane_forms(r, {&incidence, 1}), loading, {}, 1000, speed);
    ASSERT_TRUE(state);
    const double alpha = 0.5 * (weight / a - incidence);
    EXPECT_NEAR(state->alpha, alpha, 1e-3 * std::abs(alpha));
    const double on_front = a * alpha, on_tail = a * (alpha + incidence);
    const auto drag = [&](double lift) { // CDi = factor·CL²/(πA)
      const double c = lift / (weight / cl);
      return wing.drag_factor * c * c / (std::numbers::pi * 8) * (weight / cl);
    };
    // Moments about the origin in the axes of the stream: the tail's lever turned by α, drags at ±far.
    const double place =
        (on_front * wing.aerodynamic_centre + on_tail * (wing.aerodynamic_centre + lever) + // lifts
         (drag(on_front) - drag(on_tail)) * -far) /
        weight;
    const double heights = far * alpha * (on_front - on_tail) / weight; // high lift stands further back
    const double glide = (drag(on_front) + drag(on_tail)) / weight;
    EXPECT_NEAR(state->load_station, place + heights + 1 * (glide - alpha), 0.02) << incidence;
    EXPECT_NEAR(state->lift, weight, 1e-9 * weight);
  }
  // Half of what the tail is turned by comes off the angle of attack.
  const double none = 0;
  const TrimSlope slope =
      trim_slope(plane_forms(r, {&none, 1}), plane_form_slopes(r, {&none, 1}, 0), loading, {}, 1000, speed);
  EXPECT_NEAR(slope.alpha, -0.5, 1e-3);
}

// An untwisted tail of a quarter of the wing's area, far out to the side where neither feels the other, its
// volume V = S_t l/(S c) 1.5. Of the same aspect ratio it has the same lift slope, so with k = S_t/S the
// neutral point lies V c/(1 + k) behind the wing's, and an incidence of the tail moves the load by (a/W) V
// c/(1 + k) (textbook statics of wing and tail).
TEST(Trim, OfATailOfKnownVolumeFollowsTheClosedForm) {
  constexpr double mass = 80, lever = 6, k = 0.25, volume = k * lever;
  const wings::FlatFigures wing = wings::flat_figures(wings::rectangle(8), 16, 6);
  Surface tail = stretched(wings::rectangle(8, "tail"), 0.25 * 8, std::nullopt);
  tail.position = {lever + 0.5 * wing.aerodynamic_centre, 400, 0};
  const Craft craft = heavy_water(wings::craft_of({wings::rectangle(8), tail}));
  const TurnShape turn{1, std::nullopt};
  const Responses r = make_responses(craft, wings::counts({{16, 6}, {16, 6}}), 0, {&turn, 1}, wings::pool());
  const Loading loading = rider_alone(mass, 1e-3); // no lever of the deck
  const double cl = 0.05, speed = speed_for(craft, mass, cl), weight = mass * standard_gravity, none = 0;
  const PlaneForms forms = plane_forms(r, {&none, 1});
  const auto state = trim(forms, loading, {}, 1000, speed);
  ASSERT_TRUE(state);
  const double neutral = wing.aerodynamic_centre + volume / (1 + k);
  EXPECT_NEAR(state->load_station, neutral, 0.005); // untwisted and uncambered: all lift acts there
  EXPECT_NEAR(balance(r, {state->alpha, 0, {}}, {&none, 1}).neutral_point.value_or(0), neutral, 0.005);
  const double a = weight / cl * wing.lift_slope;
  const TrimSlope slope = trim_slope(forms, plane_form_slopes(r, {&none, 1}, 0), loading, {}, 1000, speed);
  EXPECT_NEAR(slope.load_station, a / weight * volume / (1 + k), 2e-3 * a / weight * volume);
  EXPECT_NEAR(slope.alpha, -k / (1 + k), 1e-3);
}

TEST(Trim, DerivativesWithIncidenceAndTwistAgreeWithCraftsSetSo) {
  Ride ride = heron_ride();
  ride.wake.angle = 3 * degree;
  const TwistShape twist = heron_case().twist_shapes.front();
  const std::vector<TurnShape> turns{{1, std::nullopt}, {1, twist}};
  const std::vector<double> none{0, 0};
  const double speed = 5.5, density = ride.craft.water.density;
  const TrimmedCraft t = trimmed_craft(ride, speed, wings::pool(), 0.05, turns, none);
  constexpr double step = 0.2 * degree;
  const auto station = [&](double incidence, double amplitude) {
    Ride set = ride;
    set.craft.surfaces[1].incidence += incidence;
    const std::vector<double> amplitudes{0, amplitude};
    const TrimmedCraft there = trimmed_craft(set, speed, wings::pool(), 0.05, turns, amplitudes);
    const TrimState held = *trim(there.forms, ride.loading, t.other, density, speed); // other drag
    return std::array{held.alpha, held.load_station, there.state.load_station};
  };
  for (const std::size_t k : {0, 1}) {
    const TrimSlope slope =
        trim_slope(t.forms, plane_form_slopes(t.responses, none, k), ride.loading, t.other, density, speed);
    const auto ahead = k == 0 ? station(step, 0) : station(0, step);
    const auto behind = k == 0 ? station(-step, 0) : station(0, -step);
    EXPECT_NEAR(slope.alpha, (ahead[0] - behind[0]) / (2 * step), 1e-5 * std::abs(slope.alpha));
    EXPECT_NEAR(slope.load_station, (ahead[1] - behind[1]) / (2 * step), 1e-4 * std::abs(slope.load_station));
    // What holding the drag of waves leaves out, which goes with the angle: 0.3 % here.
    EXPECT_NEAR(slope.load_station, (ahead[2] - behind[2]) / (2 * step), 4e-3 * std::abs(slope.load_station));
  }
}

TEST(Trim, DragTimesSpeedIsThePowerOfTheDrive) {
  for (const Drive& drive : {pull_held(), pull_made_fast(), motor()}) {
    const TrimmedCraft t = trimmed_craft(heron_ride(drive), 6, wings::pool());
    const double up = drive.angle + (drive.kind == Drive::Kind::motor ? t.state.alpha : 0);
    EXPECT_NEAR(t.state.drive_force * std::cos(up) * 6, t.drag.total * 6, 1e-9 * t.drag.total);
  }
  // Down the face of a wave it is that of the weight: m g V sin(slope).
  const TrimmedCraft t = trimmed_craft(heron_ride(wave()), 6, wings::pool());
  const double mass = inertia(*heron_case().loading, 0, RiderHold::rigid).mass;
  EXPECT_NEAR(mass * standard_gravity * 6 * std::sin(t.state.wave_slope), t.drag.total * 6,
              1e-9 * t.drag.total);
}

// Coasting from 7 to 5 m/s by Runge and Kutta's method: what the masses lose in motion, the drag has taken.
TEST(Trim, CoastingLosesTheEnergyThatDragTakes) {
  Ride ride = heron_ride(Drive{});
  ride.wake.angle = 3 * degree;
  const TrimmedCraft t = trimmed_craft(ride, 6, wings::pool());
  const double mass = inertia(ride.loading, 0, RiderHold::rigid).mass, density = ride.craft.water.density;
  const auto state = [&](double speed) {
    OtherDrag other = t.other; // held at its coefficient
    const double ratio = speed * speed / (t.speed * t.speed);
    other.drag *= ratio, other.drag_by_x *= ratio, other.drag_by_z *= ratio;
    return *trim(t.forms, ride.loading, other, density, speed);
  };
  double speed = 7, taken = 0;
  const double step = 0.05;
  for (int i = 0; speed > 5; ++i) {
    const auto slows = [&](double v) { return -state(v).deceleration; };
    const auto power = [&](double v) { return state(v).drag * v; };
    const double k1 = slows(speed), v2 = speed + 0.5 * step * k1, k2 = slows(v2),
                 v3 = speed + 0.5 * step * k2, k3 = slows(v3), v4 = speed + step * k3, k4 = slows(v4);
    taken += step / 6 * (power(speed) + 2 * power(v2) + 2 * power(v3) + power(v4));
    const double next = speed + step / 6 * (k1 + 2 * k2 + 2 * k3 + k4);
    speed = next;
  }
  EXPECT_NEAR(taken, 0.5 * mass * (49 - speed * speed), 1e-6 * taken);
}

TEST(Trim, AHighDeckMovesTheLoadByItsPitch) {
  Loading loading = *heron_case().loading;
  // The angle follows from lift alone.
  const TrimmedCraft t = trimmed_craft(heron_ride(), 5.5, wings::pool());
  loading.rider.centre_height = 1.5;
  loading.deck.height += 0.2;
  const auto higher = trim(t.forms, loading, t.other, heron_case().craft.water.density, 5.5);
  ASSERT_TRUE(higher);
  EXPECT_DOUBLE_EQ(higher->alpha, t.state.alpha);
  // The feet stand on the line of all other loads; raised by 0.2 m they move along it: forward by the pitch,
  // aft by the pull in the rider's hands.
  const double feet_forward = t.state.drive_force, feet_down = loading.rider.mass * standard_gravity;
  EXPECT_NEAR(higher->load_station - t.state.load_station,
              0.2 * std::tan(std::atan(feet_forward / feet_down) - t.state.alpha), 1e-6);
}

// A pull that lifts more than the rider weighs takes the feet off the deck: no balance of a board.
TEST(Trim, IsRefusedWhereThePullLiftsTheRiderOff) {
  Drive steep = pull_held();
  steep.angle = 88 * degree;
  EXPECT_THROW(trimmed_craft(heron_ride(steep), 7, wings::pool()), Error);
  EXPECT_NO_THROW(trimmed_craft(heron_ride(pull_held()), 7, wings::pool()));
}

// As a rigid body whose weight acts at its own centre and whom the pull takes by the hands.
TEST(Trim, TheRiderStandsInBalanceWithoutMomentsOfTheFeet) {
  for (const Drive& drive : {pull_held(), pull_made_fast(), motor(), wave(), Drive{}})
    for (const double speed : {4.0, 9.0}) {
      const Ride ride = heron_ride(drive);
      const TrimmedCraft t = trimmed_craft(ride, speed, wings::pool());
      EXPECT_LT(std::abs(out_of_balance(t, ride, true).pitch), 1e-9 * 98 * standard_gravity)
          << name_of(drive.kind) << " at " << speed;
    }
}

// What leans on a pull or against slowing down leans by the force over the weight, times the height it acts
// at. On a wave the rider stands upright, over water that slopes.
TEST(Trim, TheRiderLeansAgainstThePullAndTheSlowingDown) {
  const TrimState held = trimmed_craft(heron_ride(pull_held()), 6, wings::pool()).state;
  EXPECT_NEAR(held.lean, held.drag / (82 * standard_gravity) * 1.0 * std::cos(held.alpha), 1e-12);
  const TrimState coasts = trimmed_craft(heron_ride(Drive{}), 6, wings::pool()).state;
  EXPECT_NEAR(coasts.lean, coasts.deceleration / standard_gravity * 0.95, 1e-12);
  const TrimState runs = trimmed_craft(heron_ride(wave()), 6, wings::pool()).state;
  EXPECT_NEAR(std::atan2(runs.lean, 0.95), runs.wave_slope, 1e-12);
  EXPECT_GT(runs.wave_slope, 2 * degree);
}

TEST(Trim, IsRefusedWhereNothingCarriesTheWeight) {
  EXPECT_THROW(trimmed_craft(heron_ride(), 1, wings::pool()), Error);
  EXPECT_THROW(trimmed_craft(heron_ride(), 0, wings::pool()), Error);
  Ride banked = heron_ride();
  banked.craft.still_surface.bank = 0.1;
  EXPECT_THROW(make_ride(banked.craft, banked.lattice, banked.wake, banked.drag, banked.loading), Error);
}

TEST(Trim, SectionPolarsAreTakenAtTheAngleOfTheTrim) {
  Ride ride = heron_ride();
  SectionPolar polar;
  polar.reynolds = {1e6};
  polar.lift_coefficient = {-0.5, 0, 0.5, 1, 1.5};
  for (const double cl : polar.lift_coefficient)
    polar.drag_coefficient.push_back(0.006 + 0.01 * cl * cl);
  for (Station& station : ride.craft.surfaces[0].stations)
    station.section.polar = polar;
  const TrimmedCraft t = trimmed_craft(ride, 5, wings::pool());
  const DragBreakdown again = drag_breakdown(ride.craft, t.responses.system.lattice(), ride.body, ride.drag,
                                             polar_point(t.responses, {t.state.alpha, 0, {}}), 5);
  EXPECT_NEAR(t.state.drag, again.total, 1e-9 * again.total);
}

} // namespace
