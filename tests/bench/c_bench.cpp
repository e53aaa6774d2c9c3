// What the C interface costs over the C++ calls behind it: queries, and a craft built in memory and solved
// for 400 unknowns. Names pair: NAME_c beside NAME_cpp.

#include <cstdlib>

#include <benchmark/benchmark.h>

#include <vlm/force/derivatives.hpp>
#include <vlm/force/polar_point.hpp>
#include <vlm/force/responses.hpp>
#include <vlm/vlm.h>

namespace {

constexpr vlm_condition gliding{0.06, 0, 0, 0, 0};

void done(vlm_status status) {
  if (status != VLM_OK)
    std::abort();
}

vlm_case* wing_and_stabilizer() {
  vlm_case* c = nullptr;
  std::size_t section = 0;
  done(vlm_case_new("bench", &c));
  done(vlm_case_add_naca_section(c, "2412", &section));
  const vlm_station wing[] = {{0, 0, 0, 0.14, 0, section}, {0.42, -0.01, 0.02, 0.08, -0.03, section}};
  const vlm_station tail[] = {{0, 0, 0, 0.06, 0, section}, {0.2, 0, 0.005, 0.05, 0, section}};
  const vlm_surface front{"front wing", {-0.16, 0, 0}, 0.02, VLM_CURVE_SMOOTH, 1, 0, 30, 10};
  const vlm_surface stabilizer{"stabilizer", {0.48, 0, 0.02}, -0.02, VLM_CURVE_STRAIGHT, 1, 0, 20, 5};
  done(vlm_case_add_surface(c, &front, wing, 2));
  done(vlm_case_add_surface(c, &stabilizer, tail, 2));
  return c;
}

vlm::Craft the_same_craft() {
  const vlm::Section section = vlm::naca_section("2412");
  vlm::Craft craft;
  craft.title = "bench";
  craft.surfaces = {vlm::mirrored({"front wing",
                                   {-0.16, 0, 0},
                                   0.02,
                                   vlm::Curve::smooth,
                                   {{0, 0, 0, 0.14, 0, section}, {0.42, -0.01, 0.02, 0.08, -0.03, section}}}),
                    vlm::mirrored({"stabilizer",
                                   {0.48, 0, 0.02},
                                   -0.02,
                                   vlm::Curve::straight,
                                   {{0, 0, 0, 0.06, 0, section}, {0.2, 0, 0.005, 0.05, 0, section}}})};
  craft.reference_surface = "front wing";
  return craft;
}

vlm::LatticeOptions lattice() {
  vlm::LatticeOptions options;
  options.counts = {{30, 10}, {20, 5}};
  return options;
}

void build_and_solve_c(benchmark::State& state) {
  for (auto _ : state) {
    vlm_case* c = wing_and_stabilizer();
    vlm_solution* solution = nullptr;
    done(vlm_solve(c, 0.05, VLM_MOTIONS_ALL, 1, &solution));
    done(vlm_solution_free(&solution));
    done(vlm_case_free(&c));
  }
}
BENCHMARK(build_and_solve_c)->Unit(benchmark::kMillisecond);

void build_and_solve_cpp(benchmark::State& state) {
  for (auto _ : state) {
    const vlm::Craft craft = the_same_craft();
    vlm::ThreadPool pool(1);
    benchmark::DoNotOptimize(vlm::make_responses(craft, lattice(), 0.05, {}, pool, vlm::Motions::all));
  }
}
BENCHMARK(build_and_solve_cpp)->Unit(benchmark::kMillisecond);

vlm_solution* solved() {
  vlm_case* c = wing_and_stabilizer();
  vlm_solution* solution = nullptr;
  done(vlm_solve(c, 0.05, VLM_MOTIONS_ALL, 1, &solution));
  done(vlm_case_free(&c));
  return solution;
}

vlm::Responses solved_cpp() {
  vlm::ThreadPool pool(1);
  return vlm::make_responses(the_same_craft(), lattice(), 0.05, {}, pool, vlm::Motions::all);
}

void query_forces_c(benchmark::State& state) {
  vlm_solution* solution = solved();
  vlm_forces forces;
  for (auto _ : state) {
    done(vlm_solution_forces(solution, &gliding, &forces));
    benchmark::DoNotOptimize(forces);
  }
  done(vlm_solution_free(&solution));
}
BENCHMARK(query_forces_c)->Unit(benchmark::kMicrosecond);

void query_forces_cpp(benchmark::State& state) {
  const vlm::Responses responses = solved_cpp();
  for (auto _ : state)
    benchmark::DoNotOptimize(vlm::polar_point(responses, {gliding.alpha, 0, {}}));
}
BENCHMARK(query_forces_cpp)->Unit(benchmark::kMicrosecond);

void query_derivatives_c(benchmark::State& state) {
  vlm_solution* solution = solved();
  vlm_derivative derivatives[30];
  for (auto _ : state) {
    done(vlm_solution_derivatives(solution, &gliding, derivatives, 30, nullptr, 0));
    benchmark::DoNotOptimize(derivatives);
  }
  done(vlm_solution_free(&solution));
}
BENCHMARK(query_derivatives_c)->Unit(benchmark::kMicrosecond);

void query_derivatives_cpp(benchmark::State& state) {
  const vlm::Responses responses = solved_cpp();
  for (auto _ : state)
    benchmark::DoNotOptimize(vlm::derivatives(responses, {gliding.alpha, 0, {}}));
}
BENCHMARK(query_derivatives_cpp)->Unit(benchmark::kMicrosecond);

} // namespace
