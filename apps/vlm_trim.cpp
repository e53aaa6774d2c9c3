// Balances a craft under its rider, at speeds.

#include <iostream>
#include <numbers>

#include <vlm/base/error.hpp>
#include <vlm/base/thread_pool.hpp>
#include <vlm/file/trim_output.hpp>

#include "options.hpp"
#include "program.hpp"

namespace {

using namespace vlm;
using namespace vlm::apps;

const Program program{
    "vlm-trim", "vlm-trim CASE --speeds-m-s FROM:TO:STEP [OPTION]...",
    "The angle of attack and the load station that balance a craft under its rider at speeds, with drag,\n"
    "power, take-off, best glide and top speed. The case says what the foil carries: [rider], [deck],\n"
    "[[mass]], [drive]. The wake lies along the stream at each speed's own angle.",
    "  vlm-trim heron-880.toml --speeds-m-s 4:8:0.5\n"
    "  vlm-trim heron-880.toml --speeds-m-s 4:7:1 --load-station-mm -120 --incidence-deg -4:4\n"
    "  vlm-trim heron-880.toml --speeds-m-s 4:8:0.5 --csv > heron-880.csv\n"};

constexpr double mm_per_m = 1000, degrees_per_radian = 180 / std::numbers::pi;

// The incidence that puts the load station where it is wanted, if the command asks for it; the case then has
// it.
std::optional<FittedIncidence> fit(const Command& command, Case& input, const std::vector<double>& speeds,
                                   ThreadPool& pool) {
  const auto wanted = command.number("load-station-mm", -1e4, 1e4);
  const auto bounds = command.interval("incidence-deg");
  if (!wanted) {
    for (const char* option : {"incidence-deg", "surface"})
      if (command.has(option))
        throw Error(std::string("--") + option + ": found no --load-station-mm to go with it, wanted both");
    return std::nullopt;
  }
  if (!bounds)
    throw Error("--load-station-mm: found no bounds for the incidence, wanted --incidence-deg FROM:TO beside "
                "it");
  FittedIncidence fitted;
  fitted.surface = surface_to_set(command, input.craft);
  fitted.wanted = *wanted / mm_per_m;
  fitted.low = bounds->first / degrees_per_radian, fitted.high = bounds->second / degrees_per_radian;
  fitted.speeds = speeds;
  const Ride ride = make_ride(input.craft, input.lattice, input.wake, input.drag, *input.loading);
  fitted.fit = fit_incidence(ride, fitted.surface, speeds, fitted.wanted, fitted.low, fitted.high, pool);
  input.craft.surfaces[fitted.surface].incidence = fitted.fit.incidence;
  return fitted;
}

// A range of speeds at which the craft never carries the weight is no result.
void check_any(const TrimResult& result) {
  std::string why;
  for (const TrimPoint& p : result.points) {
    if (p.solved() && !(p.nearest_limit && p.nearest_limit->hardest.share > 1))
      return;
    if (why.empty() && !p.solved())
      why = p.refusal;
  }
  if (why.empty()) {
    why = "the craft cannot lift the weight at any of these speeds without some strip beyond its section's "
          "max_lift_coefficient";
    if (result.marks && result.marks->take_off.at)
      why += "; it takes off at " + std::to_string(result.marks->take_off.at->speed) + " m/s";
  }
  throw Error("--speeds-m-s: " + why);
}

int trim_program(int argc, const char* const* argv) {
  namespace po = boost::program_options;
  po::options_description own("Options", 98, 60);
  const auto text = [](const char* name) { return po::value<std::string>()->value_name(name); };
  own.add_options()("speeds-m-s", text("FROM:TO:STEP"), "speeds, or a single one; required")(
      "depth-mm", text("DEPTH"), "depth of the origin below the still surface, in place of the case's")(
      "load-station-mm", text("PLACE"),
      "seek the incidence that puts the load station here, aft of the mast axis along the deck, over all the "
      "speeds (least squares)")("incidence-deg", text("FROM:TO"), "bounds of that incidence")(
      "surface", text("NAME"),
      "surface whose incidence is sought; by itself the only one beside the "
      "reference surface and the mast");
  const auto command = read_command(program, own, argc, argv);
  if (!command)
    return finish(true);
  const RunControl control = study_control();
  const Form form = command->form();
  ThreadPool pool(command->num_threads());
  Case input = command->read_case();
  set_depth(*command, input);
  const std::vector<double> speeds = command->speeds("speeds-m-s");
  if (!input.loading)
    throw Error(input.path.string() +
                ": found no [rider], wanted [rider] and [deck] (docs/case.md) to trim it");
  input.operation.speed.reset();

  TrimResult result;
  result.fitted = fit(*command, input, speeds, pool);
  const Ride ride = make_ride(input.craft, input.lattice, input.wake, input.drag, *input.loading);
  const Lattice lattice = make_lattice(input.craft, input.lattice);
  const StudyHead head{program.name, input, lattice, std::nullopt, "each speed's own", ride.body};
  result.summary = trim_at_speeds(
      ride, speeds, [&](const TrimPoint& point) { result.points.push_back(point); }, control, pool);
  if (const auto known = solved_figures(result.points); result.summary.complete && !known.empty())
    result.marks = speed_marks(ride, known, control, pool);
  if (result.summary.complete)
    check_any(result);
  (form == Form::json  ? write_trim_json
   : form == Form::csv ? write_trim_csv
                       : write_trim_table)(std::cout, head, result);
  return finish(result.summary.complete);
}

} // namespace

int main(int argc, char** argv) {
  return run(program.name, [&] { return trim_program(argc, argv); });
}
