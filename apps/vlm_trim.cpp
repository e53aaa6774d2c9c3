// Balances a craft under its rider, at speeds.

#include <algorithm>
#include <iostream>
#include <memory>
#include <numbers>

#include <vlm/base/error.hpp>
#include <vlm/base/thread_pool.hpp>
#include <vlm/file/handling_output.hpp>
#include <vlm/file/internal_loads_output.hpp>
#include <vlm/file/reach_output.hpp>
#include <vlm/file/record.hpp>
#include <vlm/file/text_table.hpp>
#include <vlm/file/trim_output.hpp>
#include <vlm/file/with_record.hpp>
#include <vlm/force/lift_limit.hpp>
#include <vlm/study/handling_study.hpp>

#include "options.hpp"
#include "program.hpp"

namespace {

using namespace vlm;
using namespace vlm::apps;

const Program program{
    "vlm-trim", "vlm-trim CASE --speeds-m-s FROM:TO:STEP [OPTION]...",
    "The angle of attack and the load station that balance a craft under its rider at speeds, with drag,\n"
    "power, take-off, best glide and top speed. The case says what the foil carries: [rider], [deck],\n"
    "[[mass]], [drive]. The wake lies along the stream at each speed's own angle. In place of the balance:\n"
    "handling and natural motions at these speeds; at one speed, internal loads, or the reach of tips to\n"
    "the still surface in a bank.",
    "  vlm-trim heron-880.toml --speeds-m-s 4:8:0.5\n"
    "  vlm-trim heron-880.toml --speeds-m-s 4:7:1 --load-station-mm -120 --incidence-deg -4:4\n"
    "  vlm-trim heron-880.toml --speeds-m-s 5:8:1 --handling\n"
    "  vlm-trim heron-880.toml --speeds-m-s 9 --internal-loads --load-factor 3\n"
    "  vlm-trim heron-880.toml --speeds-m-s 5.5 --reach-bank-deg 0:40:5 -o reach.h5\n"};

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
  if (bounds->first < -45 || bounds->second > 45)
    throw Error("--incidence-deg: found " + command.text("incidence-deg") +
                ", wanted bounds within 45 degrees");
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
  std::string refusal;
  bool stalls = false;
  for (const TrimPoint& p : result.points) {
    if (p.solved() && !beyond_lift_limit(p.figures.share_of_limit))
      return;
    stalls = stalls || p.solved();
    if (refusal.empty())
      refusal = p.refusal;
  }
  if (!stalls)
    throw Error("--speeds-m-s: " + refusal);
  std::string why =
      "--speeds-m-s: the craft cannot lift the weight at any of these speeds without some strip beyond "
      "its section's max_lift_coefficient";
  if (result.marks && result.marks->take_off.at)
    why += "; it takes off at " + fixed(result.marks->take_off.at->speed, 2) + " m/s";
  throw Error(why);
}

// Loads of a wing that has stalled are not those of the lattice.
void check_limit(const Craft& craft, const TrimmedCraft& t) {
  const auto hardest = nearest_to_limit(craft, t);
  if (hardest && beyond_lift_limit(hardest->share))
    throw Error("--speeds-m-s: at " + fixed(t.speed, 2) + " m/s a strip of \"" +
                craft.surfaces[t.responses.system.lattice().strips[hardest->strip].surface].name +
                "\" would need " + fixed(100 * hardest->share, 0) +
                " % of its section's max_lift_coefficient: go faster or carry less");
}

// What every view of a trim shares.
struct Setting {
  const Command& command;
  Case& input;
  const Ride ride;
  const std::vector<double> speeds;
  ThreadPool& pool;

  StudyHead head(const Lattice& lattice) const {
    const auto given = given_angle(input.wake);
    return {program.name, input, lattice, given, given ? "as given" : "each speed's own", ride.body};
  }
  StudyHead head(const TrimmedCraft& t) const {
    StudyHead head = this->head(t.responses.system.lattice());
    if (!head.wake_angle)
      head.wake_angle = t.responses.wake_angle, head.wake_choice = "the angle of the trim";
    return head;
  }
};

std::unique_ptr<RecordWriter> start(const Setting& s, const StudyHead& head) {
  return start_record(s.input, head.lattice, head.wake_angle, {s.command.record(), s.command.line});
}

template <class Result, class Table, class Json, class Csv>
void put_out(const Command& command, const StudyHead& head, const Result& result, Table table, Json json,
             Csv csv) {
  const Form form = command.form();
  form == Form::json  ? json(std::cout, head, result)
  : form == Form::csv ? csv(std::cout, head, result)
                      : table(std::cout, head, result);
}

double only_speed(const Setting& s, const std::string& option) {
  if (s.speeds.size() != 1)
    throw Error("--" + option + ": found " + std::to_string(s.speeds.size()) +
                " speeds, wanted a single one, such as --speeds-m-s 5.5");
  return s.speeds.front();
}

// Every view watches for Ctrl-C from its record on, if its study heeds it: what comes before ends at once.
int balance_program(const Setting& s, std::optional<FittedIncidence> fitted) {
  const Lattice lattice = make_lattice(s.input.craft, s.input.lattice);
  const StudyHead head = s.head(lattice);
  const RunControl control = study_control();
  const auto record = start(s, head);
  TrimResult result = trim_with_marks(s.ride, s.speeds, control, s.pool);
  result.fitted = std::move(fitted);
  if (result.summary.complete)
    check_any(result);
  if (record && !result.points.empty()) {
    record->write_trim(result);
    record->close(result.summary.complete);
  }
  put_out(s.command, head, result, write_trim_table, write_trim_json, write_trim_csv);
  return finish(result.summary.complete);
}

