// What each function of the C interface gives, but for studies.

#include <cmath>
#include <cstring>
#include <filesystem>
#include <fstream>
#include <map>
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
#include "beside_cpp.hpp"
#include "handles.hpp"

namespace {

using std::string;

const vlm_condition turning{0.06, 0.03, 0.02, 0.004, -0.01};

const vlm::Condition cpp_turning{
    turning.alpha, turning.beta, {turning.roll_rate, turning.pitch_rate, turning.yaw_rate}};

Handle<vlm_case> case_built() {
  Handle<vlm_case> handle(vlm_case_free);
  EXPECT_EQ(vlm_case_new("built", &handle.get), VLM_OK) << vlm_message();
  return handle;
}

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

// A strut with a blunt trailing edge gives the craft drag of every cause; in the turn also that of rates.
TEST(CInterface, TellsDragByCause) {
  std::vector<double> x, z; // a parabola over the chord, 8 % thick and cut off 1 % thick
  for (int i = -12; i <= 12; ++i) {
    const double t = std::abs(i) / 12.0;
    x.push_back(t * t);
    z.push_back((i < 0 ? 1 : -1) * (0.16 * t * (1 - t) + 0.005 * t));
  }
  const auto handle = case_built();
  build_all(handle.get);
  std::size_t section = 0;
  ASSERT_DONE(vlm_case_add_contour_section(handle.get, "blunt", x.data(), z.data(), x.size(), &section));
  const vlm_station stations[] = {{-0.1, 0.2, 0.3, 0.06, 0, section}, {0.1, 0.2, 0.3, 0.06, 0, section}};
  const vlm_surface strut{"strut", {0, 0, 0}, 0, VLM_CURVE_STRAIGHT, 0, 0, 6, 2};
  ASSERT_DONE(vlm_case_add_surface(handle.get, &strut, stations, 2));
  Handle<vlm_solution> solution(vlm_solution_free);
  ASSERT_DONE(vlm_solve(handle.get, 0.05, VLM_MOTIONS_ALL, 2, &solution.get));

  vlm::Craft craft = craft_with_all();
  const vlm::Section blunt = vlm::contour_section("blunt", x, z).section;
  craft.surfaces.push_back({"strut",
                            {},
                            0,
                            vlm::Curve::straight,
                            {{-0.1, 0.2, 0.3, 0.06, 0, blunt}, {0.1, 0.2, 0.3, 0.06, 0, blunt}}});
  vlm::LatticeOptions options = lattice_with_all();
  options.counts.push_back({6, 2});
  vlm::ThreadPool pool(1);
  const vlm::Responses responses = vlm::make_responses(craft, options, 0.05, {}, pool, vlm::Motions::all);

  for (const auto& [c, cpp] :
       {std::pair(gliding, vlm::Condition{gliding.alpha, 0, {}}), std::pair(turning, cpp_turning)}) {
    vlm_drag drag;
    ASSERT_DONE(vlm_solution_drag(solution.get, &c, 5.5, &drag));
    const vlm::DragBreakdown breakdown =
        vlm::drag_breakdown(craft, responses.system.lattice(), vlm::body_figures(craft),
                            {vlm::FrictionLine::flat_plate, 0.1}, vlm::polar_point(responses, cpp), 5.5);
    std::map<string, double> by_cause;
    for (const vlm::DragItem& item : breakdown.items)
      by_cause[item.cause] += item.drag;
    EXPECT_EQ(by_cause.size(), c.roll_rate != 0 ? 8U : 7U);
    EXPECT_EQ(drag.induced, by_cause["induced"]);
    EXPECT_EQ(drag.tilt_by_turn, by_cause["tilt of the lift by the turn"]);
    EXPECT_EQ(drag.tilt_by_turn != 0, c.roll_rate != 0);
    EXPECT_EQ(drag.waves_beyond_image, by_cause["waves beyond the image"]);
    EXPECT_NE(drag.waves_beyond_image, 0);
    EXPECT_EQ(drag.friction_and_form, by_cause["friction and form"]);
    EXPECT_EQ(drag.section_polar, by_cause["section polar"]);
    EXPECT_EQ(drag.blunt_trailing_edge, by_cause["blunt trailing edge"]);
    EXPECT_EQ(drag.junction, by_cause["junction"]);
    EXPECT_EQ(drag.spray, by_cause["spray"]);
    EXPECT_EQ(drag.lift, breakdown.lift);
    EXPECT_EQ(drag.total, breakdown.total);
    expect_same(drag.lift_to_drag, breakdown.lift_to_drag);
  }
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

// The craft built in memory carries its rider as the same craft in C++ does, whatever the loading says of it:
// a deck that slopes under a mast that rakes, feet, a drive that runs out, a section that stalls.
TEST(CInterface, BalancesALoadedCraftBuiltInMemory) {
  const vlm_rider rider{70, 0.95, 11};
  const vlm_deck deck{0.8, 0.03, -0.05};
  const vlm_stance stance{-0.35, 0.15};
  const vlm_mass masses[] = {{"board", 7, {-0.08, 0, 0.75}, 0, 1}, {"foil", 5, {0.1, 0, 0.05}, 0.0009, 0.3}};
  const vlm_drive drives[] = {{VLM_DRIVE_PULL, 0.1, 0.3, {-0.5, 1}, {0, 0, 0}, {60, 1}, {0, 0}},
                              {VLM_DRIVE_MOTOR, 0.02, 0, {0, 0}, {0.3, 0, -0.1}, {0, 0}, {500, 1}}};
  const double speeds[] = {5, 7};
  const vlm_still_surface level{VLM_BOUNDARY_FREE, {0.4, 1}, {0, 0}, 0};
  vlm::Craft craft = craft_with_all();
  craft.still_surface.bank = 0;
  vlm::ThreadPool pool(1);
  for (const vlm_drive& drive : drives) {
    const auto handle = case_built();
    build_all(handle.get);
    ASSERT_DONE(vlm_case_set_still_surface(handle.get, &level));
    ASSERT_DONE(vlm_case_set_loading(handle.get, &rider, &deck, &drive, &stance, masses, 2));
    Handle<vlm_trim> trim(vlm_trim_free);
    ASSERT_DONE(vlm_run_trim(handle.get, speeds, 2, nullptr, &trim.get));
    vlm_trim_point points[2];
    vlm_speed_mark marks[VLM_NUM_MARKS];
    ASSERT_DONE(vlm_trim_points(trim.get, points, 2));
    ASSERT_DONE(vlm_trim_marks(trim.get, marks, VLM_NUM_MARKS));

    vlm::Loading loading;
    loading.rider = {70, 0.95, 11};
    loading.masses = {{"board", 7, {-0.08, 0, 0.75}, 0, 1}, {"foil", 5, {0.1, 0, 0.05}, 0.0009, 0.3}};
    loading.deck = {0.8, 0.03, -0.05};
    loading.stance = {-0.35, 0.15};
    loading.drive.kind = drive.kind == VLM_DRIVE_PULL ? vlm::Drive::Kind::pull : vlm::Drive::Kind::motor;
    loading.drive.angle = drive.angle;
    loading.drive.height = drive.height;
    loading.drive.position = {drive.position[0], drive.position[1], drive.position[2]};
    if (drive.kind == VLM_DRIVE_PULL)
      loading.drive.station = -0.5, loading.drive.greatest_force = 60;
    else
      loading.drive.greatest_power = 500;
    const vlm::TrimResult wanted = vlm::trim_with_marks(
        vlm::make_ride(craft, lattice_with_all(), {}, {vlm::FrictionLine::flat_plate, 0.1}, loading), speeds,
        {}, pool);
    for (std::size_t i = 0; i < 2; ++i) {
      ASSERT_TRUE(wanted.points[i].solved()) << wanted.points[i].refusal;
      EXPECT_EQ(points[i].load_station, wanted.points[i].state.load_station);
      EXPECT_EQ(points[i].drag, wanted.points[i].state.drag);
      expect_same(points[i].front_foot_share, wanted.points[i].front_foot_share);
      expect_same(points[i].share_of_limit, wanted.points[i].figures.share_of_limit);
    }
    ASSERT_TRUE(wanted.marks);
    ASSERT_TRUE(wanted.marks->take_off.at) << wanted.marks->take_off.refusal;
    EXPECT_EQ(marks[VLM_TAKE_OFF].speed, wanted.marks->take_off.at->speed);
    ASSERT_TRUE(wanted.marks->top.at) << wanted.marks->top.refusal;
    EXPECT_EQ(marks[VLM_TOP_SPEED].speed, wanted.marks->top.at->speed);
  }
}

} // namespace
