// Sizes of a range, or generations, of foil boards side by side.

#include <iostream>
#include <numbers>

#include <vlm/base/error.hpp>
#include <vlm/base/thread_pool.hpp>
#include <vlm/file/comparison_output.hpp>
#include <vlm/file/with_record.hpp>

#include "options.hpp"
#include "program.hpp"

namespace {

using namespace vlm;
using namespace vlm::apps;

const Program program{
    "vlm-compare", "vlm-compare CASE CASE... [OPTION]...",
    "Sizes of a range, or generations, of foil boards side by side: size, lift at equal speed and\n"
    "angle, the area that lifts like the first, balance, stiffness, marked speeds, the steps between\n"
    "sizes; the place of each mast in the board's track, and the stabilizers that stand in for older\n"
    "ones. The cases say what the foils carry: [rider], [deck], [[mass]], [drive].",
    "  vlm-compare heron-720.toml heron-880.toml heron-1050.toml --speeds-m-s 5.5:8:0.5\n"
    "  vlm-compare heron-880.toml heron-1050.toml --speed-m-s 6 --angle-deg 3 --track-mm 250\n"
    "  vlm-compare grebe-850.toml heron-880.toml --swap heron-880.toml heron-720.toml --csv > range.csv\n",
    true};

constexpr double mm_per_m = 1000, degrees_per_radian = 180 / std::numbers::pi;

std::vector<Case> read_cases(const Command& command, const std::vector<std::string>& files) {
  std::vector<Case> cases;
  for (const std::string& file : files)
    cases.push_back(command.read_case(file));
  return cases;
}

Ride ride_of(const Case& input) {
  if (!input.loading)
    throw Error(input.path.string() +
                ": found no [rider], wanted [rider] and [deck] (docs/case.md) to balance it");
  try {
    return make_ride(input.craft, input.lattice, input.wake, input.drag, *input.loading);
  } catch (const Error& error) {
    throw Error(input.path.string() + ": " + error.what(), error.kind());
  }
}

// A new stabilizer needs no rider.
Stabilizer stabilizer_of(const Case& input) {
  const std::size_t i = stabilizer_index(input.craft);
  return {input.craft.surfaces[i], input.lattice.counts[i]};
}

int compare_program(int argc, const char* const* argv) {
  namespace po = boost::program_options;
  po::options_description own("Options", 98, 60);
  const auto text = [](const char* name) { return po::value<std::string>()->value_name(name); };
  own.add_options()("angle-deg", text("A"),
                    "equal angle of attack; by itself the one that balances the first craft")(
      "speeds-m-s", text("FROM:TO:STEP"),
      "speeds to balance at, and to seek take-off, best glide and top speed from; by itself the common "
      "speed")(
      "track-mm", text("PLACE"),
      "the first craft's mast axis in the board's track, aft of any mark: where the others' must stand")(
      "swap", po::value<std::vector<std::string>>()->multitoken()->value_name("CASE..."),
      "cases whose stabilizers stand in for those of the crafts compared");
  const auto command = read_command(program, own, argc, argv);
  if (!command)
    return finish(true);
  const RunControl control = study_control();
  const Form form = command->form();
  ThreadPool pool(command->num_threads());
  if (command->files.size() < 2)
    throw Error("a range with one craft: found one case, wanted two or more");

  ComparisonResult result;
  result.program = program.name;
  result.cases = read_cases(*command, command->files);
  std::vector<Ride> rides;
  for (const Case& input : result.cases)
    rides.push_back(ride_of(input));
  ComparisonChoice& choice = result.choice;
  if (!result.cases.front().operation.speed)
    throw Error("no speed: write --speed-m-s V, or speed_m_s under [operation] of " + command->files.front());
  choice.speed = *result.cases.front().operation.speed;
  if (const auto angle = command->number("angle-deg", -25, 25))
    choice.angle = *angle / degrees_per_radian;
  choice.speeds = command->has("speeds-m-s") ? command->speeds("speeds-m-s") : std::vector{choice.speed};
  if (const auto track = command->number("track-mm", -1e4, 1e4))
    choice.track = *track / mm_per_m;
  if (command->has("swap")) {
    result.new_family = read_cases(*command, command->values["swap"].as<std::vector<std::string>>());
    for (const Case& input : result.new_family)
      choice.new_family.push_back(stabilizer_of(input));
  }
  Case& first = result.cases.front();
  const auto record = start_record(first, make_lattice(first.craft, first.lattice), given_angle(first.wake),
                                   {command->record(), command->line});
  result.comparison = compare(rides, choice, control, pool);
  if (record && !result.comparison.crafts.empty()) {
    record->write_comparison(result);
    record->close(result.comparison.complete);
  }
  (form == Form::json  ? write_comparison_json
   : form == Form::csv ? write_comparison_csv
                       : write_comparison_table)(std::cout, result);
  return finish(result.comparison.complete);
}

} // namespace

int main(int argc, char** argv) {
  return run(program.name, [&] { return compare_program(argc, argv); });
}
