// Responses and studies.

#include <array>
#include <cstdlib>
#include <stdexcept>
#include <string>

#include <vlm/file/case.hpp>
#include <vlm/force/responses.hpp>
#include <vlm/study/operation.hpp>
#include <vlm/study/twist_study.hpp>

#include "bare_forms.hpp"
#include "figure.hpp"

namespace bench {
namespace {

// The demo craft with about 1,000 unknowns and 12 causes: the six motions and as many turns.
Measured responses() {
  vlm::Case c = vlm::read_case(VLM_CASES_DIR "/lake-rescue/heron-880.toml");
  c.lattice.counts = {{32, 10}, {24, 10}, {20, 7}};
  c.lattice.body = {20, 12};
  const double wake_angle = 0.08;
  std::vector<vlm::TurnShape> turns;
  for (const std::size_t surface : {0, 1})
    for (const auto& shape : {std::optional<vlm::TwistShape>(), std::optional(vlm::linear_twist()),
                              std::optional(c.twist_shapes.at(0))})
      turns.push_back({surface, shape});
  vlm::ThreadPool pool(2);
  return race(
      20, 1e3,
      [&] {
        return seconds([&] {
          const vlm::Responses r =
              vlm::make_responses(c.craft, c.lattice, wake_angle, turns, pool, vlm::Motions::all);
          keep(r);
        });
      },
      [&] {
        const vlm::Lattice lattice = vlm::make_lattice(c.craft, c.lattice, wake_angle);
        const vlm::Cause along[] = {{{1, 0, 0}, {}, {}, {}}};
        return seconds([&] {
          const vlm::FlowSystem system(lattice, vlm::wake_along_stream(wake_angle), pool);
          const vlm::Matrix circulation = system.solve(along);
          keep(circulation);
        });
      });
}

constexpr std::size_t side = 1000; // of a grid of a million settings

// The demo craft as drawn, its stabilizer set to a grid of settings.
struct Demo {
  vlm::Case input = vlm::read_case(VLM_CASES_DIR "/lake-rescue/heron-880.toml");
  vlm::TwistStudy study{1, vlm::linear_twist(), {}, {}, 0.7, true};
  vlm::ThreadPool alone{1}, both{2};
  vlm::Responses responses = vlm::twist_responses(input.craft, input.lattice, study, 0.08, both);
  vlm::TwistForms forms = vlm::twist_forms(responses, 1);

  Demo() {
    for (std::size_t i = 0; i < side; ++i) {
      const double fraction = static_cast<double>(i) / side;
      study.incidences.push_back(-0.07 + 0.1 * fraction);
      study.twists.push_back(-0.08 + 0.17 * fraction);
    }
  }

  // Seconds that the whole grid takes.
  double run(vlm::ThreadPool& pool) const {
    return seconds([&] {
      vlm::run_twist_study(
          input.craft, responses, study, [](std::span<const vlm::TwistPoint> points) { keep(points); }, {},
          pool);
    });
  }
};

// Settings as many as stay in the second cache with their figures, gone through until they are a million.
constexpr std::size_t chunk = 4000;

struct Columns {
  std::array<std::vector<double>, 3> setting; // t, a and b
  std::array<std::vector<double>, num_trimmed_figures> figure;
  std::array<double*, num_trimmed_figures> result{};

  Columns() {
    for (std::size_t i = 0; i < chunk; ++i) {
      const double fraction = static_cast<double>(i) / chunk;
      setting[0].push_back(0.1 * fraction);
      setting[1].push_back(-0.06 + 0.1 * fraction);
      setting[2].push_back(0.09 - 0.17 * fraction);
    }
    for (std::size_t k = 0; k < figure.size(); ++k)
      figure[k].resize(chunk), result[k] = figure[k].data();
  }
};

template <class Work>
double by_chunks(const Work& work) {
  return seconds([&] {
    for (std::size_t i = 0; i < side * side; i += chunk)
      work();
  });
}

constexpr double ns_a_point = 1e9 / (side * side);

Measured study_forces() {
  const Demo d;
  Columns c;
  const double *t = c.setting[0].data(), *a = c.setting[1].data(), *b = c.setting[2].data();
  const auto with = [&](auto loop) {
    return [&, loop] {
      return by_chunks([&] {
        loop(d.forms, t, a, b, chunk, c.result.data());
        keep(c.figure);
      });
    };
  };
  return race(30, ns_a_point, with(vlm::twist_kernel().loads), with(bare_loops().loads));
}

Measured study_trimmed() {
  Demo d;
  d.study.local_lift = false;
  Columns c;
  const double lift = d.study.lift_coefficient * d.responses.pressure_area;
  return race(
      20, ns_a_point, [&] { return d.run(d.alone); },
      [&] {
        return by_chunks([&] {
          bare_loops().trimmed(d.forms, lift, c.setting[1].data(), c.setting[2].data(), chunk,
                               c.result.data());
          keep(c.figure);
        });
      });
}

Measured threads_study() {
  Demo d;
  return race(
      10, 1e3, [&] { return d.run(d.both); }, [&] { return d.run(d.alone); });
}

// A program's run from start to end.
double run_program(const std::string& command) {
  return seconds([&] {
    if (std::system((command + " > /dev/null").c_str()) != 0)
      throw std::runtime_error(command + " failed");
  });
}

// 100 × 100 settings of the demo craft from start to closed record. The set-up is what the program does
// before its study: the case, the wake's angle (some factorisations) and the responses (one more).
Measured twist_study_whole() {
  const std::string folder = VLM_BENCH_DIR, demo = VLM_CASES_DIR "/lake-rescue/heron-880.toml";
  return race(
      10, 1e3,
      [&] {
        return run_program(VLM_BIN_DIR "/vlm-twist '" + demo +
                           "' --incidence-deg -4:5.9:0.1 --twist-deg -5:4.9:0.1 -o '" + folder +
                           "/twist.h5'");
      },
      [&] {
        const double set_up = seconds([&] {
          vlm::ThreadPool pool;
          const vlm::Case c = vlm::read_case(demo);
          const double lift = vlm::lift_coefficient(c.operation, c.craft);
          const vlm::TwistStudy study{1, vlm::linear_twist(), {}, {}, lift, true};
          const double wake = vlm::operating_wake(c.craft, c.lattice, c.wake, lift, pool).angle;
          const vlm::Responses r = vlm::twist_responses(c.craft, c.lattice, study, wake, pool);
          keep(r);
        });
        return set_up + run_program("'" + folder + "/vlm-bench-empty-hdf5' '" + folder + "/empty.h5'");
      });
}

} // namespace

std::vector<Figure> study_figures() {
  return {
      {"responses", "12 causes, all forms / set-up, 1 cause", "ms", 1.5, responses},
      {"study_forces", "loads of a setting / bare loop", "ns", 1.1, study_forces},
      {"study_trimmed", "trimmed setting / bare loop", "ns", 1.1, study_trimmed},
      {"twist_study_whole", "10,000 settings / set-up, empty HDF5", "ms", 2, twist_study_whole},
      {"threads_study", "a million settings, 2 threads / 1", "ms", 0.59, threads_study},
  };
}

} // namespace bench