int handling_program(const Setting& s) {
  const Lattice lattice = make_lattice(s.input.craft, s.input.lattice);
  const StudyHead head = s.head(lattice);
  const RunControl control = study_control();
  const auto record = start(s, head);
  HandlingResult result;
  result.num_wanted = s.speeds.size();
  result.summary = handling_at_speeds(
      s.ride, s.speeds, [&](const HandlingPoint& point) { result.points.push_back(point); }, control, s.pool);
  if (result.summary.complete && std::none_of(result.points.begin(), result.points.end(),
                                              [](const HandlingPoint& p) { return p.handling.has_value(); }))
    throw Error("--speeds-m-s: " + result.points.front().refusal);
  if (record && !result.points.empty()) {
    record->write_handling(result.points);
    record->close(result.summary.complete);
  }
  put_out(s.command, head, result, write_handling_table, write_handling_json, write_handling_csv);
  return finish(result.summary.complete);
}

int internal_loads_program(const Setting& s) {
  const double speed = only_speed(s, "internal-loads");
  InternalLoadResult result;
  result.load_factor = s.command.number("load-factor", 0.01, 20).value_or(1);
  result.speed = speed;
  const TrimmedCraft t = trimmed_craft(at_load_factor(s.ride, result.load_factor), speed, s.pool);
  check_limit(s.ride.craft, t);
  const StudyHead head = s.head(t);
  const auto record = start(s, head);
  result.condition.alpha = t.state.alpha;
  result.beams = internal_loads(s.ride.craft, t.responses, result.condition, {}, speed, s.pool);
  result.summary = {1, true, t.num_factorisations, t.num_solves};
  if (record) {
    record->write_internal_loads(result);
    record->close(true);
  }
  put_out(s.command, head, result, write_internal_loads_table, write_internal_loads_json,
          write_internal_loads_csv);
  return finish(true);
}

int reach_program(const Setting& s) {
  const double speed = only_speed(s, "reach-bank-deg");
  if (!s.input.craft.still_surface.depth)
    throw Error(
        "--reach-bank-deg: found no depth to go with it, wanted depth_mm under [water] or --depth-mm");
  ReachResult result;
  result.study.depths = {*s.input.craft.still_surface.depth};
  result.study.banks = s.command.banks("reach-bank-deg");
  const TrimmedCraft t = trimmed_craft(s.ride, speed, s.pool);
  check_limit(s.ride.craft, t);
  const StudyHead head = s.head(t);
  const RunControl control = study_control();
  const auto record = start(s, head);
  result.study.condition.alpha = t.state.alpha;
  result.summary = run_reach_study(
      s.input.craft, s.input.lattice, result.study,
      [&](const ReachPoint& point) { result.points.push_back(point); }, control, s.pool);
  if (record && !result.points.empty()) {
    record->write_reach(result.study, result.points);
    record->close(result.summary.complete);
  }
  put_out(s.command, head, result, write_reach_table, write_reach_json, write_reach_csv);
  return finish(result.summary.complete);
}

// The one of several options that is there, or none; more than one is refused.
std::string chosen_view(const Command& command) {
  std::string chosen;
  for (const char* option : {"handling", "internal-loads", "reach-bank-deg", "load-station-mm"})
    if (command.has(option)) {
      if (!chosen.empty())
        throw Error("--" + std::string(option) + ": found it beside --" + chosen + ", wanted one of the two");
      chosen = option;
    }
  if (command.has("load-factor") && chosen != "internal-loads")
    throw Error("--load-factor: found no --internal-loads to go with it, wanted both");
  return chosen;
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
      "reference surface and the mast")(
      "handling",
      "stiffness, damping, neutral points and natural motions at the speeds, in place of the balance")(
      "internal-loads", "shear, bending and torsion of the parts at a single speed, in place of the balance")(
      "load-factor", text("N"), "how many times its weight the craft then carries; 1 by itself")(
      "reach-bank-deg", text("FROM:TO:STEP"),
      "depths of the tips, what breaches first and loads there at these banks and a single speed, in place "
      "of "
      "the balance");
  const auto command = read_command(program, own, argc, argv);
  if (!command)
    return finish(true);
  command->form(); // refuses two at once before anything is solved
  ThreadPool pool(command->num_threads());
  Case input = command->read_case();
  set_depth(*command, input);
  const std::vector<double> speeds = command->speeds("speeds-m-s");
  if (!input.loading)
    throw Error(input.path.string() +
                ": found no [rider], wanted [rider] and [deck] (docs/case.md) to trim it");
  input.operation.speed.reset();

  const std::string view = chosen_view(*command);
  std::optional<FittedIncidence> fitted = fit(*command, input, speeds, pool);
  if (view == "internal-loads" || view == "reach-bank-deg")
    input.operation.speed = speeds.front();
  const Setting setting{*command, input,
                        make_ride(input.craft, input.lattice, input.wake, input.drag, *input.loading), speeds,
                        pool};
  return view == "handling"         ? handling_program(setting)
         : view == "internal-loads" ? internal_loads_program(setting)
         : view == "reach-bank-deg" ? reach_program(setting)
                                    : balance_program(setting, std::move(fitted));
}

} // namespace

int main(int argc, char** argv) {
  return run(program.name, [&] { return trim_program(argc, argv); });
}
