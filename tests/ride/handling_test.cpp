// Handling figures of a trimmed craft: against stability derivatives about the same points, set-ups of their
// own at other depths, and what can be worked by hand.

#include <gtest/gtest.h>

#include <array>
#include <complex>
#include <map>

#include "../support/wings.hpp"

#include <vlm/base/error.hpp>
#include <vlm/base/gravity.hpp>
#include <vlm/file/case.hpp>
#include <vlm/force/added_mass.hpp>
#include <vlm/force/alpha_rate.hpp>
#include <vlm/force/derivatives.hpp>
#include <vlm/force/polar_point.hpp>
#include <vlm/ride/handling.hpp>
#include <vlm/ride/trim.hpp>

namespace {

using namespace wings;

const vlm::RidingPoint riding{5.5, 0.09, -0.12, 0.09};

// The lake rescue board's wing and stabilizer on a coarse lattice.
struct Board {
  vlm::Craft craft;
  vlm::LatticeOptions options = counts({{12, 4}, {8, 4}});
  vlm::DragChoice drag;
  vlm::Loading loading;

  Board() {
    const vlm::Case input = vlm::read_case(std::string(VLM_CASES_DIR) + "/lake-rescue/heron-880.toml");
    craft = input.craft;
    std::erase_if(craft.surfaces, [](const vlm::Surface& s) { return s.pierces; });
    craft.fuselage.reset();
    loading = *input.loading;
  }

