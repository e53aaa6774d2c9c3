// What each function of the C interface gives, beside what the C++ library gives for the same: to the last
// bit.

#include <cmath>
#include <cstring>
#include <filesystem>
#include <fstream>
#include <numbers>

#include <gtest/gtest.h>

#include <vlm/base/version.hpp>
#include <vlm/file/case.hpp>
#include <vlm/file/with_record.hpp>
#include <vlm/flow/velocity.hpp>
#include <vlm/force/drag_breakdown.hpp>
#include <vlm/force/panel_circulation.hpp>
#include <vlm/force/span_loading.hpp>
#include <vlm/shape/outline.hpp>
#include <vlm/vlm.h>

#include "../apps/run_program.hpp"
#include "handles.hpp"

namespace {

using std::string;

const vlm_condition turning{0.06, 0.03, 0.02, 0.004, -0.01};

#define ASSERT_DONE(call) ASSERT_EQ(call, VLM_OK) << vlm_message()

Handle<vlm_case> case_read() {
  Handle<vlm_case> handle(vlm_case_free);
  EXPECT_EQ(vlm_case_read(ridden.c_str(), &handle.get), VLM_OK) << vlm_message();
  return handle;
}

Handle<vlm_case> case_built() {
  Handle<vlm_case> handle(vlm_case_free);
  EXPECT_EQ(vlm_case_new("built", &handle.get), VLM_OK) << vlm_message();
  return handle;
}

void expect_same(const vlm_figure& c, const std::optional<double>& cpp) {
  EXPECT_EQ(c.defined, cpp.has_value());
  EXPECT_EQ(c.value, cpp.value_or(0));
}

void expect_same(const vlm_forces& c, const vlm::PolarPoint& cpp) {
  EXPECT_EQ(c.condition.alpha, cpp.condition.alpha);
  EXPECT_EQ(c.condition.beta, cpp.condition.beta);
  EXPECT_EQ(c.condition.roll_rate, cpp.condition.rates.x);
  EXPECT_EQ(c.condition.pitch_rate, cpp.condition.rates.y);
  EXPECT_EQ(c.condition.yaw_rate, cpp.condition.rates.z);
  EXPECT_EQ(c.wake_angle, cpp.wake_angle);
  EXPECT_EQ(c.lift_coefficient, cpp.lift_coefficient);
  EXPECT_EQ(c.induced_drag_coefficient, cpp.induced_drag_coefficient);
  EXPECT_EQ(c.side_force_coefficient, cpp.side_force_coefficient);
  EXPECT_EQ(c.rolling_moment_coefficient, cpp.rolling_moment_coefficient);
  EXPECT_EQ(c.pitching_moment_coefficient, cpp.pitching_moment_coefficient);
  EXPECT_EQ(c.yawing_moment_coefficient, cpp.yawing_moment_coefficient);
  expect_same(c.near_drag_excess, cpp.near_drag_excess);
  expect_same(c.span_efficiency, cpp.span_efficiency);
  expect_same(c.centre_of_lift, cpp.centre_of_lift);
  expect_same(c.neutral_point, cpp.neutral_point);
}

void expect_same(const vlm_part_forces& c, const vlm::PartLoads& cpp) {
  EXPECT_EQ(c.lift_coefficient, cpp.lift);
  EXPECT_EQ(c.induced_drag_coefficient, cpp.induced_drag);
  EXPECT_EQ(c.near_drag_coefficient, cpp.near_drag);
  EXPECT_EQ(c.side_force_coefficient, cpp.side_force);
  EXPECT_EQ(c.rolling_moment_coefficient, cpp.rolling_moment);
  EXPECT_EQ(c.pitching_moment_coefficient, cpp.pitching_moment);
  EXPECT_EQ(c.yawing_moment_coefficient, cpp.yawing_moment);
  expect_same(c.lift_share, cpp.share);
}

void expect_same(const std::vector<vlm_strip_loading>& c, const vlm::SpanLoading& cpp) {
  ASSERT_EQ(c.size(), cpp.circulation.size());
  for (std::size_t i = 0; i < c.size(); ++i) {
    EXPECT_EQ(c[i].circulation, cpp.circulation[i]);
    EXPECT_EQ(c[i].lift_per_metre, cpp.lift_per_metre[i]);
    EXPECT_EQ(c[i].lift_coefficient, cpp.lift_coefficient[i]);
  }
}

vlm::SpanLoading loading_of(const vlm::Lattice& lattice, const vlm::PolarPoint& point, double speed,
                            double density) {
  std::vector<double> circulation = point.strip_circulation;
  for (double& gamma : circulation)
    gamma *= speed;
  return vlm::span_loading(lattice, circulation, speed, density);
}

const vlm::Condition cpp_turning{
    turning.alpha, turning.beta, {turning.roll_rate, turning.pitch_rate, turning.yaw_rate}};

TEST(CInterface, TellsItsVersionAndTexts) {
  EXPECT_EQ(vlm_version(), vlm::version());
  const string header = std::to_string(VLM_VERSION_MAJOR) + "." + std::to_string(VLM_VERSION_MINOR) + "." +
                        std::to_string(VLM_VERSION_PATCH);
  EXPECT_EQ(vlm_version(), header);
  EXPECT_STREQ(vlm_status_text(VLM_OK), "done");
  EXPECT_STREQ(vlm_status_text(VLM_ERROR_MEMORY), "out of memory");
  EXPECT_STREQ(vlm_status_text(99), "no status of this library");
  EXPECT_STREQ(vlm_message(), "");
}

TEST(CInterface, ReadsParsesAndCopiesCases) {
  const auto read = case_read();
  const vlm::Case cpp = vlm::read_case(ridden);

  Handle<vlm_case> parsed(vlm_case_free), copied(vlm_case_free);
  ASSERT_DONE(vlm_case_parse(cpp.text.data(), cpp.text.size(), ridden.c_str(), &parsed.get));
  ASSERT_DONE(vlm_case_copy(read.get, &copied.get));
  ASSERT_DONE(vlm_case_set_incidence(read.get, 1, 0.5)); // which the copy must not see
  for (const vlm_case* handle : {parsed.get, copied.get}) {
    std::size_t count = 0, surface = 0;
    ASSERT_DONE(vlm_case_num_surfaces(handle, &count));
    EXPECT_EQ(count, 2U);
    const char* name = nullptr;
    ASSERT_DONE(vlm_case_surface_name(handle, 1, &name));
    EXPECT_STREQ(name, "stabilizer");
    ASSERT_DONE(vlm_case_find_surface(handle, "stabilizer", &surface));
    EXPECT_EQ(surface, 1U);

    vlm_outline outline;
    ASSERT_DONE(vlm_case_outline(handle, 0, &outline));
    const vlm::OutlineFigures figures = vlm::outline_figures(cpp.craft.surfaces[0]);
    EXPECT_EQ(outline.area, figures.area);
    EXPECT_EQ(outline.span, figures.span);
    EXPECT_EQ(outline.aspect_ratio, figures.aspect_ratio);
    EXPECT_EQ(outline.mean_chord, figures.mean_chord);
    EXPECT_EQ(outline.mean_chord_leading_edge[0], figures.mean_chord_leading_edge.x);
    EXPECT_EQ(outline.mean_chord_leading_edge[2], figures.mean_chord_leading_edge.z);
    EXPECT_EQ(outline.developed_area, figures.developed_area);

    vlm_reference reference;
    ASSERT_DONE(vlm_case_reference(handle, &reference));
    EXPECT_EQ(reference.area, figures.area);
    EXPECT_EQ(reference.chord, figures.mean_chord);
    EXPECT_EQ(reference.span, figures.span);

    Handle<vlm_solution> solution(vlm_solution_free);
    ASSERT_DONE(vlm_solve(handle, 0.05, VLM_MOTIONS_IN_PLANE, 1, &solution.get));
    vlm_forces forces;
    ASSERT_DONE(vlm_solution_forces(solution.get, &gliding, &forces));
    vlm::ThreadPool pool(1);
    expect_same(forces, vlm::polar_point(vlm::make_responses(cpp.craft, cpp.lattice, 0.05, {}, pool),
                                         {gliding.alpha, 0, {}}));
  }
}

TEST(CInterface, FreesOnceAndForgetsTheHandle) {
  vlm_case* c = nullptr;
  ASSERT_DONE(vlm_case_read(ridden.c_str(), &c));
  vlm_solution* solution = nullptr;
  ASSERT_DONE(vlm_solve(c, 0.05, VLM_MOTIONS_IN_PLANE, 1, &solution));
  vlm_polar* polar = nullptr;
  ASSERT_DONE(vlm_run_polar(c, &gliding, 1, nullptr, nullptr, &polar));
  const double zero = 0, speed = 7;
  vlm_operation operation{{7, 1}, {0, 0}, {0, 0}};
  ASSERT_DONE(vlm_case_set_operation(c, &operation));
  vlm_twist_study study{1, nullptr, &zero, 1, &zero, 1, {0, 0}, {0, 0}, {0, 0}};
  vlm_twist* twist = nullptr;
  ASSERT_DONE(vlm_run_twist_study(c, &study, nullptr, &twist));
  vlm_trim* trim = nullptr;
  ASSERT_DONE(vlm_run_trim(c, &speed, 1, nullptr, &trim));
  for (int time = 0; time < 2; ++time) {
    ASSERT_DONE(vlm_case_free(&c));
    ASSERT_DONE(vlm_solution_free(&solution));
    ASSERT_DONE(vlm_polar_free(&polar));
    ASSERT_DONE(vlm_twist_free(&twist));
    ASSERT_DONE(vlm_trim_free(&trim));
    EXPECT_EQ(c, nullptr);
    EXPECT_EQ(solution, nullptr);
    EXPECT_EQ(polar, nullptr);
    EXPECT_EQ(twist, nullptr);
    EXPECT_EQ(trim, nullptr);
  }
}

TEST(CInterface, HandsOutTheNotesOfReading) {
  const string text = "title = \"half\"\n[section.a]\nnaca = \"0009\"\n[[surface]]\nname = \"wing\"\n"
                      "stations = [{y_mm = 0, leading_edge_mm = 0, chord_mm = 100, section = \"a\"},"
                      "{y_mm = 300, leading_edge_mm = 0, chord_mm = 100, section = \"a\"}]\n";
  Handle<vlm_case> handle(vlm_case_free);
  ASSERT_DONE(vlm_case_parse(text.data(), text.size(), "half.toml", &handle.get));
  const vlm::Case cpp = vlm::parse_case(text, "half.toml");
  std::size_t count = 0;
  ASSERT_DONE(vlm_case_num_notes(handle.get, &count));
  ASSERT_EQ(count, cpp.notes.size());
  ASSERT_GT(count, 0U);
  const char* note = nullptr;
  ASSERT_DONE(vlm_case_note(handle.get, 0, &note));
  EXPECT_EQ(note, cpp.notes[0]);
}

// Each kind of section on a wing of its own, and the same craft in C++.
TEST(CInterface, BuildsSections) {
  const double x[] = {0, 0.4, 1}, z[] = {0, 0.03, 0};
  std::vector<double> around_x, around_z; // a parabola over the chord, 4 % above and 2 % below
  for (int i = -12; i <= 12; ++i) {
    const double t = std::abs(i) / 12.0;
    around_x.push_back(t * t);
    around_z.push_back((i < 0 ? 0.16 : -0.08) * t * t * (1 - t * t));
  }
  const auto handle = case_built();
  std::size_t number = 99;
  ASSERT_DONE(vlm_case_add_naca_section(handle.get, "2412", &number));
  EXPECT_EQ(number, 0U);
  ASSERT_DONE(vlm_case_add_parabolic_section(handle.get, "arc", 0.03, 0.4, 0.1, &number));
  ASSERT_DONE(vlm_case_add_uniform_load_section(handle.get, "load", 0.3, 0.8, 0.09, &number));
  ASSERT_DONE(vlm_case_add_sampled_section(handle.get, "line", x, z, 3, 0.08, &number));
  ASSERT_DONE(vlm_case_add_contour_section(handle.get, "contour", around_x.data(), around_z.data(),
                                           around_x.size(), &number));
  EXPECT_EQ(number, 4U);
  const std::vector<vlm::Section> sections{vlm::naca_section("2412"),
                                           {"arc", vlm::ParabolicMeanLine{0.03, 0.4}, 0.1},
                                           {"load", vlm::UniformLoadMeanLine{0.3, 0.8}, 0.09},
                                           {"line", vlm::SampledMeanLine{{0, 0.4, 1}, {0, 0.03, 0}}, 0.08},
                                           vlm::contour_section("contour", around_x, around_z).section};
  vlm::ThreadPool pool(1);
  for (std::size_t i = 0; i < sections.size(); ++i) {
    Handle<vlm_case> with(vlm_case_free);
    ASSERT_DONE(vlm_case_copy(handle.get, &with.get));
    const vlm_station stations[] = {{-0.3, 0, 0, 0.1, 0, i}, {0.3, 0, 0, 0.1, 0, i}};
    const vlm_surface wing{"wing", {0, 0, 0}, 0, VLM_CURVE_STRAIGHT, 0, 0, 6, 3};
    ASSERT_DONE(vlm_case_add_surface(with.get, &wing, stations, 2));
    Handle<vlm_solution> solution(vlm_solution_free);
    ASSERT_DONE(vlm_solve(with.get, 0, VLM_MOTIONS_IN_PLANE, 1, &solution.get));
    vlm_forces forces;
    ASSERT_DONE(vlm_solution_forces(solution.get, &gliding, &forces));

    vlm::Craft craft;
    craft.surfaces = {{"wing",
                       {},
                       0,
                       vlm::Curve::straight,
                       {{-0.3, 0, 0, 0.1, 0, sections[i]}, {0.3, 0, 0, 0.1, 0, sections[i]}}}};
    craft.reference_surface = "wing";
    vlm::LatticeOptions options;
    options.counts = {{6, 3}};
    expect_same(forces,
                vlm::polar_point(vlm::make_responses(craft, options, 0, {}, pool), {gliding.alpha, 0, {}}));
  }
}

/// A craft with everything, through C.
void build_all(vlm_case* handle) {
  std::size_t wing = 0, tail = 0;
  ASSERT_DONE(vlm_case_add_naca_section(handle, "2412", &wing));
  ASSERT_DONE(vlm_case_add_naca_section(handle, "0009", &tail));
  ASSERT_DONE(vlm_case_set_section_max_lift(handle, wing, 1.2));
  const double lift[] = {0, 0.5}, reynolds[] = {1e5, 1e6}, drag[] = {0.01, 0.008, 0.012, 0.009};
  ASSERT_DONE(vlm_case_set_section_drag(handle, tail, lift, 2, reynolds, 2, drag, 4));
  const vlm_station wing_stations[] = {{0, 0, 0, 0.14, 0, wing}, {0.42, -0.01, 0.02, 0.08, -0.03, wing}};
  const vlm_surface front{"front wing", {-0.16, 0, 0}, 0.02, VLM_CURVE_SMOOTH, 1, 0, 12, 3};
  ASSERT_DONE(vlm_case_add_surface(handle, &front, wing_stations, 2));
  const vlm_station tail_stations[] = {{0, 0, 0, 0.06, 0, tail}, {0.2, 0, 0.005, 0.05, 0, tail}};
  const vlm_surface stabilizer{"stabilizer", {0.48, 0, 0.02}, -0.02, VLM_CURVE_STRAIGHT, 1, 0, 8, 2};
  ASSERT_DONE(vlm_case_add_surface(handle, &stabilizer, tail_stations, 2));
  const vlm_station mast_stations[] = {{0, 0, 0, 0.12, 0, tail}, {0, 0.6, 0, 0.12, 0, tail}};
  const vlm_surface mast{"mast", {-0.02, 0, 0}, 0, VLM_CURVE_STRAIGHT, 0, 1, 5, 2};
  ASSERT_DONE(vlm_case_add_surface(handle, &mast, mast_stations, 2));
  const double area = 0.09;
  ASSERT_DONE(vlm_case_stretch_surface(handle, 0, &area, nullptr));
  ASSERT_DONE(vlm_case_set_incidence(handle, 1, -0.015));
  const vlm_fuselage_size size{-0.2, 0, 0.75, 0.03, 0.035, 0, VLM_END_ELLIPSE, VLM_END_PARABOLA, 0.06, 0.2};
  ASSERT_DONE(vlm_case_set_fuselage_size(handle, VLM_CUT_ELLIPTICAL, &size));
  ASSERT_DONE(vlm_case_set_fuselage_panels(handle, 12, 8));
  ASSERT_DONE(vlm_case_set_reference(handle, 0));
  const double point[] = {0.01, 0, 0.1};
  ASSERT_DONE(vlm_case_set_moment_point(handle, point));
  ASSERT_DONE(vlm_case_set_sea_water(handle, 12, 30));
  const vlm_still_surface surface{VLM_BOUNDARY_FREE, {0.4, 1}, {0, 0}, 0.1};
  ASSERT_DONE(vlm_case_set_still_surface(handle, &surface));
  ASSERT_DONE(vlm_case_set_friction(handle, VLM_FRICTION_FLAT_PLATE, 0.1));
}

/// The same in C++.
vlm::Craft craft_with_all() {
  vlm::Section wing = vlm::naca_section("2412"), tail = vlm::naca_section("0009");
  wing.max_lift_coefficient = 1.2;
  tail.polar = vlm::SectionPolar{{0, 0.5}, {1e5, 1e6}, {0.01, 0.008, 0.012, 0.009}};
  vlm::Craft craft;
  craft.surfaces = {
      vlm::stretched(vlm::mirrored({"front wing",
                                    {-0.16, 0, 0},
                                    0.02,
                                    vlm::Curve::smooth,
                                    {{0, 0, 0, 0.14, 0, wing}, {0.42, -0.01, 0.02, 0.08, -0.03, wing}}}),
                     0.09, std::nullopt),
      vlm::mirrored({"stabilizer",
                     {0.48, 0, 0.02},
                     -0.015,
                     vlm::Curve::straight,
                     {{0, 0, 0, 0.06, 0, tail}, {0.2, 0, 0.005, 0.05, 0, tail}}}),
      {"mast",
       {-0.02, 0, 0},
       0,
       vlm::Curve::straight,
       {{0, 0, 0, 0.12, 0, tail}, {0, 0.6, 0, 0.12, 0, tail}},
       true}};
  craft.fuselage =
      vlm::shaped_fuselage(vlm::CutShape::elliptical, {-0.2, 0, 0.75, 0.03, 0.035, 0, vlm::EndShape::ellipse,
                                                       vlm::EndShape::parabola, 0.06, 0.2});
  craft.reference_surface = "front wing";
  craft.moment_point = {0.01, 0, 0.1};
  craft.water = vlm::sea_water(12, 30);
  craft.still_surface = {vlm::Boundary::free, 0.4, {}, 0.1};
  return craft;
}

vlm::LatticeOptions lattice_with_all() {
  vlm::LatticeOptions options;
  options.counts = {{12, 3}, {8, 2}, {5, 2}};
  options.body = {12, 8};
  return options;
}

TEST(CInterface, SolvesACraftBuiltInMemory) {
  const auto handle = case_built();
  build_all(handle.get);
  Handle<vlm_solution> solution(vlm_solution_free);
  ASSERT_DONE(vlm_solve(handle.get, 0.05, VLM_MOTIONS_ALL, 2, &solution.get));
  const vlm::Craft craft = craft_with_all();
  vlm::ThreadPool pool(1);
  const vlm::Responses responses =
      vlm::make_responses(craft, lattice_with_all(), 0.05, {}, pool, vlm::Motions::all);
  const vlm::Lattice& lattice = responses.system.lattice();
  const vlm::PolarPoint point = vlm::polar_point(responses, cpp_turning);

  vlm_reference reference;
  ASSERT_DONE(vlm_solution_reference(solution.get, &reference));
  EXPECT_EQ(reference.area, responses.reference.area);
  EXPECT_EQ(reference.chord, responses.reference.chord);
  EXPECT_EQ(reference.span, responses.reference.span);

  std::size_t num_parts = 0, num_panels = 0, num_strips = 0;
  ASSERT_DONE(vlm_solution_num_parts(solution.get, &num_parts));
  ASSERT_DONE(vlm_solution_num_panels(solution.get, &num_panels));
  ASSERT_DONE(vlm_solution_num_strips(solution.get, &num_strips));
  EXPECT_EQ(num_parts, 4U);
  EXPECT_EQ(num_panels, lattice.num_panels());
  ASSERT_EQ(num_strips, lattice.strips.size());
  const char* name = nullptr;
  ASSERT_DONE(vlm_solution_part_name(solution.get, 3, &name));
  EXPECT_STREQ(name, "fuselage");

  std::vector<vlm_strip> strips(num_strips);
  ASSERT_DONE(vlm_solution_strips(solution.get, strips.data(), num_strips));
  for (std::size_t i = 0; i < num_strips; ++i) {
    EXPECT_EQ(strips[i].surface, lattice.strips[i].surface);
    EXPECT_EQ(strips[i].arc, lattice.strips[i].arc);
    EXPECT_EQ(strips[i].width, lattice.strips[i].width);
    EXPECT_EQ(strips[i].span_fraction, lattice.strips[i].span_fraction);
    EXPECT_EQ(strips[i].chord, lattice.strips[i].chord);
    EXPECT_EQ(strips[i].leading_edge[1], lattice.strips[i].leading_edge.y);
  }

  vlm_forces forces;
  ASSERT_DONE(vlm_solution_forces(solution.get, &turning, &forces));
  expect_same(forces, point);
  EXPECT_NE(forces.rolling_moment_coefficient, 0);

  std::vector<vlm_part_forces> parts(num_parts);
  ASSERT_DONE(vlm_solution_part_forces(solution.get, &turning, parts.data(), num_parts));
  for (std::size_t i = 0; i < num_parts; ++i)
    expect_same(parts[i], point.parts[i]);

  std::vector<vlm_strip_loading> loading(num_strips);
  ASSERT_DONE(vlm_solution_span_loading(solution.get, &turning, 5.5, loading.data(), num_strips));
  expect_same(loading, loading_of(lattice, point, 5.5, craft.water.density));

  vlm_drag drag;
  ASSERT_DONE(vlm_solution_drag(solution.get, &gliding, 5.5, &drag));
  const vlm::DragBreakdown breakdown =
      vlm::drag_breakdown(craft, lattice, vlm::body_figures(craft), {vlm::FrictionLine::flat_plate, 0.1},
                          vlm::polar_point(responses, {gliding.alpha, 0, {}}), 5.5);
  EXPECT_EQ(drag.lift, breakdown.lift);
  EXPECT_EQ(drag.total, breakdown.total);
  expect_same(drag.lift_to_drag, breakdown.lift_to_drag);
  for (const double share :
       {drag.induced, drag.friction_and_form, drag.section_polar, drag.junction, drag.spray})
    EXPECT_GT(share, 0);
  EXPECT_EQ(drag.blunt_trailing_edge, 0);
  EXPECT_NEAR(drag.induced + drag.friction_and_form + drag.section_polar + drag.junction + drag.spray,
              drag.total, 1e-12 * drag.total);

  std::size_t num_derivatives = 0;
  ASSERT_DONE(vlm_solution_num_derivatives(solution.get, &num_derivatives));
  const std::vector<vlm::Derivative> cpp = vlm::derivatives(responses, cpp_turning);
  ASSERT_EQ(num_derivatives, cpp.size());
  std::vector<vlm_derivative> derivatives(num_derivatives);
  std::vector<double> shares(num_derivatives * num_parts);
  ASSERT_DONE(vlm_solution_derivatives(solution.get, &turning, derivatives.data(), num_derivatives,
                                       shares.data(), shares.size()));
  for (std::size_t i = 0; i < num_derivatives; ++i) {
    EXPECT_EQ(derivatives[i].name, cpp[i].name);
    EXPECT_EQ(derivatives[i].unit, cpp[i].unit);
    EXPECT_EQ(derivatives[i].group, static_cast<int>(cpp[i].group));
    EXPECT_EQ(derivatives[i].value, cpp[i].value);
    for (std::size_t k = 0; k < num_parts; ++k)
      EXPECT_EQ(shares[i * num_parts + k], cpp[i].parts[k]);
  }
  ASSERT_DONE(
      vlm_solution_derivatives(solution.get, &gliding, derivatives.data(), num_derivatives, nullptr, 0));

  double alpha = 0;
  ASSERT_DONE(vlm_solution_angle_for_lift(solution.get, 0.5, &alpha));
  const vlm_condition lifting{alpha, 0, 0, 0, 0};
  ASSERT_DONE(vlm_solution_forces(solution.get, &lifting, &forces));
  EXPECT_NEAR(forces.lift_coefficient, 0.5, 1e-12);
}

TEST(CInterface, GivesVelocityAndDownwash) {
  const auto handle = case_built();
  build_all(handle.get);
  Handle<vlm_solution> solution(vlm_solution_free);
  ASSERT_DONE(vlm_solve(handle.get, 0.05, VLM_MOTIONS_ALL, 1, &solution.get));
  vlm::ThreadPool pool(1);
  const vlm::Responses responses =
      vlm::make_responses(craft_with_all(), lattice_with_all(), 0.05, {}, pool, vlm::Motions::all);
  const double speed = 5.5;
  vlm::Motion motion;
  motion.speed = speed;
  motion.alpha = turning.alpha;
  motion.beta = turning.beta;
  motion.rates = {2 * speed / responses.reference.span * turning.roll_rate,
                  2 * speed / responses.reference.chord * turning.pitch_rate,
                  2 * speed / responses.reference.span * turning.yaw_rate};
  motion.moment_point = responses.moment_point;
  std::vector<double> circulation = vlm::panel_circulation(responses, cpp_turning, {});
  for (double& gamma : circulation)
    gamma *= speed;
  const std::vector<vlm::Vec3> points{{0.3, 0.05, 0.05}, {0.6, -0.2, 0.1}};
  const double numbers[] = {0.3, 0.05, 0.05, 0.6, -0.2, 0.1};

  double velocity[6];
  ASSERT_DONE(vlm_solution_velocity(solution.get, &turning, speed, numbers, velocity, 6));
  const auto cpp =
      vlm::velocity_at(responses.system.influence(), vlm::cause_of(motion), circulation, points, pool);
  for (std::size_t i = 0; i < 2; ++i) {
    EXPECT_EQ(velocity[3 * i], cpp[i].x);
    EXPECT_EQ(velocity[3 * i + 1], cpp[i].y);
    EXPECT_EQ(velocity[3 * i + 2], cpp[i].z);
  }

  // Behind a lifting wing water goes down, and the angle does not know the speed.
  double downwash[2];
  ASSERT_DONE(vlm_solution_downwash(solution.get, &turning, numbers, 6, downwash, 2));
  const auto angles =
      vlm::downwash_angle(responses.system.influence(), vlm::cause_of(motion), circulation, points, pool);
  for (std::size_t i = 0; i < 2; ++i) {
    EXPECT_GT(downwash[i], 0);
    EXPECT_NEAR(downwash[i], angles[i], 1e-14);
  }
}

TEST(CInterface, LaysTheOperatingWake) {
  const auto handle = case_built();
  build_all(handle.get);
  double angle = 0;
  ASSERT_DONE(vlm_operating_wake(handle.get, 0.4, 1, &angle));
  vlm::ThreadPool pool(1);
  EXPECT_EQ(angle, vlm::operating_wake(craft_with_all(), lattice_with_all(), {}, 0.4, pool).angle);
  const double given = 0.03;
  ASSERT_DONE(vlm_case_set_wake(handle.get, VLM_WAKE_STREAM, &given));
  ASSERT_DONE(vlm_operating_wake(handle.get, 0.4, 1, &angle));
  EXPECT_EQ(angle, given);
  ASSERT_DONE(vlm_case_set_wake(handle.get, VLM_WAKE_BODY, nullptr));
  ASSERT_DONE(vlm_operating_wake(handle.get, 0.4, 1, &angle));
  EXPECT_EQ(angle, 0);
}

TEST(CInterface, TakesAFuselageOfCuts) {
  const auto handle = case_built();
  build_all(handle.get);
  const vlm_fuselage_cut cuts[] = {{-0.2, 0, 0, 0, 0}, {0, 0.03, 0.04, 0, 0.01}, {0.55, 0, 0, 0, 0}};
  ASSERT_DONE(vlm_case_set_fuselage_cuts(handle.get, VLM_CUT_ROUNDED_RECTANGLE, cuts, 3));
  Handle<vlm_solution> solution(vlm_solution_free);
  ASSERT_DONE(vlm_solve(handle.get, 0, VLM_MOTIONS_IN_PLANE, 1, &solution.get));
  vlm_forces forces;
  ASSERT_DONE(vlm_solution_forces(solution.get, &gliding, &forces));
  vlm::Craft craft = craft_with_all();
  craft.fuselage = {vlm::CutShape::rounded_rectangle,
                    {{-0.2, 0, 0, 0, 0}, {0, 0.03, 0.04, 0, 0.01}, {0.55, 0, 0, 0, 0}}};
  vlm::ThreadPool pool(1);
  expect_same(forces, vlm::polar_point(vlm::make_responses(craft, lattice_with_all(), 0, {}, pool),
                                       {gliding.alpha, 0, {}}));
}

TEST(CInterface, KeepsWaterAndOperation) {
  const auto handle = case_built();
  vlm_water water;
  ASSERT_DONE(vlm_case_set_fresh_water(handle.get, 10));
  ASSERT_DONE(vlm_case_water(handle.get, &water));
  EXPECT_EQ(water.density, vlm::fresh_water(10).density);
  EXPECT_EQ(water.kinematic_viscosity, vlm::fresh_water(10).kinematic_viscosity);
  EXPECT_EQ(water.vapour_pressure, vlm::fresh_water(10).vapour_pressure);
  ASSERT_DONE(vlm_case_set_sea_water(handle.get, 10, 35));
  ASSERT_DONE(vlm_case_water(handle.get, &water));
  EXPECT_EQ(water.density, vlm::sea_water(10, 35).density);
  const vlm_water own{1000, 1e-6, 2000};
  ASSERT_DONE(vlm_case_set_water(handle.get, &own));
  ASSERT_DONE(vlm_case_water(handle.get, &water));
  EXPECT_EQ(water.density, 1000);
  EXPECT_EQ(water.vapour_pressure, 2000);

  build_all(handle.get);
  const vlm_operation wanted{{5, 1}, {80, 1}, {0, 0}};
  ASSERT_DONE(vlm_case_set_operation(handle.get, &wanted));
  vlm_operation operation;
  ASSERT_DONE(vlm_case_operation(handle.get, &operation));
  EXPECT_EQ(operation.speed.value, 5);
  EXPECT_EQ(operation.mass.value, 80);
  EXPECT_EQ(operation.lift_coefficient.defined, 0);
  double coefficient = 0;
  ASSERT_DONE(vlm_case_lift_coefficient(handle.get, &coefficient));
  EXPECT_DOUBLE_EQ(coefficient, 80 * 9.80665 / (0.5 * vlm::sea_water(12, 30).density * 25 * 0.09));
}

TEST(CInterface, LoadingGivesTheMassToCarry) {
  const auto handle = case_built();
  build_all(handle.get);
  const vlm_rider rider{70, 0.95, 11};
  const vlm_deck deck{0.8, 0, 0};
  const vlm_drive drive{VLM_DRIVE_PULL, 0, 1, {0, 0}, {0, 0, 0}, {120, 1}, {0, 0}};
  const vlm_stance stance{-0.35, 0.15};
  const vlm_mass board{"board and foil", 12, {-0.08, 0, 0.6}, 0.0009, 1};
  ASSERT_DONE(vlm_case_set_loading(handle.get, &rider, &deck, &drive, &stance, &board, 1));
  vlm_operation operation;
  ASSERT_DONE(vlm_case_operation(handle.get, &operation));
  EXPECT_DOUBLE_EQ(operation.mass.value, 82 - 0.0009 * vlm::sea_water(12, 30).density);
  ASSERT_DONE(vlm_case_set_fresh_water(handle.get, 20)); // floats it less
  ASSERT_DONE(vlm_case_operation(handle.get, &operation));
  EXPECT_DOUBLE_EQ(operation.mass.value, 82 - 0.0009 * vlm::fresh_water(20).density);
}

struct Told {
  std::vector<std::size_t> done;
  std::size_t total = 0, stop_at = 0;
};

int tell(std::size_t done, std::size_t total, void* user) {
  Told& told = *static_cast<Told*>(user);
  told.done.push_back(done);
  told.total = total;
  return done == told.stop_at;
}

TEST(CInterface, RunsPolarsAndWritesTheirRecord) {
  const TestFolder folder;
  const auto handle = case_read();
  const std::vector<vlm_condition> conditions{{0, 0, 0, 0, 0}, gliding, {0.1, 0, 0, 0, 0}};
  const string record = (folder / "polar.h5").string();
  Told told;
  const vlm_run run{tell, &told, 1, record.c_str(), "a test"};
  Handle<vlm_polar> polar(vlm_polar_free);
  ASSERT_DONE(vlm_run_polar(handle.get, conditions.data(), 3, nullptr, &run, &polar.get));
  EXPECT_EQ(told.done, (std::vector<std::size_t>{1, 2, 3}));
  EXPECT_EQ(told.total, 3U);
  EXPECT_EQ(run_program("h5ls", {record + "/polar"}).exit_code, 0);
  EXPECT_NE(run_program("h5dump", {"-a", "/command", record}).out.find("a test"), string::npos);

  vlm::Case cpp = vlm::read_case(ridden);
  vlm::ThreadPool pool(1);
  const vlm::Lattice lattice = vlm::make_lattice(cpp.craft, cpp.lattice);
  vlm::PolarChoice choice;
  for (const vlm_condition& c : conditions)
    choice.conditions.push_back({c.alpha, 0, {}});
  const vlm::PolarResult result = vlm::polar_with_record(cpp, lattice, choice, {}, {}, pool);
  std::size_t count = 0;
  ASSERT_DONE(vlm_polar_num_points(polar.get, &count));
  ASSERT_EQ(count, 3U);
  std::vector<vlm_forces> points(3);
  ASSERT_DONE(vlm_polar_forces(polar.get, points.data(), 3));
  for (std::size_t i = 0; i < 3; ++i)
    expect_same(points[i], result.points[i]);
  vlm_part_forces parts[2];
  ASSERT_DONE(vlm_polar_part_forces(polar.get, 1, parts, 2));
  expect_same(parts[1], result.points[1].parts[1]);
  std::vector<vlm_strip_loading> loading(lattice.strips.size());
  ASSERT_DONE(vlm_polar_span_loading(polar.get, 2, 6, loading.data(), loading.size()));
  expect_same(loading, loading_of(lattice, result.points[2], 6, cpp.craft.water.density));

  ASSERT_DONE(vlm_polar_num_without_image(polar.get, &count)); // its speed is not known
  EXPECT_EQ(count, 0U);
}

TEST(CInterface, PolarsBelowTheFroudeNumberOfTheImageAreABracket) {
  const auto handle = case_read();
  const vlm_operation slow{{4, 1}, {0, 0}, {0, 0}};
  ASSERT_DONE(vlm_case_set_operation(handle.get, &slow));
  int needed = 7;
  ASSERT_DONE(vlm_case_needs_bracket(handle.get, 5.14, &needed)); // 3 √(9.80665 · 0.3) = 5.146
  EXPECT_EQ(needed, 1);
  ASSERT_DONE(vlm_case_needs_bracket(handle.get, 5.15, &needed));
  EXPECT_EQ(needed, 0);
  Handle<vlm_polar> polar(vlm_polar_free);
  const double wake = 0.05;
  ASSERT_DONE(vlm_run_polar(handle.get, &gliding, 1, &wake, nullptr, &polar.get));
  std::size_t count = 0;
  ASSERT_DONE(vlm_polar_num_without_image(polar.get, &count));
  ASSERT_EQ(count, 1U);
  vlm_forces with, without;
  ASSERT_DONE(vlm_polar_forces(polar.get, &with, 1));
  ASSERT_DONE(vlm_polar_forces_without_image(polar.get, &without, 1));
  EXPECT_EQ(with.wake_angle, wake);
  EXPECT_GT(without.lift_coefficient, 1.01 * with.lift_coefficient); // the still surface takes lift
}

TEST(CInterface, CancelledStudiesKeepWhatWasDone) {
  const auto handle = case_read();
  const vlm_condition conditions[3] = {gliding, gliding, gliding};
  Told told;
  told.stop_at = 2;
  const vlm_run run{tell, &told, 1, nullptr, nullptr};
  const double wake = 0.05;
  Handle<vlm_polar> polar(vlm_polar_free);
  ASSERT_EQ(vlm_run_polar(handle.get, conditions, 3, &wake, &run, &polar.get), VLM_CANCELLED);
  EXPECT_EQ(string(vlm_message()), string("vlm_run_polar: ") + vlm_status_text(VLM_CANCELLED));
  std::size_t count = 0;
  ASSERT_DONE(vlm_polar_num_points(polar.get, &count));
  EXPECT_EQ(count, 2U);

  const double speeds[] = {6, 7, 8};
  Handle<vlm_trim> trim(vlm_trim_free);
  ASSERT_EQ(vlm_run_trim(handle.get, speeds, 3, &run, &trim.get), VLM_CANCELLED);
  ASSERT_DONE(vlm_trim_num_points(trim.get, &count));
  EXPECT_EQ(count, 2U);
  const char* why = nullptr;
  ASSERT_DONE(vlm_trim_mark_refusal(trim.get, VLM_TAKE_OFF, &why));
  EXPECT_NE(string(why).find("cancelled"), string::npos);

  std::vector<double> many(10'000);
  for (std::size_t i = 0; i < many.size(); ++i)
    many[i] = 1e-6 * static_cast<double>(i);
  const double zero = 0;
  const vlm_operation operation{{7, 1}, {0, 0}, {0, 0}};
  ASSERT_DONE(vlm_case_set_operation(handle.get, &operation));
  const vlm_twist_study study{1, nullptr, many.data(), many.size(), &zero, 1, {0, 0}, {0, 0}, {0, 0}};
  const vlm_run at_once{[](std::size_t, std::size_t, void*) { return 1; }, nullptr, 1, nullptr, nullptr};
  Handle<vlm_twist> twist(vlm_twist_free);
  ASSERT_EQ(vlm_run_twist_study(handle.get, &study, &at_once, &twist.get), VLM_CANCELLED);
  ASSERT_DONE(vlm_twist_num_points(twist.get, &count));
  EXPECT_GT(count, 0U);
  EXPECT_LT(count, many.size());
}

TEST(CInterface, RunsTwistStudies) {
  const TestFolder folder;
  const auto handle = case_read();
  const vlm_operation operation{{7, 1}, {0, 0}, {0, 0}};
  ASSERT_DONE(vlm_case_set_operation(handle.get, &operation));
  const double fraction[] = {0, 0.5, 1}, value[] = {0, 0.1, 1};
  ASSERT_DONE(vlm_case_add_twist_shape(handle.get, "late", fraction, value, 3, VLM_CURVE_SMOOTH));
  const double incidences[] = {-0.04, -0.02, 0}, twists[] = {-0.02, 0.02};
  const vlm_twist_study study{1, "late", incidences, 3, twists, 2, {-0.2, 1}, {0.1, 1}, {0.05, 1}};
  const string record = (folder / "twist.h5").string();
  const vlm_run run{nullptr, nullptr, 2, record.c_str(), nullptr};
  Handle<vlm_twist> twist(vlm_twist_free);
  ASSERT_DONE(vlm_run_twist_study(handle.get, &study, &run, &twist.get));
  EXPECT_EQ(run_program("h5ls", {record + "/twist"}).exit_code, 0);
  EXPECT_NE(run_program("h5dump", {"-a", "/command", record}).out.find("through the C interface"),
            string::npos);

  vlm::Case cpp = vlm::read_case(ridden);
  cpp.operation.speed = 7;
  vlm::TwistStudy wanted;
  wanted.surface = 1;
  wanted.shape = {"late", {0, 0.5, 1}, {0, 0.1, 1}, vlm::Curve::smooth};
  wanted.incidences = {-0.04, -0.02, 0};
  wanted.twists = {-0.02, 0.02};
  wanted.lift_coefficient = vlm::lift_coefficient(cpp.operation, cpp.craft);
  vlm::ThreadPool pool(1);
  const double wake =
      vlm::operating_wake(cpp.craft, cpp.lattice, cpp.wake, wanted.lift_coefficient, pool).angle;
  const vlm::Responses responses = vlm::twist_responses(cpp.craft, cpp.lattice, wanted, wake, pool);
  const vlm::TwistResult result =
      vlm::twist_study_with_record(cpp, responses, wanted, {-0.2, 0.1, 0.05}, {}, {}, pool);
  const vlm::TwistMarks marks = vlm::twist_marks(result, responses.reference);

  std::size_t count = 0;
  ASSERT_DONE(vlm_twist_num_points(twist.get, &count));
  ASSERT_EQ(count, 6U);
  std::vector<vlm_twist_point> points(6);
  ASSERT_DONE(vlm_twist_points(twist.get, points.data(), 6));
  for (std::size_t i = 0; i < 6; ++i) {
    const vlm::TwistPoint& p = result.points[i];
    EXPECT_EQ(points[i].incidence, p.incidence);
    EXPECT_EQ(points[i].twist, p.twist);
    expect_same(points[i].alpha, p.alpha);
    expect_same(points[i].lift_slope, p.lift_slope);
    expect_same(points[i].zero_lift_moment, p.zero_lift_moment);
    expect_same(points[i].pitching_moment_coefficient, p.pitching_moment_coefficient);
    expect_same(points[i].static_margin, p.static_margin);
    expect_same(points[i].centre_of_lift, p.centre_of_lift);
    expect_same(points[i].neutral_point, p.neutral_point);
    expect_same(points[i].surface_lift_coefficient, p.surface_lift_coefficient);
    expect_same(points[i].induced_drag_coefficient, p.induced_drag_coefficient);
    expect_same(points[i].near_drag_excess, p.near_drag_excess);
    expect_same(points[i].peak_local_lift, p.peak_local_lift);
    EXPECT_EQ(points[i].peak_strip, p.peak_strip);
  }
  vlm_twist_marks found;
  ASSERT_DONE(vlm_twist_find_marks(twist.get, &found));
  EXPECT_EQ(found.least_drag.defined, marks.least_drag.has_value());
  EXPECT_EQ(found.least_drag.index, marks.least_drag.value_or(0));
  EXPECT_EQ(found.within_limits.defined, marks.within_limits.has_value());
  EXPECT_EQ(found.within_limits.index, marks.within_limits.value_or(0));
}

TEST(CInterface, RunsTrims) {
  const TestFolder folder;
  const auto handle = case_read();
  const double speeds[] = {2, 6, 8};
  const string record = (folder / "trim.h5").string();
  const vlm_run run{nullptr, nullptr, 1, record.c_str(), nullptr};
  Handle<vlm_trim> trim(vlm_trim_free);
  ASSERT_DONE(vlm_run_trim(handle.get, speeds, 3, &run, &trim.get));
  EXPECT_EQ(run_program("h5ls", {record + "/trim"}).exit_code, 0);

  const vlm::Case cpp = vlm::read_case(ridden);
  vlm::ThreadPool pool(1);
  const vlm::TrimResult result = vlm::trim_with_marks(
      vlm::make_ride(cpp.craft, cpp.lattice, cpp.wake, cpp.drag, *cpp.loading), speeds, {}, pool);
  std::size_t count = 0;
  ASSERT_DONE(vlm_trim_num_points(trim.get, &count));
  ASSERT_EQ(count, 3U);
  vlm_trim_point points[3];
  ASSERT_DONE(vlm_trim_points(trim.get, points, 3));
  for (std::size_t i = 0; i < 3; ++i) {
    const vlm::TrimPoint& p = result.points[i];
    EXPECT_EQ(points[i].speed, p.speed);
    EXPECT_EQ(points[i].balanced, p.solved());
    EXPECT_EQ(points[i].alpha, p.state.alpha);
    EXPECT_EQ(points[i].load_station, p.state.load_station);
    EXPECT_EQ(points[i].lift, p.state.lift);
    EXPECT_EQ(points[i].drag, p.state.drag);
    EXPECT_EQ(points[i].drive_force, p.state.drive_force);
    EXPECT_EQ(points[i].wave_slope, p.state.wave_slope);
    EXPECT_EQ(points[i].deceleration, p.state.deceleration);
    EXPECT_EQ(points[i].power, p.figures.power);
    EXPECT_EQ(points[i].wake_angle, p.wake_angle);
    expect_same(points[i].lift_to_drag, p.lift_to_drag);
    expect_same(points[i].front_foot_share, p.front_foot_share);
    expect_same(points[i].share_of_limit, p.figures.share_of_limit);
    const char* why = nullptr;
    ASSERT_DONE(vlm_trim_refusal(trim.get, i, &why));
    EXPECT_EQ(why, p.refusal);
    EXPECT_EQ(string(why).empty(), points[i].balanced == 1);
  }
  EXPECT_EQ(points[0].balanced, 0); // far too slow
  EXPECT_EQ(points[2].balanced, 1);

  vlm_speed_mark marks[VLM_NUM_MARKS];
  ASSERT_DONE(vlm_trim_marks(trim.get, marks, VLM_NUM_MARKS));
  for (std::size_t i = 0; i < VLM_NUM_MARKS; ++i) {
    const vlm::SpeedMark& mark = *result.marks.*vlm::named_speed_marks[i].mark;
    ASSERT_EQ(marks[i].defined, mark.at.has_value());
    const char* why = nullptr;
    ASSERT_DONE(vlm_trim_mark_refusal(trim.get, i, &why));
    EXPECT_EQ(string(why).empty(), marks[i].defined == 1);
    if (!mark.at)
      continue;
    EXPECT_EQ(marks[i].speed, mark.at->speed);
    EXPECT_EQ(marks[i].alpha, mark.at->alpha);
    EXPECT_EQ(marks[i].load_station, mark.at->load_station);
    EXPECT_EQ(marks[i].lift, mark.at->lift);
    EXPECT_EQ(marks[i].drag, mark.at->drag);
    EXPECT_EQ(marks[i].power, mark.at->power);
  }
  EXPECT_STREQ(vlm::named_speed_marks[VLM_TAKE_OFF].name, "take_off");
  EXPECT_STREQ(vlm::named_speed_marks[VLM_BEST_GLIDE].name, "best_glide");
  EXPECT_STREQ(vlm::named_speed_marks[VLM_LEAST_POWER].name, "least_power");
  EXPECT_STREQ(vlm::named_speed_marks[VLM_TOP_SPEED].name, "top_speed");
}

} // namespace
