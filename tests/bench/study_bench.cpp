// Speed of the main job on a craft like the demo's: a front wing and a stabilizer of 20 × 8 panels each.

#include <benchmark/benchmark.h>

#include <vlm/file/case.hpp>
#include <vlm/ride/trimmed_craft.hpp>
#include <vlm/study/polar.hpp>
#include <vlm/study/twist_study.hpp>

namespace {

constexpr double degree = 3.14159265358979323846 / 180;

vlm::Case demo() {
  vlm::Case c = vlm::read_case(VLM_CASES_DIR "/lake-rescue/heron-880.toml");
  for (vlm::PanelCounts& counts : c.lattice.counts)
    counts = {20, 8};
  return c;
}

std::vector<double> hundred(double from, double to) {
  std::vector<double> angles;
  for (int i = 0; i < 100; ++i)
    angles.push_back((from + (to - from) * i / 99) * degree);
  return angles;
}

// Cut, factorise, solve for four causes, sum up forces.
void set_up(benchmark::State& state) {
  const vlm::Case c = demo();
  vlm::ThreadPool pool(static_cast<int>(state.range(0)));
  const vlm::TwistStudy study{1, vlm::linear_twist(), {}, {}, 0.5, true};
  for (auto _ : state)
    benchmark::DoNotOptimize(vlm::twist_responses(c.craft, c.lattice, study, 0.08, pool));
}
BENCHMARK(set_up)->ArgName("threads")->Arg(1)->Arg(2)->Unit(benchmark::kMillisecond)->UseRealTime();

// 10,000 balances after set-up, one core: incidences of the stabilizer, each with its own angle of attack,
// drive and load station.
void trims(benchmark::State& state) {
  const vlm::Case c = demo();
  vlm::ThreadPool pool(1);
  const vlm::Ride ride = vlm::make_ride(c.craft, c.lattice, c.wake, c.drag, *c.loading);
  const vlm::TurnShape turn{1, std::nullopt};
  const double as_drawn = 0;
  const vlm::TrimmedCraft t = vlm::trimmed_craft(ride, 5.5, pool, 0.09, {&turn, 1}, {&as_drawn, 1});
  std::vector<double> incidences;
  for (int i = 0; i < 10000; ++i)
    incidences.push_back((-3 + 6e-4 * i) * degree);
  for (auto _ : state) {
    double sum = 0;
    for (const double& incidence : incidences)
      sum += vlm::trim(vlm::plane_forms(t.responses, {&incidence, 1}), ride.loading, t.parasite,
                       c.craft.water.density, 5.5)
                 ->load_station;
    benchmark::DoNotOptimize(sum);
  }
  state.SetItemsProcessed(state.iterations() * 10000);
}
BENCHMARK(trims)->Unit(benchmark::kMillisecond);

// 10,000 settings after set-up.
void twist_study(benchmark::State& state) {
  const vlm::Case c = demo();
  vlm::ThreadPool pool(static_cast<int>(state.range(0)));
  const vlm::TwistStudy study{1,   vlm::linear_twist(), hundred(-4, 2), hundred(-5, 5),
                              0.5, state.range(1) != 0};
  const vlm::Responses responses = vlm::twist_responses(c.craft, c.lattice, study, 0.08, pool);
  for (auto _ : state) {
    double drag = 0;
    vlm::run_twist_study(
        c.craft, responses, study,
        [&](std::span<const vlm::TwistPoint> points) {
          for (const vlm::TwistPoint& p : points)
            drag += p.induced_drag_coefficient.value();
        },
        {}, pool);
    benchmark::DoNotOptimize(drag);
  }
  state.SetItemsProcessed(state.iterations() * 10000);
}
BENCHMARK(twist_study)
    ->ArgNames({"threads", "local_lift"})
    ->Args({1, 0})
    ->Args({1, 1})
    ->Args({2, 1})
    ->Unit(benchmark::kMillisecond)
    ->UseRealTime();

} // namespace