  vlm::Handling handling(const vlm::RidingPoint& point = riding) const {
    return vlm::handling(craft, options, drag, loading, point, pool());
  }
  vlm::Vec3 centre() const {
    return vlm::inertia(loading, riding.load_station, vlm::RiderHold::rigid, riding.alpha, riding.lean)
        .centre;
  }
  vlm::Responses responses(vlm::Motions motions = vlm::Motions::all) const {
    return vlm::make_responses(craft, options, riding.wake_angle, {}, pool(), motions);
  }
  // Force and moment for a coefficient of 1, at the speed of riding.
  double force_unit() const {
    return 0.5 * craft.water.density * riding.speed * riding.speed * vlm::reference(craft).area;
  }
  std::map<std::string, double> derivatives() const {
    std::map<std::string, double> all;
    for (const vlm::Derivative& d : vlm::derivatives(responses(), {riding.alpha}))
      all[d.name] = d.value;
    return all;
  }
  // Drag other than induced in a stream: of the skin, or of the waves beyond the image.
  vlm::OtherDrag drag_of(bool waves, const vlm::Responses& r, double speed, double alpha) const {
    std::vector<vlm::DragItem> items =
        vlm::drag_breakdown(craft, r.system.lattice(), {}, drag, vlm::polar_point(r, {alpha}), speed).items;
    std::erase_if(
        items, [&](const vlm::DragItem& item) { return (item.cause == vlm::waves_beyond_image) != waves; });
    return vlm::other_drag(items);
  }
};

double relative(double found, double wanted) {
  return found / wanted - 1;
}

TEST(Handling, FiguresAreStabilityDerivativesAboutTheCentreOfMassAndTheDragOfTheSkin) {
  Board board;
  const vlm::Handling h = board.handling();
  board.craft.moment_point = board.centre();
  const auto d = board.derivatives();
  const vlm::Reference size = vlm::reference(board.craft);
  const double unit = board.force_unit();
  // Drag of the skin at its place, below the centre of mass, swings up with the stream.
  const vlm::Responses r = board.responses(vlm::Motions::in_plane);
  const auto arm_of = [&](const vlm::OtherDrag& of) {
    return vlm::Vec3{of.drag_by_x - of.drag * board.centre().x, 0, of.drag_by_z - of.drag * board.centre().z};
  };
  const vlm::OtherDrag skin = board.drag_of(false, r, riding.speed, riding.alpha);
  const vlm::Vec3 arm = arm_of(skin) + arm_of(board.drag_of(true, r, riding.speed, riding.alpha));
  const double c = std::cos(riding.alpha), s = std::sin(riding.alpha);
  // Waves grow with the angle, too.
  const double step = 1e-4;
  const auto pitch_of_waves = [&](double alpha) {
    const vlm::Vec3 at = arm_of(board.drag_of(true, r, riding.speed, alpha));
    return at.z * c - at.x * s;
  };
  const double of_waves =
      (pitch_of_waves(riding.alpha + step) - pitch_of_waves(riding.alpha - step)) / (2 * step);
  EXPECT_NEAR(relative(*h.figures.pitch_stiffness,
                       -unit * size.chord * d.at("pitching moment due to angle of attack") -
                           (-arm.z * s - arm.x * c) - of_waves),
              0, 1e-6);
  EXPECT_NEAR(
      relative(*h.figures.yaw_stiffness, unit * size.span * d.at("yawing moment due to sideslip") + arm.x), 0,
      1e-6);
  // It is as if still when the craft pitches, but for its share in the speed that it meets, D' of V being
  // 1.8 to 2 D/V.
  const double rate_damping =
      -unit * size.chord * size.chord / (2 * riding.speed) * d.at("pitching moment due to pitch rate");
  const double of_skin = arm_of(skin).z * arm_of(skin).z / skin.drag / riding.speed;
  EXPECT_GT(*h.figures.pitch_rate_damping, rate_damping + 1.7 * of_skin);
  EXPECT_LT(*h.figures.pitch_rate_damping, rate_damping + 2.1 * of_skin);
}

TEST(Handling, SideFiguresAreStabilityDerivativesAboutTheOrigin) {
  Board board;
  const vlm::Handling h = board.handling();
  board.craft.moment_point = {};
  const auto d = board.derivatives();
  const double unit = board.force_unit(), span = vlm::reference(board.craft).span;
  EXPECT_NEAR(relative(*h.figures.side_force, unit * d.at("side force due to sideslip")), 0, 1e-9);
  const double damping = -unit * span * span / (2 * riding.speed) * d.at("rolling moment due to roll rate");
  EXPECT_NEAR(relative(*h.figures.roll_damping, damping), 0, 1e-9);
  EXPECT_NEAR(*h.figures.roll_per_torque * damping, 1, 1e-9);
}

TEST(Handling, DoesNotDependOnTheMomentPoint) {
  Board board;
  const vlm::Handling a = board.handling();
  board.craft.moment_point = {0.4, 0, -0.7};
  const vlm::Handling b = board.handling();
  for (const vlm::HandlingFigure& f : vlm::handling_figures())
    EXPECT_NEAR(relative(*(b.figures.*f.figure), *(a.figures.*f.figure)), 0, 1e-8) << f.name;
  EXPECT_NEAR(*b.height_neutral_point, *a.height_neutral_point, 1e-6);
  ASSERT_EQ(a.rigid.modes.size(), b.rigid.modes.size());
  for (std::size_t i = 0; i < a.rigid.modes.size(); ++i)
    EXPECT_NEAR(b.rigid.modes[i].growth, a.rigid.modes[i].growth, 1e-5);
}

TEST(Handling, PointsAreWhereTheLiftOfAngleAndOfDepthAct) {
  const Board board;
  const vlm::Handling h = board.handling();
  EXPECT_NEAR(*h.figures.neutral_point, *vlm::polar_point(board.responses(), {riding.alpha}).neutral_point,
              1e-12);
  const auto depth =
      vlm::depth_derivatives(board.craft, board.options, riding.wake_angle, {riding.alpha}, pool());
  ASSERT_EQ(depth.size(), 2U);
  EXPECT_NEAR(relative(*h.height_stiffness, board.force_unit() * depth[0].value), 0, 1e-6);
  EXPECT_GT(*h.height_stiffness, 0); // lift falls towards the still surface
}

// Coefficients of the near field of set-ups of their own at two depths, turned from the stream to the craft.
// A mast in still water, which no stream meets from the side, carries nothing in the plane of symmetry, so
// the drag of what is wetted of it moves the point nowhere: with it, it would be 40 mm ahead.
TEST(Handling, NeutralPointInHeightIsThatOfTheLiftAlone) {
  Board board;
  board.craft.moment_point = {};
  const auto wanted = [&] {
    const auto at = [&](double change) {
      vlm::Craft moved = board.craft;
      *moved.still_surface.depth += change;
      const vlm::PolarPoint p = vlm::polar_point(
          vlm::make_responses(moved, board.options, riding.wake_angle, {}, pool()), {riding.alpha});
      const double drag = p.induced_drag_coefficient + *p.near_drag_excess;
      return std::pair{p.lift_coefficient * std::cos(riding.alpha) + drag * std::sin(riding.alpha),
                       p.pitching_moment_coefficient * vlm::reference(board.craft).chord};
    };
    const auto below = at(1e-3), above = at(-1e-3);
    return -(below.second - above.second) / (below.first - above.first);
  };
  EXPECT_NEAR(*board.handling().height_neutral_point, wanted(), 1e-6);

  const vlm::Case input = vlm::read_case(std::string(VLM_CASES_DIR) + "/lake-rescue/heron-880.toml");
  board.craft.surfaces.push_back(input.craft.surfaces.back());
  ASSERT_TRUE(board.craft.surfaces.back().pierces);
  board.options.counts = counts({{12, 4}, {8, 4}, {4, 4}}).counts;
  EXPECT_NEAR(*board.handling().height_neutral_point, wanted(), 1e-6);
}

TEST(Handling, MarginIsFromTheUprightThroughAllThatTheFoilCarries) {
  Board board;
  board.loading.masses = {{"kit", 10, {-0.4, 0, 0.8}, 0.002, 0}};
  const double water = board.craft.water.density * 0.002, rider = board.loading.rider.mass;
  const vlm::Vec3 feet = vlm::deck_point(board.loading.deck, riding.load_station);
  const auto under = [&](const vlm::Vec3& p) { return p.x + p.z * std::tan(riding.alpha); };
  const double line = (rider * under(feet) + (10 - water) * under({-0.4, 0, 0.8})) / (rider + 10 - water);
  const vlm::Handling h = board.handling();
  EXPECT_NEAR(h.load_line, line, 1e-12);
  EXPECT_NEAR(*h.figures.static_margin, (*h.figures.neutral_point - line) / vlm::reference(board.craft).chord,
              1e-12);
}

TEST(Handling, ChangesWithDepthAreThoseBetweenSetUpsOfTheirOwn) {
  Board board;
  const vlm::Handling h = board.handling();
  const double step = 0.003;
  *board.craft.still_surface.depth += step;
  const vlm::Handling below = board.handling();
  *board.craft.still_surface.depth -= 2 * step;
  const vlm::Handling above = board.handling();
  for (const vlm::HandlingFigure& f : vlm::handling_figures()) {
    const auto& change = (*h.per_depth).*f.figure;
    if (!change)
      continue;
    const double wanted = (*(below.figures.*f.figure) - *(above.figures.*f.figure)) / (2 * step);
    EXPECT_NEAR(*change, wanted, 2e-3 * std::abs(wanted) + 1e-4 * std::abs(*(h.figures.*f.figure))) << f.name;
  }
  EXPECT_TRUE(h.per_depth->static_margin && h.per_depth->roll_damping);
}

// Sinking by a metre takes a metre of clearance: lift of set-ups of their own at two clearances.
TEST(Handling, OverAWallLiftGrowsAsTheCraftSinks) {
  Board board;
  board.craft.moment_point = {};
  board.craft.still_surface = {vlm::Boundary::wall, {}, 0.2, 0};
  const vlm::Handling h = board.handling();
  const auto point_at = [&](double clearance) {
    vlm::Craft moved = board.craft;
    moved.still_surface.clearance = clearance;
    return vlm::polar_point(vlm::make_responses(moved, board.options, riding.wake_angle, {}, pool()),
                            {riding.alpha});
  };
  constexpr double step = 1e-3;
  const vlm::PolarPoint near = point_at(0.2 - step), away = point_at(0.2 + step);
  const double stiffness = board.force_unit() * (near.lift_coefficient - away.lift_coefficient) / (2 * step);
  ASSERT_TRUE(h.height_stiffness && h.height_neutral_point && h.per_depth);
  EXPECT_NEAR(relative(*h.height_stiffness, stiffness), 0, 1e-4); // of third order
  EXPECT_GT(stiffness, 100);
  EXPECT_NEAR(*h.per_depth->neutral_point, (*near.neutral_point - *away.neutral_point) / (2 * step),
              1e-4 * std::abs(*h.figures.neutral_point));
  for (const vlm::RideModes* ride : {&h.rigid, &h.on_the_deck}) {
    std::size_t roots = 0;
    for (const vlm::Mode& mode : ride->modes)
      roots += mode.frequency ? 2 : 1;
    EXPECT_EQ(roots, 5U); // height, too
  }
}

TEST(Handling, FarFromTheStillSurfaceHeightIsNeutral) {
  Board board;
  board.craft.still_surface = {};
  const vlm::Handling h = board.handling();
  EXPECT_FALSE(h.per_depth || h.height_stiffness || h.height_neutral_point);
  for (const vlm::RideModes* ride : {&h.rigid, &h.on_the_deck}) {
    std::size_t roots = 0;
    for (const vlm::Mode& mode : ride->modes)
      roots += mode.frequency ? 2 : 1;
    EXPECT_EQ(roots, 4U); // speed, upward velocity, pitch and its rate
  }
}

// Held in pitch by an inertia that nothing turns, a craft comes to rest in heave at the rate (L_α + D)/(m V),
// m with the water's inertia and the lag of the downwash; what speed changes by then is of the order of
// (g/V)² over the square of that rate, 1e-3.
TEST(Handling, HeaveOfACraftThatDoesNotPitchDiesOutWithItsLiftSlope) {
  Board board;
  board.craft.still_surface = {};
  board.loading.rider.pitch_inertia = 1e9;
  const vlm::RidingPoint fast{15, 0.02, -0.12, 0.02};
  const vlm::Handling h = board.handling(fast);
  const vlm::Responses r =
      vlm::make_responses(board.craft, board.options, fast.wake_angle, {}, pool(), vlm::Motions::all);
  const double lift_slope = r.pressure_area * fast.speed * vlm::derivatives(r, {fast.alpha})[0].value;
  const double water = vlm::added_mass(board.craft, r.system.influence(), {}, pool())(1, 1),
               lag = 0.5 * r.reference.chord * r.pressure_area *
                     vlm::alpha_rate_derivatives(r, {fast.alpha}, pool())[0].value;
  const auto heave = std::find_if(h.rigid.modes.begin(), h.rigid.modes.end(),
                                  [](const vlm::Mode& m) { return m.name == "subsidence in heave"; });
  ASSERT_NE(heave, h.rigid.modes.end());
  EXPECT_NEAR(-heave->growth * (h.rigid.inertia.mass + water + lag) / lift_slope, 1, 0.01);
  EXPECT_GT(water + lag, 0.1 * h.rigid.inertia.mass);
}

// Loads of the board on its way, in full: forward, upward and pitch about its centre of mass, in axes fixed
// in space, for velocities u, w, q of that centre, its pitch and its height from those of steady flight.
using Three = std::array<double, 3>;
using State = std::array<double, 5>; // u, w, q, pitch, height
struct Full {
  const Board& board;
  vlm::Vec3 centre;

