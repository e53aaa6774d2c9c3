// What each function of the C interface refuses: its status, its message, and that nothing was done.

#include <cmath>
#include <filesystem>
#include <limits>
#include <string>
#include <thread>
#include <vector>

#include <gtest/gtest.h>

#include <vlm/vlm.h>

#include "../apps/run_program.hpp"
#include "handles.hpp"

namespace {

using std::string;

// A call gives a status, and a message that names its function and has a text in it. tests read these calls
// to see that each function has one: check_interface.py.
#define EXPECT_REFUSED(wanted, text, call)                                                                   \
  do {                                                                                                       \
    EXPECT_EQ(call, wanted) << vlm_message();                                                                \
    const string said = vlm_message(), called = #call;                                                       \
    EXPECT_EQ(said.substr(0, said.find(':')), called.substr(0, called.find('(')));                           \
    EXPECT_NE(said.find(text), string::npos) << said;                                                        \
  } while (false)

const double no_number = std::numeric_limits<double>::quiet_NaN();
constexpr std::size_t far = 1000;

class CRefusals : public testing::Test {
protected:
  void SetUp() override {
    ASSERT_EQ(vlm_case_read(ridden.c_str(), &read.get), VLM_OK) << vlm_message();
    ASSERT_EQ(vlm_case_new("built", &built.get), VLM_OK) << vlm_message();
  }

  /// A solution in plane of the case read.
  const vlm_solution* solved() {
    if (solution.get == nullptr) {
      EXPECT_EQ(vlm_solve(read.get, 0, VLM_MOTIONS_IN_PLANE, 1, &solution.get), VLM_OK) << vlm_message();
    }
    return solution.get;
  }

