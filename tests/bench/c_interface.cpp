// What the C interface costs over the C++ calls behind it: queries, and a craft built in memory and solved
// for 400 unknowns.

#include <cstdlib>

#include <vlm/force/derivatives.hpp>
#include <vlm/force/polar_point.hpp>
#include <vlm/force/responses.hpp>
#include <vlm/vlm.h>

#include "figure.hpp"

namespace bench {
namespace {

constexpr vlm_condition gliding{0.06, 0, 0, 0, 0};
constexpr int passes = 1000; // of a query

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

Measured build_and_solve() {
  return race(
      20, 1e3,
      [] {
        return seconds([] {
          vlm_solution* solution = solved();
          done(vlm_solution_free(&solution));
        });
      },
      [] {
        return seconds([] {
          const vlm::Responses responses = solved_cpp();
          keep(responses);
        });
      });
}

template <class Query, class QueryCpp>
Measured query(const Query& in_c, const QueryCpp& in_cpp) {
  vlm_solution* solution = solved();
  const vlm::Responses responses = solved_cpp();
  const Measured m = race(
      20, 1e6 / passes,
      [&] {
        return seconds([&] {
          for (int i = 0; i < passes; ++i)
            in_c(solution);
        });
      },
      [&] {
        return seconds([&] {
          for (int i = 0; i < passes; ++i) {
            const auto result = in_cpp(responses);
            keep(result);
          }
        });
      });
  done(vlm_solution_free(&solution));
  return m;
}

Measured forces() {
  return query(
      [](const vlm_solution* solution) {
        vlm_forces forces;
        done(vlm_solution_forces(solution, &gliding, &forces));
        keep(forces);
      },
      [](const vlm::Responses& r) {
        return vlm::polar_point(r, {gliding.alpha, 0, {}});
      });
}

Measured derivatives() {
  return query(
      [](const vlm_solution* solution) {
        vlm_derivative derivatives[30];
        done(vlm_solution_derivatives(solution, &gliding, derivatives, 30, nullptr, 0));
        keep(derivatives);
      },
      [](const vlm::Responses& r) {
        return vlm::derivatives(r, {gliding.alpha, 0, {}});
      });
}

} // namespace

std::vector<Figure> c_interface_figures() {
  return {{"c_solve", "C, a craft built and solved / C++", "ms", 1.05, build_and_solve},
          {"c_forces", "C, forces of a condition / C++", "us", 1.2, forces},
          {"c_derivatives", "C, all derivatives / C++", "us", 1.2, derivatives}};
}

} // namespace bench