  static vlm::Vec3 forward(double pitch) {
    return {-std::cos(riding.alpha + pitch), 0, -std::sin(riding.alpha + pitch)};
  }
  static vlm::Vec3 upward(double pitch) {
    return {-std::sin(riding.alpha + pitch), 0, std::cos(riding.alpha + pitch)};
  }
  // Of a point that goes along, in geometry axes.
  vlm::Vec3 velocity(const State& s, const vlm::Vec3& at) const {
    const vlm::Vec3 arm = at - centre;
    return (riding.speed + s[0]) * forward(s[3]) + s[1] * upward(s[3]) + s[2] * vlm::Vec3{arm.z, 0, -arm.x};
  }
  Three in_space(const vlm::Vec3& force, double moment_about_origin, double pitch) const {
    return {dot(force, forward(pitch)), dot(force, upward(pitch)),
            moment_about_origin - centre.z * force.x + centre.x * force.z};
  }
  Three loads(const vlm::Responses& r, const State& s) const {
    const vlm::Vec3 stream = -velocity(s, {});
    const std::vector<double> a{stream.x, stream.z, 0, 0, s[2], 0};
    vlm::Vec3 force{value(r.craft.force[0], a), 0, value(r.craft.force[2], a)};
    double moment = value(r.craft.moment[1], a);
    // Drag of the skin, along the stream where it acts.
    const vlm::OtherDrag steady = board.drag_of(false, r, riding.speed, riding.alpha);
    const vlm::Vec3 met = -velocity(s, {steady.drag_by_x / steady.drag, 0, steady.drag_by_z / steady.drag}),
                    along = normalized(met);
    const auto add = [&](const vlm::OtherDrag& drag, const vlm::Vec3& direction) {
      force += drag.drag * direction;
      moment += drag.drag_by_z * direction.x - drag.drag_by_x * direction.z;
    };
    add(board.drag_of(false, r, norm(met), std::atan2(met.z, met.x)), along);
    // Waves, as if the craft went straight on.
    const vlm::Vec3 straight = -velocity({s[0], s[1], 0, s[3], s[4]}, {});
    add(board.drag_of(true, r, norm(straight), std::atan2(straight.z, straight.x)), normalized(straight));
    for (const vlm::Mass& m : board.loading.masses) {
      const vlm::Vec3 lift =
          board.craft.water.density * m.displaced_volume * vlm::standard_gravity * upward(s[3]);
      force += lift;
      moment += m.centre.z * lift.x - m.centre.x * lift.z;
    }
    return in_space(force, moment, s[3]);
  }
};

std::complex<double> determinant(const std::array<std::array<std::complex<double>, 3>, 3>& m) {
  return m[0][0] * (m[1][1] * m[2][2] - m[1][2] * m[2][1]) -
         m[0][1] * (m[1][0] * m[2][2] - m[1][2] * m[2][0]) +
         m[0][2] * (m[1][0] * m[2][1] - m[1][1] * m[2][0]);
}

// Each mode makes the equations of motion singular, written anew from loads in full, by central differences.
TEST(Handling, ModesSolveTheEquationsOfMotion) {
  Board board;
  board.craft.moment_point = {};
  const vlm::Inertia body =
      vlm::inertia(board.loading, riding.load_station, vlm::RiderHold::rigid, riding.alpha, riding.lean);
  const Full full{board, body.centre};
  const auto at_depth = [&](double change) {
    Board moved = board;
    *moved.craft.still_surface.depth += change;
    return moved.responses();
  };
  const double step = 1e-4;
  const vlm::Responses here = board.responses(), below = at_depth(step), above = at_depth(-step);

  std::array<Three, 3> mass{}, rate{}, place{};
  mass[0][0] = mass[1][1] = body.mass, mass[2][2] = body.pitch;
  const Three deep = full.loads(below, {}), shallow = full.loads(above, {});
  for (std::size_t i = 0; i < 3; ++i)
    for (std::size_t k = 0; k < 4; ++k) {
      State ahead{}, behind{};
      ahead[k] = step, behind[k] = -step;
      const double slope = (full.loads(here, ahead)[i] - full.loads(here, behind)[i]) / (2 * step);
      (k < 3 ? rate[i][k] : place[i][2]) += slope;
    }
  const double aft = dot(body.centre, Full::forward(0)); // of the origin behind the centre: it sinks by that
  for (std::size_t i = 0; i < 3; ++i) {
    const double slope = (deep[i] - shallow[i]) / (2 * step);
    place[i][1] -= slope;
    place[i][2] += aft * slope;
  }
  // Water's inertia: the rate of the origin's velocity in the craft's axes, and the force against it.
  const vlm::Matrix water = vlm::added_mass(board.craft, here.system.influence(), {}, pool());
  const auto late = vlm::alpha_rate_derivatives(here, {riding.alpha}, pool());
  const double unit = board.force_unit() * vlm::reference(board.craft).chord / (2 * riding.speed);
  const Three lag =
      full.in_space(unit * (late[0].value * Full::upward(0) + (-late[2].value) * Full::forward(0)),
                    unit * vlm::reference(board.craft).chord * late[1].value, 0);
  for (std::size_t k = 0; k < 4; ++k) {
    State ahead{}, behind{};
    ahead[k] = step, behind[k] = -step;
    const vlm::Vec3 slope = (1 / (2 * step)) * (full.velocity(ahead, {}) - full.velocity(behind, {}));
    const Three moving{slope.x, slope.z, k == 2 ? 1.0 : 0.0};
    Three momentum{};
    for (std::size_t i = 0; i < 3; ++i)
      for (std::size_t j = 0; j < 3; ++j)
        momentum[i] += water(i, j) * moving[j];
    const Three load = full.in_space({momentum[0], 0, momentum[1]}, momentum[2], 0);
    for (std::size_t i = 0; i < 3; ++i)
      (k < 3 ? mass[i][k] : rate[i][2]) += k < 3 ? load[i] : -load[i];
  }
  for (std::size_t i = 0; i < 3; ++i)
    mass[i][1] += lag[i] / riding.speed, rate[i][2] += lag[i];

  const auto singular = [&](std::complex<double> lambda) {
    std::array<std::array<std::complex<double>, 3>, 3> m;
    for (std::size_t i = 0; i < 3; ++i)
      for (std::size_t j = 0; j < 3; ++j)
        m[i][j] = lambda * lambda * mass[i][j] - lambda * rate[i][j] - place[i][j];
    return std::abs(determinant(m));
  };
  const vlm::Handling h = board.handling();
  EXPECT_GE(h.rigid.modes.size(), 4U);
  for (const vlm::Mode& m : h.rigid.modes) {
    const std::complex<double> lambda{m.growth, m.angular_frequency};
    EXPECT_LT(singular(lambda) / singular(1.01 * lambda), 1e-3) << m.name << ' ' << lambda;
  }
}

// The board as a placement study has it, at a lift without a loading, its stabilizer turned by an amplitude.
// The figures are differences of the loads in full of a craft whose stabilizer is set so, about the point
// where its resultant crosses the x axis: as it pitches and turns through still water, is met from the side,
// rolls. The skin's drag goes along the stream, so sideslip gives it a moment about the upright alone.
TEST(Handling, WithoutALoadingFiguresAreDifferencesOfLoadsAboutTheCentreOfLift) {
  Board board;
  board.craft.moment_point = {};
  board.loading.masses.clear(); // whose buoyancy is no part of these
  Board set = board;
  const double turn = 0.02, step = 1e-4;
  set.craft.surfaces[1].incidence += turn;
  const vlm::Responses there = set.responses();
  const auto at = [&](const vlm::Condition& condition) { return vlm::polar_point(there, condition); };
  const double unit = board.force_unit(), chord = vlm::reference(board.craft).chord,
               span = vlm::reference(board.craft).span;
  const vlm::PolarPoint steady = at({riding.alpha}), steeper = at({riding.alpha + step}),
                        flatter = at({riding.alpha - step});
  const auto along_z = [](const vlm::PolarPoint& p) {
    return p.lift_coefficient * std::cos(p.condition.alpha) +
           (p.induced_drag_coefficient + *p.near_drag_excess) * std::sin(p.condition.alpha);
  };
  const double centre = -chord * steady.pitching_moment_coefficient / along_z(steady),
               neutral = -chord *
                         (steeper.pitching_moment_coefficient - flatter.pitching_moment_coefficient) /
                         (along_z(steeper) - along_z(flatter));
  const Full full{board, {centre, 0, 0}};
  const auto pitch_slope = [&](std::size_t variable) {
    State ahead{}, behind{};
    ahead[variable] = step, behind[variable] = -step;
    return (full.loads(there, ahead)[2] - full.loads(there, behind)[2]) / (2 * step);
  };
  const vlm::PolarPoint from_starboard = at({riding.alpha, step}), from_port = at({riding.alpha, -step}),
                        rolling = at({riding.alpha, 0, {step, 0, 0}}),
                        back = at({riding.alpha, 0, {-step, 0, 0}});
  const vlm::OtherDrag skin = board.drag_of(false, there, riding.speed, riding.alpha),
                       waves = board.drag_of(true, there, riding.speed, riding.alpha);
  const double side_force = unit *
                            (from_starboard.side_force_coefficient - from_port.side_force_coefficient) /
                            (2 * step),
               yaw_about_origin =
                   unit * span *
                   (from_starboard.yawing_moment_coefficient - from_port.yawing_moment_coefficient) /
                   (2 * step),
               // Of the force in the craft's axes, where steady drag turns with the stream.
      side_in_craft = side_force - unit * (steady.induced_drag_coefficient + *steady.near_drag_excess),
               yaw = yaw_about_origin + centre * side_in_craft + skin.drag_by_x + waves.drag_by_x -
                     (skin.drag + waves.drag) * centre,
               roll = -unit * span * span / (2 * riding.speed) *
                      (rolling.rolling_moment_coefficient - back.rolling_moment_coefficient) / (2 * step);

  const vlm::Ride ride = vlm::make_ride(board.craft, board.options, {}, board.drag, board.loading);
  const vlm::TurnShape shape{1, std::nullopt};
  vlm::TrimmedCraft t =
      vlm::craft_to_trim(riding.speed, vlm::make_responses(board.craft, board.options, riding.wake_angle,
                                                           {&shape, 1}, pool(), vlm::Motions::all));
  vlm::carry_at_wake(t, ride, unit * steady.lift_coefficient, {&turn, 1});
  ASSERT_NEAR(t.state.alpha, riding.alpha, 1e-9);
  const vlm::HandlingFigures f = vlm::handling_without_loading(ride, t, {&turn, 1});
  EXPECT_NEAR(*f.neutral_point, neutral, 1e-6);
  EXPECT_NEAR(*f.static_margin, (neutral - centre) / chord, 1e-5);
  EXPECT_NEAR(relative(*f.pitch_stiffness, -pitch_slope(3)), 0, 1e-5);
  // A turn counts in the axial stream that the craft meets as a whole; set so, the stabilizer also meets what
  // its height of 8 mm makes of the pitch rate, beside 0.56 m behind: 0.02 · 8/560.
  EXPECT_NEAR(relative(*f.pitch_rate_damping, -pitch_slope(2)), 0, 4e-4);
  EXPECT_NEAR(relative(*f.roll_damping, roll), 0, 1e-5);
  EXPECT_NEAR(relative(*f.roll_per_torque, 1 / roll), 0, 1e-5);
  EXPECT_NEAR(relative(*f.side_force, side_force), 0, 1e-5);
  EXPECT_NEAR(relative(*f.yaw_stiffness, yaw), 0, 1e-5);
  EXPECT_FALSE(f.deck_pitch_stiffness || f.deck_pitch_rate_damping || f.deck_pitch_lag_damping ||
               f.pitch_lag_damping);
}

// The lift acts below the centre of mass, and topples the more the higher that is. Straight above each other,
// two centres differ by (L − dD/dα) per metre of height: as the craft pitches up, lift leans back and drag
// grows, which pulls it up again. With CDi = CL²/(πA) dD/dα is some half of the lift here, and the rest is
// left.
TEST(Handling, RiderOnTheDeckLeavesLessToPitchAndLowersTheCentre) {
  const Board board;
  const vlm::Handling h = board.handling();
  EXPECT_LT(h.on_the_deck.inertia.pitch, h.rigid.inertia.pitch);
  EXPECT_GT(*h.figures.deck_pitch_stiffness, *h.figures.pitch_stiffness);
  const double height = h.rigid.inertia.centre.z - h.on_the_deck.inertia.centre.z;
  const double gain = *h.figures.deck_pitch_stiffness - *h.figures.pitch_stiffness;
  const double weight = 98 * 9.80665;
  EXPECT_GT(gain, 0.3 * weight * height);
  EXPECT_LT(gain, 0.8 * weight * height);
}

// The wing has the larger mean chord, ∫c² dy / ∫c dy. By trapezia between its stations, whose chords lie on a
// smooth curve, it is 1 % off.
TEST(Handling, ReducedFrequenciesAreThoseOfTheLargestChordWhateverTheReference) {
  Board board;
  double area = 0, square = 0;
  const auto& stations = board.craft.surfaces[0].stations;
  for (std::size_t i = 0; i + 1 < stations.size(); ++i) {
    const double a = stations[i].chord, b = stations[i + 1].chord, width = stations[i + 1].y - stations[i].y;
    area += 0.5 * (a + b) * width, square += (a * a + a * b + b * b) / 3 * width;
  }
  const vlm::Handling by_wing = board.handling();
  board.craft.reference_surface = board.craft.surfaces[1].name;
  const vlm::Handling by_tail = board.handling();
  ASSERT_EQ(by_wing.rigid.modes.size(), by_tail.rigid.modes.size());
  for (std::size_t i = 0; i < by_wing.rigid.modes.size(); ++i) {
    const vlm::Mode &m = by_wing.rigid.modes[i], &other = by_tail.rigid.modes[i];
    EXPECT_NEAR(relative(m.reduced_frequency * 2 * riding.speed / std::hypot(m.growth, m.angular_frequency),
                         square / area),
                0, 0.01);
    EXPECT_NEAR(relative(other.reduced_frequency, m.reduced_frequency), 0, 1e-6);
    EXPECT_EQ(other.quasi_steady, m.quasi_steady);
  }
  EXPECT_LT(*by_tail.figures.static_margin / *by_wing.figures.static_margin,
            3); // a margin is over that chord
  EXPECT_GT(*by_tail.figures.static_margin / *by_wing.figures.static_margin, 2);
}

// Along the stream, gravity on a wave of slope γ and the inertia of slowing down by a are the same load, m g
// sin γ = m a. Across it the wave asks for cos γ of the lift: 1 − cos γ = γ²/2, 0.2 % here, in all figures
// and up to twenty times that in small differences of large ones.
TEST(Handling, AWaveAndCoastingOfTheSameDragAreAlike) {
  const Board board;
  for (const double speed : {5.5, 9.0}) {
    const auto point_of = [&](vlm::Drive::Kind kind) {
      vlm::Loading loading = board.loading;
      loading.drive = {};
      loading.drive.kind = kind;
      const vlm::Ride ride = vlm::make_ride(board.craft, board.options, {}, board.drag, loading);
      const vlm::TrimmedCraft t = vlm::trimmed_craft(ride, speed, pool());
      return std::pair{vlm::steady_handling(
                           board.craft, board.options, board.drag, loading,
                           {speed, t.state.alpha, t.state.load_station, t.responses.wake_angle, t.state.lean},
                           pool()),
                       t.state};
    };
    const auto [wave, runs] = point_of(vlm::Drive::Kind::wave);
    const auto [coasting, slows] = point_of(vlm::Drive::Kind::coasting);
    EXPECT_NEAR(std::sin(runs.wave_slope) * vlm::standard_gravity / slows.deceleration, 1, 2e-3);
    EXPECT_GT(runs.wave_slope, 0.04);
    for (const vlm::HandlingFigure& f : vlm::handling_figures())
      if (wave.*f.figure) {
        const double one = *(wave.*f.figure), other = *(coasting.*f.figure);
        // The margin is itself such a difference, here near zero.
        const double near = f.figure == &vlm::HandlingFigures::static_margin ? 2e-3 : 0.05 * std::abs(other);
        EXPECT_NEAR(one, other, near) << f.name << " at " << speed;
      }
  }
}

TEST(Handling, RefusesBankAndStandstill) {
  Board board;
  EXPECT_THROW(board.handling({0, 0.05, 0, 0.05}), vlm::Error);
  board.craft.still_surface.bank = 0.1;
  EXPECT_THROW(board.handling(), vlm::Error);
}

} // namespace
