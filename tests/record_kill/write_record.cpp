// Writes a record of a twist study, as large as wanted, in little time: few panels, many settings.
// Usage: write_record RECORD SETTINGS, the number of settings of incidence and of twist.

#include <cstddef>
#include <iostream>
#include <string>

#include <vlm/base/error.hpp>
#include <vlm/file/record.hpp>

namespace {

void write(const std::string& path, std::size_t settings) {
  vlm::Case c = vlm::read_case(VLM_TESTS_DIR "/apps/swept.toml");
  for (vlm::PanelCounts& counts : c.lattice.counts)
    counts = {2, 2};
  vlm::TwistStudy study{1, vlm::linear_twist(), {}, {}, 0.5, true};
  for (std::size_t i = 0; i < settings; ++i) {
    study.incidences.push_back(1e-5 * static_cast<double>(i));
    study.twists.push_back(1e-5 * static_cast<double>(i));
  }
  constexpr double wake_angle = 0.08; // [rad]
  vlm::ThreadPool pool(1);
  const vlm::Responses responses = vlm::twist_responses(c.craft, c.lattice, study, wake_angle, pool);
  vlm::RecordWriter record(path, c, responses.system.lattice(), wake_angle, "write_record");
  vlm::run_twist_study(c.craft, responses, study, record.twist_sink(study), {}, pool);
  record.close(true);
}

} // namespace

int main(int argc, char** argv) {
  try {
    write(argc > 2 ? argv[1] : "", argc > 2 ? std::stoul(argv[2]) : 0);
  } catch (const vlm::Error& error) {
    std::cerr << "write_record: error: " << error.what() << '\n';
    return 1;
  }
}
