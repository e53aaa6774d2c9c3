// Sweeps the angle of attack of a craft and prints its polar.

#include <iostream>

#include <vlm/base/error.hpp>
#include <vlm/base/thread_pool.hpp>
#include <vlm/file/polar_output.hpp>
#include <vlm/file/record.hpp>
#include <vlm/study/panel_circulation.hpp>

#include "options.hpp"
#include "program.hpp"

namespace {

using namespace vlm;
using namespace vlm::apps;

const Program program{
    "vlm-polar", "vlm-polar CASE --angle-deg FROM:TO:STEP [OPTION]...",
    "Lift, induced drag, moment, centre of lift and neutral point of a craft at angles of attack.\n"
    "Without an angle for the wake it lies along the stream in the middle of the sweep.",
    "  vlm-polar heron-880.toml --angle-deg -2:8:0.5\n"
    "  vlm-polar heron-880.toml --angle-deg 3 --strips 40 --strips stabilizer=24\n"
    "  vlm-polar heron-880.toml --angle-deg -2:8:0.5 --json -o heron.h5\n"};

void choose_wake(const Command& command, Case& input, const std::vector<double>& alphas, StudyHead& head) {
  head.wake_choice = "as given";
  if (command.has("relay-wake")) {
    if (command.has("wake") || command.has("wake-angle-deg"))
      throw Error("--relay-wake: found it beside --wake or --wake-angle-deg, wanted one of them");
    input.wake = {};
    head.wake_choice = "--relay-wake";
  } else if (input.wake.along == WakeChoice::Along::body) {
    head.wake_angle = 0;
  } else if (input.wake.angle) {
    head.wake_angle = input.wake.angle;
  } else {
    head.wake_angle = (alphas.front() + alphas.back()) / 2;
    head.wake_choice = "the middle of the sweep";
  }
}

int polar_program(int argc, const char* const* argv) {
  boost::program_options::options_description own("Options", 98, 60);
  own.add_options()("angle-deg", boost::program_options::value<std::string>()->value_name("FROM:TO:STEP"),
                    "angles of attack, or a single one; required")(
      "relay-wake", "lay the wake anew along the stream at each angle; takes longer");
  const auto command = read_command(program, own, argc, argv);
  if (!command)
    return finish(true);

  const RunControl control = study_control();
  const Form form = command->form();
  PolarResult result;
  result.alphas = command->angles("angle-deg");
  ThreadPool pool(command->num_threads());
  Case input = command->read_case();
  const Lattice lattice = make_lattice(input.craft, input.lattice);
  StudyHead head{program.name, input, lattice, std::nullopt, {}};
  choose_wake(*command, input, result.alphas, head);

  std::optional<RecordWriter> record;
  PolarSink to_record;
  if (const auto path = command->record()) {
    record.emplace(*path, input, lattice, head.wake_angle, command->line);
    if (record->note())
      input.notes.push_back(*record->note());
    to_record = record->polar_sink();
  }
  const PolarSink sink = [&](std::span<const PolarPoint> points) {
    result.points.insert(result.points.end(), points.begin(), points.end());
    if (to_record)
      to_record(points);
  };
  result.summary = polar(input.craft, input.lattice, result.alphas, head.wake_angle, sink, control, pool);
  if (record) {
    if (result.summary.complete) {
      const double alpha = (result.alphas.front() + result.alphas.back()) / 2;
      const Responses responses =
          make_responses(input.craft, input.lattice, head.wake_angle.value_or(alpha), {}, pool);
      record->write_panels(panel_circulation(responses, alpha, {}), alpha);
    }
    record->close(result.summary.complete);
  }
  (form == Form::json  ? write_polar_json
   : form == Form::csv ? write_polar_csv
                       : write_polar_table)(std::cout, head, result);
  return finish(result.summary.complete);
}

} // namespace

int main(int argc, char** argv) {
  return run(program.name, [&] { return polar_program(argc, argv); });
}