  Handle<vlm_case> read{vlm_case_free}, built{vlm_case_free};
  Handle<vlm_solution> solution{vlm_solution_free};
};

TEST_F(CRefusals, ReadingAndFreeing) {
  vlm_case* c = built.get;
  EXPECT_REFUSED(VLM_ERROR_NULL, "path: found null", vlm_case_read(nullptr, &c));
  EXPECT_EQ(c, nullptr);
  EXPECT_REFUSED(VLM_ERROR_NULL, "result: found null", vlm_case_read("x.toml", nullptr));
  EXPECT_REFUSED(VLM_ERROR_INPUT, "missing.toml", vlm_case_read("missing.toml", &c));
  EXPECT_REFUSED(VLM_ERROR_INPUT, "wrong.toml:1:9", vlm_case_parse("title = 3\n", 10, "wrong.toml", &c));
  EXPECT_REFUSED(VLM_ERROR_NULL, "text: found null", vlm_case_parse(nullptr, 10, "wrong.toml", &c));
  EXPECT_REFUSED(VLM_ERROR_INPUT, "none.toml", vlm_case_parse(nullptr, 0, "none.toml", &c));
  EXPECT_REFUSED(VLM_ERROR_NULL, "title: found null", vlm_case_new(nullptr, &c));
  EXPECT_REFUSED(VLM_ERROR_ARGUMENT, "title: found no text", vlm_case_new("", &c));
  EXPECT_REFUSED(VLM_ERROR_NULL, "original: found null", vlm_case_copy(nullptr, &c));
  EXPECT_EQ(c, nullptr);
  EXPECT_REFUSED(VLM_ERROR_NULL, "handle: found null", vlm_case_free(nullptr));
  EXPECT_REFUSED(VLM_ERROR_NULL, "handle: found null", vlm_solution_free(nullptr));
  EXPECT_REFUSED(VLM_ERROR_NULL, "handle: found null", vlm_polar_free(nullptr));
  EXPECT_REFUSED(VLM_ERROR_NULL, "handle: found null", vlm_twist_free(nullptr));
  EXPECT_REFUSED(VLM_ERROR_NULL, "handle: found null", vlm_trim_free(nullptr));
}

TEST_F(CRefusals, QueriesOfACase) {
  std::size_t count = 7;
  const char* text = "kept";
  double number = 7;
  EXPECT_REFUSED(VLM_ERROR_NULL, "handle: found null", vlm_case_num_notes(nullptr, &count));
  EXPECT_REFUSED(VLM_ERROR_ARGUMENT, "index: found 1000, wanted", vlm_case_note(read.get, far, &text));
  EXPECT_REFUSED(VLM_ERROR_NULL, "count: found null", vlm_case_num_surfaces(read.get, nullptr));
  EXPECT_REFUSED(VLM_ERROR_ARGUMENT, "surface: found 2, wanted 0 to 1",
                 vlm_case_surface_name(read.get, 2, &text));
  EXPECT_REFUSED(VLM_ERROR_ARGUMENT, "there are none yet", vlm_case_surface_name(built.get, 0, &text));
  EXPECT_REFUSED(VLM_ERROR_INPUT, "stabilizer", vlm_case_find_surface(read.get, "rudder", &count));
  vlm_outline outline;
  EXPECT_REFUSED(VLM_ERROR_ARGUMENT, "surface: found 1000", vlm_case_outline(read.get, far, &outline));
  vlm_reference reference;
  EXPECT_REFUSED(VLM_ERROR_INPUT, "reference", vlm_case_reference(built.get, &reference));
  vlm_water water;
  EXPECT_REFUSED(VLM_ERROR_NULL, "handle: found null", vlm_case_water(nullptr, &water));
  vlm_operation operation;
  EXPECT_REFUSED(VLM_ERROR_NULL, "handle: found null", vlm_case_operation(nullptr, &operation));
  EXPECT_REFUSED(VLM_ERROR_INPUT, "speed", vlm_case_lift_coefficient(read.get, &number));
  EXPECT_EQ(count, 7U);
  EXPECT_STREQ(text, "kept");
  EXPECT_EQ(number, 7);
}

TEST_F(CRefusals, Sections) {
  std::size_t number = 7;
  const double x[] = {0, 0.5, 0.4}, z[] = {0, 0, 0};
  EXPECT_REFUSED(VLM_ERROR_INPUT, "99", vlm_case_add_naca_section(built.get, "99", &number));
  EXPECT_REFUSED(VLM_ERROR_INPUT, "camber",
                 vlm_case_add_parabolic_section(built.get, "arc", 3, 0.4, 0.1, &number));
  EXPECT_REFUSED(VLM_ERROR_INPUT, "thickness",
                 vlm_case_add_parabolic_section(built.get, "arc", 0.03, 0.4, no_number, &number));
  EXPECT_REFUSED(VLM_ERROR_INPUT, "0 <= a < 1",
                 vlm_case_add_uniform_load_section(built.get, "load", 0.3, 1, 0.1, &number));
  EXPECT_REFUSED(VLM_ERROR_INPUT, "run from x = 0 to 1",
                 vlm_case_add_sampled_section(built.get, "line", x, z, 3, 0.1, &number));
  EXPECT_REFUSED(VLM_ERROR_NULL, "z: found null",
                 vlm_case_add_sampled_section(built.get, "line", x, nullptr, 3, 0.1, &number));
  EXPECT_REFUSED(VLM_ERROR_INPUT, "10", vlm_case_add_contour_section(built.get, "contour", x, z, 3, &number));
  EXPECT_EQ(number, 7U);
  EXPECT_REFUSED(VLM_ERROR_ARGUMENT, "section: found 0, wanted none",
                 vlm_case_set_section_max_lift(built.get, 0, 1));
  ASSERT_EQ(vlm_case_add_naca_section(built.get, "0009", &number), VLM_OK);
  EXPECT_REFUSED(VLM_ERROR_INPUT, "greatest lift coefficient",
                 vlm_case_set_section_max_lift(built.get, 0, -1));
  const double lift[] = {0, 1}, reynolds[] = {1e5}, drag[] = {0.01, -0.01};
  EXPECT_REFUSED(VLM_ERROR_LENGTH, "drag_coefficient: found a length of 1, wanted 2",
                 vlm_case_set_section_drag(built.get, 0, lift, 2, reynolds, 1, drag, 1));
  EXPECT_REFUSED(VLM_ERROR_INPUT, "drag coefficient",
                 vlm_case_set_section_drag(built.get, 0, lift, 2, reynolds, 1, drag, 2));
}

TEST_F(CRefusals, SurfacesAndFuselage) {
  std::size_t number = 0;
  ASSERT_EQ(vlm_case_add_naca_section(built.get, "0009", &number), VLM_OK);
  const vlm_station stations[] = {{-0.3, 0, 0, 0.1, 0, 0}, {0.3, 0, 0, 0.1, 0, 0}};
  const vlm_surface wing{"wing", {0, 0, 0}, 0, VLM_CURVE_STRAIGHT, 0, 0, 6, 3};
  const auto changed = [&](auto change) {
    vlm_surface other = wing;
    change(other);
    return other;
  };
  const vlm_surface curved = changed([](vlm_surface&s) { s.curve = 9; }),
                    mirrored = changed([](vlm_surface&s) { s.half = 1; }),
                    nameless = changed([](vlm_surface&s) { s.name = nullptr; }),
                    fine = changed([](vlm_surface&s) { s.strips = -1; }),
                    lost = changed([](vlm_surface&s) { s.position[2] = no_number; });
  EXPECT_REFUSED(VLM_ERROR_ARGUMENT, "curve: found 9", vlm_case_add_surface(built.get, &curved, stations, 2));
  EXPECT_REFUSED(VLM_ERROR_INPUT, "centre plane", vlm_case_add_surface(built.get, &mirrored, stations, 2));
  EXPECT_REFUSED(VLM_ERROR_NULL, "surface.name", vlm_case_add_surface(built.get, &nameless, stations, 2));
  EXPECT_REFUSED(VLM_ERROR_ARGUMENT, "surface.strips: found -1",
                 vlm_case_add_surface(built.get, &fine, stations, 2));
  EXPECT_REFUSED(VLM_ERROR_ARGUMENT, "surface.position: found no finite number",
                 vlm_case_add_surface(built.get, &lost, stations, 2));
  EXPECT_REFUSED(VLM_ERROR_INPUT, "at least two", vlm_case_add_surface(built.get, &wing, stations, 1));
  const vlm_station unknown[] = {{-0.3, 0, 0, 0.1, 0, 1}, {0.3, 0, 0, 0.1, 0, 0}};
  EXPECT_REFUSED(VLM_ERROR_ARGUMENT, "stations.section: found 1",
                 vlm_case_add_surface(built.get, &wing, unknown, 2));
  const vlm_station broken[] = {{-0.3, 0, 0, 0.1, 0, 0}, {no_number, 0, 0, 0.1, 0, 0}};
  EXPECT_REFUSED(VLM_ERROR_INPUT, "a y that is not finite",
                 vlm_case_add_surface(built.get, &wing, broken, 2));
  ASSERT_EQ(vlm_case_num_surfaces(built.get, &number), VLM_OK);
  EXPECT_EQ(number, 0U); // none of them came in
  ASSERT_EQ(vlm_case_add_surface(built.get, &wing, stations, 2), VLM_OK);
  EXPECT_REFUSED(VLM_ERROR_ARGUMENT, "a second time", vlm_case_add_surface(built.get, &wing, stations, 2));

  const double none = 0;
  EXPECT_REFUSED(VLM_ERROR_ARGUMENT, "found neither",
                 vlm_case_stretch_surface(built.get, 0, nullptr, nullptr));
  EXPECT_REFUSED(VLM_ERROR_ARGUMENT, "area: found 0", vlm_case_stretch_surface(built.get, 0, &none, nullptr));
  EXPECT_REFUSED(VLM_ERROR_ARGUMENT, "incidence", vlm_case_set_incidence(built.get, 0, no_number));

  const vlm_fuselage_cut cuts[] = {{0, 0, 0, 0, 0}, {1, 0.1, 0.1, 0, 0}, {0.5, 0, 0, 0, 0}};
  EXPECT_REFUSED(VLM_ERROR_INPUT, "cut 3",
                 vlm_case_set_fuselage_cuts(built.get, VLM_CUT_ELLIPTICAL, cuts, 3));
  EXPECT_REFUSED(VLM_ERROR_ARGUMENT, "cut_shape: found 2", vlm_case_set_fuselage_cuts(built.get, 2, cuts, 3));
  vlm_fuselage_size size{0, 0, 1, 0.1, 0.1, 0, VLM_END_ELLIPSE, VLM_END_CONE, 0.6, 0.6};
  EXPECT_REFUSED(VLM_ERROR_INPUT, "at most the length",
                 vlm_case_set_fuselage_size(built.get, VLM_CUT_ELLIPTICAL, &size));
  size.tail_shape = 3;
  EXPECT_REFUSED(VLM_ERROR_ARGUMENT, "size.tail_shape: found 3",
                 vlm_case_set_fuselage_size(built.get, VLM_CUT_ELLIPTICAL, &size));
  EXPECT_REFUSED(VLM_ERROR_ARGUMENT, "around: found 10", vlm_case_set_fuselage_panels(built.get, 24, 10));
  EXPECT_REFUSED(VLM_ERROR_ARGUMENT, "rings: found 3", vlm_case_set_fuselage_panels(built.get, 3, 12));
}

TEST_F(CRefusals, WaterAndOperation) {
  const double point[] = {0, no_number, 0};
  EXPECT_REFUSED(VLM_ERROR_ARGUMENT, "surface: found 5", vlm_case_set_reference(read.get, 5));
  EXPECT_REFUSED(VLM_ERROR_ARGUMENT, "point: found no finite number",
                 vlm_case_set_moment_point(read.get, point));
  EXPECT_REFUSED(VLM_ERROR_INPUT, "temperature", vlm_case_set_fresh_water(read.get, 90));
  EXPECT_REFUSED(VLM_ERROR_INPUT, "salinity", vlm_case_set_sea_water(read.get, 10, 400));
  const vlm_water vacuum{0, 1e-6, 2000};
  EXPECT_REFUSED(VLM_ERROR_ARGUMENT, "water.density: found 0", vlm_case_set_water(read.get, &vacuum));
  const vlm_still_surface fourth{3, {0.3, 1}, {0, 0}, 0},
      unknown{VLM_BOUNDARY_FREE, {no_number, 1}, {0, 0}, 0};
  EXPECT_REFUSED(VLM_ERROR_ARGUMENT, "surface.boundary: found 3",
                 vlm_case_set_still_surface(read.get, &fourth));
  EXPECT_REFUSED(VLM_ERROR_ARGUMENT, "surface.depth", vlm_case_set_still_surface(read.get, &unknown));
  const vlm_operation still{{0, 1}, {0, 0}, {0, 0}}, both{{5, 1}, {80, 1}, {0.4, 1}},
      heavy{{5, 1}, {80, 1}, {0, 0}};
  EXPECT_REFUSED(VLM_ERROR_ARGUMENT, "operation.speed: found 0", vlm_case_set_operation(built.get, &still));
  EXPECT_REFUSED(VLM_ERROR_ARGUMENT, "wanted one of the two", vlm_case_set_operation(built.get, &both));
  EXPECT_REFUSED(VLM_ERROR_ARGUMENT, "beside a rider", vlm_case_set_operation(read.get, &heavy));
  int needed = 7;
  EXPECT_REFUSED(VLM_ERROR_ARGUMENT, "speed: found 0", vlm_case_needs_bracket(read.get, 0, &needed));
  EXPECT_EQ(needed, 7);
  const double angle = 0.1;
  EXPECT_REFUSED(VLM_ERROR_ARGUMENT, "beside VLM_WAKE_BODY",
                 vlm_case_set_wake(read.get, VLM_WAKE_BODY, &angle));
  EXPECT_REFUSED(VLM_ERROR_ARGUMENT, "along: found -1", vlm_case_set_wake(read.get, -1, nullptr));
  EXPECT_REFUSED(VLM_ERROR_ARGUMENT, "transition: found 2",
                 vlm_case_set_friction(read.get, VLM_FRICTION_ITTC_1957, 2));
  EXPECT_REFUSED(VLM_ERROR_ARGUMENT, "line: found 2", vlm_case_set_friction(read.get, 2, 0));
}

TEST_F(CRefusals, TwistShapesAndLoading) {
  const double fraction[] = {0, 0.6, 0.5, 1}, value[] = {0, 0, 0, 1};
  EXPECT_REFUSED(VLM_ERROR_ARGUMENT, "wanted them to rise",
                 vlm_case_add_twist_shape(read.get, "late", fraction, value, 4, VLM_CURVE_STRAIGHT));
  EXPECT_REFUSED(VLM_ERROR_ARGUMENT, "the first 0 and the last 1",
                 vlm_case_add_twist_shape(read.get, "late", fraction, value, 2, VLM_CURVE_STRAIGHT));
  const double ends[] = {0, 1};
  EXPECT_REFUSED(VLM_ERROR_ARGUMENT, "which there is already",
                 vlm_case_add_twist_shape(read.get, "linear", ends, ends, 2, VLM_CURVE_STRAIGHT));

  const vlm_rider rider{70, 0.95, 11}, nobody{0, 0.95, 11};
  const vlm_deck deck{0.8, 0, 0};
  const vlm_drive drive{VLM_DRIVE_COASTING, 0, 0, {0, 0}, {0, 0, 0}, {0, 0}, {0, 0}};
  vlm_drive sail = drive;
  sail.kind = 4;
  const vlm_mass nameless{nullptr, 1, {0, 0, 0}, 0, 0};
  EXPECT_REFUSED(VLM_ERROR_NULL, "deck: found null",
                 vlm_case_set_loading(read.get, &rider, nullptr, &drive, nullptr, nullptr, 0));
  EXPECT_REFUSED(VLM_ERROR_INPUT, "mass of the rider",
                 vlm_case_set_loading(read.get, &nobody, &deck, &drive, nullptr, nullptr, 0));
  EXPECT_REFUSED(VLM_ERROR_ARGUMENT, "drive.kind: found 4",
                 vlm_case_set_loading(read.get, &rider, &deck, &sail, nullptr, nullptr, 0));
  EXPECT_REFUSED(VLM_ERROR_NULL, "masses.name",
                 vlm_case_set_loading(read.get, &rider, &deck, &drive, nullptr, &nameless, 1));
}

TEST_F(CRefusals, Solving) {
  double angle = 7;
  vlm_solution* none = nullptr;
  EXPECT_REFUSED(VLM_ERROR_INPUT, "no angle of attack", vlm_operating_wake(read.get, 40, 1, &angle));
  EXPECT_REFUSED(VLM_ERROR_ARGUMENT, "lift_coefficient", vlm_operating_wake(read.get, no_number, 1, &angle));
  EXPECT_EQ(angle, 7);
  EXPECT_REFUSED(VLM_ERROR_INPUT, "no surface", vlm_solve(built.get, 0, VLM_MOTIONS_ALL, 1, &none));
  EXPECT_REFUSED(VLM_ERROR_ARGUMENT, "motions: found 2", vlm_solve(read.get, 0, 2, 1, &none));
  EXPECT_REFUSED(VLM_ERROR_ARGUMENT, "wake_angle", vlm_solve(read.get, no_number, VLM_MOTIONS_ALL, 1, &none));
  EXPECT_REFUSED(VLM_ERROR_INPUT, "number of threads: found -1",
                 vlm_solve(read.get, 0, VLM_MOTIONS_ALL, -1, &none));
  EXPECT_EQ(none, nullptr);
}

// What overflows within is an error, and nothing that the caller sees is changed.
TEST_F(CRefusals, FiguresThatAreNotFinite) {
  Handle<vlm_solution> all(vlm_solution_free);
  ASSERT_EQ(vlm_solve(read.get, 0, VLM_MOTIONS_ALL, 1, &all.get), VLM_OK);
  const vlm_condition whirling{0.1, 0, 1e155, 0, 0};
  const char* const overflow = "not finite";
  vlm_forces forces{};
  EXPECT_REFUSED(VLM_ERROR_RUN, overflow, vlm_solution_forces(all.get, &whirling, &forces));
  EXPECT_EQ(forces.lift_coefficient, 0);
  vlm_part_forces parts[2]{};
  EXPECT_REFUSED(VLM_ERROR_RUN, overflow, vlm_solution_part_forces(all.get, &whirling, parts, 2));
  EXPECT_EQ(parts[0].lift_coefficient, 0);
  std::vector<vlm_strip_loading> loading(16);
  EXPECT_REFUSED(VLM_ERROR_RUN, overflow,
                 vlm_solution_span_loading(all.get, &gliding, 1e160, loading.data(), loading.size()));
  EXPECT_EQ(loading[0].circulation, 0);
  vlm_drag drag{};
  EXPECT_REFUSED(VLM_ERROR_RUN, overflow, vlm_solution_drag(all.get, &gliding, 1e160, &drag));
  EXPECT_EQ(drag.total, 0);
  std::vector<vlm_derivative> derivatives(30);
  std::vector<double> shares(60);
  const vlm_condition beyond{0.1, 0, 1e308, 1e308, 1e308};
  EXPECT_REFUSED(VLM_ERROR_RUN, overflow,
                 vlm_solution_derivatives(all.get, &beyond, derivatives.data(), 30, shares.data(), 60));
  EXPECT_EQ(derivatives[0].name, nullptr);
  EXPECT_EQ(shares, std::vector<double>(60));
  const double points[] = {1, 0, 0, 1e200, 0, 0};
  double velocity[6]{}, downwash[2]{};
  EXPECT_REFUSED(VLM_ERROR_RUN, overflow, vlm_solution_velocity(all.get, &gliding, 5, points, velocity, 6));
  EXPECT_EQ(velocity[0], 0);
  EXPECT_REFUSED(VLM_ERROR_RUN, overflow, vlm_solution_downwash(all.get, &gliding, points, 6, downwash, 2));
  EXPECT_EQ(downwash[0], 0);
  Handle<vlm_polar> polar(vlm_polar_free);
  ASSERT_EQ(vlm_run_polar(read.get, &whirling, 1, nullptr, nullptr, &polar.get), VLM_OK) << vlm_message();
  EXPECT_REFUSED(VLM_ERROR_RUN, overflow, vlm_polar_forces(polar.get, &forces, 1));
  EXPECT_EQ(forces.lift_coefficient, 0);
}

TEST_F(CRefusals, QueriesOfASolution) {
  std::size_t count = 0;
  const char* name = nullptr;
  vlm_reference reference;
  vlm_strip strip;
  vlm_forces forces;
  vlm_part_forces part;
  vlm_strip_loading loading;
  vlm_drag drag;
  vlm_derivative derivative;
  double number = 7, points[] = {1, 0, 0, 1};
  const vlm_condition slipping{0, 0.1, 0, 0, 0}, lost{no_number, 0, 0, 0, 0};
  EXPECT_REFUSED(VLM_ERROR_NULL, "handle: found null", vlm_solution_reference(nullptr, &reference));
  EXPECT_REFUSED(VLM_ERROR_NULL, "count: found null", vlm_solution_num_parts(solved(), nullptr));
  EXPECT_REFUSED(VLM_ERROR_ARGUMENT, "part: found 2, wanted 0 to 1",
                 vlm_solution_part_name(solved(), 2, &name));
  EXPECT_REFUSED(VLM_ERROR_NULL, "handle: found null", vlm_solution_num_panels(nullptr, &count));
  EXPECT_REFUSED(VLM_ERROR_NULL, "handle: found null", vlm_solution_num_strips(nullptr, &count));
  EXPECT_REFUSED(VLM_ERROR_LENGTH, "strips: found a length of 1, wanted 16",
                 vlm_solution_strips(solved(), &strip, 1));
  EXPECT_REFUSED(VLM_ERROR_NULL, "condition: found null", vlm_solution_forces(solved(), nullptr, &forces));
  EXPECT_REFUSED(VLM_ERROR_ARGUMENT, "condition.alpha", vlm_solution_forces(solved(), &lost, &forces));
  EXPECT_REFUSED(VLM_ERROR_INPUT, "motions", vlm_solution_forces(solved(), &slipping, &forces));
  EXPECT_REFUSED(VLM_ERROR_LENGTH, "parts: found a length of 1, wanted 2",
                 vlm_solution_part_forces(solved(), &gliding, &part, 1));
  EXPECT_REFUSED(VLM_ERROR_LENGTH, "strips: found a length of 1",
                 vlm_solution_span_loading(solved(), &gliding, 5, &loading, 1));
  EXPECT_REFUSED(VLM_ERROR_ARGUMENT, "speed: found 0",
                 vlm_solution_span_loading(solved(), &gliding, 0, &loading, 1));
  EXPECT_REFUSED(VLM_ERROR_ARGUMENT, "speed: found -1", vlm_solution_drag(solved(), &gliding, -1, &drag));
  EXPECT_REFUSED(VLM_ERROR_INPUT, "which no angle of attack",
                 vlm_solution_angle_for_lift(solved(), 40, &number));
  EXPECT_REFUSED(VLM_ERROR_NULL, "count: found null", vlm_solution_num_derivatives(solved(), nullptr));
  EXPECT_REFUSED(VLM_ERROR_INPUT, "all motions",
                 vlm_solution_derivatives(solved(), &gliding, &derivative, 1, nullptr, 0));
  Handle<vlm_solution> all(vlm_solution_free);
  ASSERT_EQ(vlm_solve(read.get, 0, VLM_MOTIONS_ALL, 1, &all.get), VLM_OK);
  EXPECT_REFUSED(VLM_ERROR_LENGTH, "derivatives: found a length of 1, wanted 30",
                 vlm_solution_derivatives(all.get, &gliding, &derivative, 1, nullptr, 0));
  EXPECT_REFUSED(VLM_ERROR_LENGTH, "three a point",
                 vlm_solution_velocity(solved(), &gliding, 5, points, points, 4));
  EXPECT_REFUSED(VLM_ERROR_LENGTH, "downwash: found a length of 2, wanted 1",
                 vlm_solution_downwash(solved(), &gliding, points, 3, points, 2));
  EXPECT_EQ(number, 7);
  EXPECT_EQ(points[0], 1);
}

TEST_F(CRefusals, Polars) {
  vlm_polar* none = nullptr;
  const vlm_condition lost{0, 0, 0, 0, no_number};
  EXPECT_REFUSED(VLM_ERROR_INPUT, "no condition",
                 vlm_run_polar(read.get, nullptr, 0, nullptr, nullptr, &none));
  EXPECT_REFUSED(VLM_ERROR_NULL, "conditions: found null",
                 vlm_run_polar(read.get, nullptr, 1, nullptr, nullptr, &none));
  EXPECT_REFUSED(VLM_ERROR_ARGUMENT, "condition.yaw_rate",
                 vlm_run_polar(read.get, &lost, 1, nullptr, nullptr, &none));
  const vlm_run nowhere{nullptr, nullptr, 1, "/no/such/folder/polar.h5", nullptr};
  EXPECT_REFUSED(VLM_ERROR_INPUT, "/no/such/folder",
                 vlm_run_polar(read.get, &gliding, 1, nullptr, &nowhere, &none));
  EXPECT_EQ(none, nullptr);

  Handle<vlm_polar> polar(vlm_polar_free);
  ASSERT_EQ(vlm_run_polar(read.get, &gliding, 1, nullptr, nullptr, &polar.get), VLM_OK);
  std::size_t count = 0;
  vlm_forces forces[2];
  vlm_part_forces parts[2];
  vlm_strip_loading loading[16];
  EXPECT_REFUSED(VLM_ERROR_NULL, "handle: found null", vlm_polar_num_points(nullptr, &count));
  EXPECT_REFUSED(VLM_ERROR_NULL, "handle: found null", vlm_polar_num_without_image(nullptr, &count));
  EXPECT_REFUSED(VLM_ERROR_LENGTH, "points: found a length of 2, wanted 1",
                 vlm_polar_forces(polar.get, forces, 2));
  EXPECT_REFUSED(VLM_ERROR_LENGTH, "points: found a length of 1, wanted 0",
                 vlm_polar_forces_without_image(polar.get, forces, 1));
  EXPECT_REFUSED(VLM_ERROR_ARGUMENT, "point: found 1, wanted 0 to 0",
                 vlm_polar_part_forces(polar.get, 1, parts, 2));
  EXPECT_REFUSED(VLM_ERROR_ARGUMENT, "speed", vlm_polar_span_loading(polar.get, 0, no_number, loading, 16));
}

TEST_F(CRefusals, TwistStudies) {
  const double zero = 0;
  vlm_twist* none = nullptr;
  vlm_twist_study study{1, nullptr, &zero, 1, &zero, 1, {0, 0}, {0, 0}, {0, 0}};
  EXPECT_REFUSED(VLM_ERROR_INPUT, "lift", vlm_run_twist_study(read.get, &study, nullptr, &none));
  const vlm_operation operation{{7, 1}, {0, 0}, {0, 0}};
  ASSERT_EQ(vlm_case_set_operation(read.get, &operation), VLM_OK);
  study.surface = 2;
  EXPECT_REFUSED(VLM_ERROR_ARGUMENT, "study.surface: found 2",
                 vlm_run_twist_study(read.get, &study, nullptr, &none));
  Handle<vlm_case> masted(vlm_case_free);
  ASSERT_EQ(vlm_case_copy(read.get, &masted.get), VLM_OK);
  std::size_t section = 0;
  ASSERT_EQ(vlm_case_add_naca_section(masted.get, "0012", &section), VLM_OK);
  const vlm_station stations[] = {{0, 0.01, 0, 0.1, 0, section}, {0, 0.7, 0, 0.1, 0, section}};
  const vlm_surface mast{"mast", {0, 0, 0}, 0, VLM_CURVE_STRAIGHT, 0, 1, 0, 0};
  ASSERT_EQ(vlm_case_add_surface(masted.get, &mast, stations, 2), VLM_OK) << vlm_message();
  EXPECT_REFUSED(VLM_ERROR_ARGUMENT, "study.surface: found the mast",
                 vlm_run_twist_study(masted.get, &study, nullptr, &none));
  study.surface = 1, study.shape = "early";
  EXPECT_REFUSED(VLM_ERROR_INPUT, "\"early\", wanted one of linear",
                 vlm_run_twist_study(read.get, &study, nullptr, &none));
  study.shape = nullptr, study.num_twists = 0;
  EXPECT_REFUSED(VLM_ERROR_LENGTH, "study.twists: found none",
                 vlm_run_twist_study(read.get, &study, nullptr, &none));
  EXPECT_EQ(none, nullptr);

  study.num_twists = 1;
  Handle<vlm_twist> twist(vlm_twist_free);
  ASSERT_EQ(vlm_run_twist_study(read.get, &study, nullptr, &twist.get), VLM_OK) << vlm_message();
  std::size_t count = 0;
  vlm_twist_point points[2];
  EXPECT_REFUSED(VLM_ERROR_NULL, "count: found null", vlm_twist_num_points(twist.get, nullptr));
  EXPECT_REFUSED(VLM_ERROR_NULL, "handle: found null", vlm_twist_num_points(nullptr, &count));
  EXPECT_REFUSED(VLM_ERROR_LENGTH, "points: found a length of 2, wanted 1",
                 vlm_twist_points(twist.get, points, 2));
  EXPECT_REFUSED(VLM_ERROR_NULL, "marks: found null", vlm_twist_find_marks(twist.get, nullptr));
}

TEST_F(CRefusals, Trims) {
  vlm_trim* none = nullptr;
  const double speed = 7, backwards = -7;
  EXPECT_REFUSED(VLM_ERROR_INPUT, "no rider", vlm_run_trim(built.get, &speed, 1, nullptr, &none));
  EXPECT_REFUSED(VLM_ERROR_ARGUMENT, "speed: found -7",
                 vlm_run_trim(read.get, &backwards, 1, nullptr, &none));
  EXPECT_REFUSED(VLM_ERROR_LENGTH, "speeds: found none", vlm_run_trim(read.get, &speed, 0, nullptr, &none));
  EXPECT_EQ(none, nullptr);

  Handle<vlm_trim> trim(vlm_trim_free);
  ASSERT_EQ(vlm_run_trim(read.get, &speed, 1, nullptr, &trim.get), VLM_OK) << vlm_message();
  std::size_t count = 0;
  vlm_trim_point points[2];
  vlm_speed_mark marks[VLM_NUM_MARKS];
  const char* text = nullptr;
  EXPECT_REFUSED(VLM_ERROR_NULL, "handle: found null", vlm_trim_num_points(nullptr, &count));
  EXPECT_REFUSED(VLM_ERROR_LENGTH, "points: found a length of 2, wanted 1",
                 vlm_trim_points(trim.get, points, 2));
  EXPECT_REFUSED(VLM_ERROR_ARGUMENT, "point: found 1", vlm_trim_refusal(trim.get, 1, &text));
  EXPECT_REFUSED(VLM_ERROR_LENGTH, "marks: found a length of 3, wanted 4",
                 vlm_trim_marks(trim.get, marks, 3));
  EXPECT_REFUSED(VLM_ERROR_ARGUMENT, "mark: found 4", vlm_trim_mark_refusal(trim.get, VLM_NUM_MARKS, &text));
}

// A record that cannot be written is the machine's fault, not the input's.
TEST_F(CRefusals, ARecordThatCannotBeWritten) {
  vlm_polar* none = nullptr;
  const TestFolder folder;
  const string longer_than_names_may_be = (folder / string(252, 'a')).string();
  const vlm_run run{nullptr, nullptr, 1, longer_than_names_may_be.c_str(), nullptr};
  EXPECT_REFUSED(VLM_ERROR_RUN, "aaa", vlm_run_polar(read.get, &gliding, 1, nullptr, &run, &none));
  EXPECT_EQ(none, nullptr);
}

TEST_F(CRefusals, MessagesAreTheThreadsOwnAndEndWithTheNextCall) {
  EXPECT_EQ(vlm_case_free(nullptr), VLM_ERROR_NULL);
  string elsewhere = "not asked";
  std::thread([&] { elsewhere = vlm_message(); }).join();
  EXPECT_EQ(elsewhere, "");
  EXPECT_EQ(string(vlm_message()), "vlm_case_free: handle: found null, wanted a pointer");
  vlm_case* c = nullptr;
  EXPECT_EQ(vlm_case_free(&c), VLM_OK);
  EXPECT_STREQ(vlm_message(), "");
}

// An exception of a callback written in C++ must not get out either.
TEST_F(CRefusals, ACallbackThatThrows) {
  const vlm_run run{[](std::size_t, std::size_t, void*) -> int { throw 1; }, nullptr, 1, nullptr, nullptr};
  vlm_polar* none = nullptr;
  EXPECT_REFUSED(VLM_ERROR_INTERNAL, "a defect", vlm_run_polar(read.get, &gliding, 1, nullptr, &run, &none));
}

TEST_F(CRefusals, AMessageTooLongIsCut) {
  vlm_case* none = nullptr;
  EXPECT_REFUSED(VLM_ERROR_INPUT, "aaa", vlm_case_read(string(5000, 'a').c_str(), &none));
  EXPECT_EQ(string(vlm_message()).size(), 2000U);
  // "ü" is two bytes, "–" three: wherever the cut falls, what stays is whole letters.
  for (const string& letter : {string("ü"), string("–")})
    for (std::size_t shift = 0; shift < letter.size(); ++shift) {
      string name(shift, 'a');
      while (name.size() < 5000)
        name += letter;
      EXPECT_REFUSED(VLM_ERROR_INPUT, letter, vlm_case_read(name.c_str(), &none));
      const string said = vlm_message();
      EXPECT_GT(said.size() + letter.size(), 2000U);
      EXPECT_EQ(said.substr(said.size() - letter.size()), letter);
    }
}

} // namespace
