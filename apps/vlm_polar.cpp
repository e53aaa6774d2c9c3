// Sweeps the angle of attack of a craft and prints its polar.

#include <algorithm>
#include <iostream>
#include <numbers>

#include <vlm/base/error.hpp>
#include <vlm/base/thread_pool.hpp>
#include <vlm/file/drag_output.hpp>
#include <vlm/file/polar_output.hpp>
#include <vlm/file/with_record.hpp>

#include "options.hpp"
#include "program.hpp"

namespace {

using namespace vlm;
using namespace vlm::apps;

const Program program{
    "vlm-polar", "vlm-polar CASE --angle-deg FROM:TO:STEP [OPTION]...",
    "Lift, drag, moment, centre of lift and neutral point of a craft at angles of attack; with\n"
    "--derivatives its stability derivatives at one angle; with --speeds-m-s, and no angle, the drag of\n"
    "each part at speeds.\n"
    "Without an angle for the wake it lies along the stream in the middle of the sweep.\n"
    "Sideslip and rates hold for the whole sweep, and the wake lies without them.",
    "  vlm-polar heron-880.toml --angle-deg -2:8:0.5\n"
    "  vlm-polar heron-880.toml --angle-deg 3 --strips 40 --strips stabilizer=24\n"
    "  vlm-polar heron-880.toml --angle-deg 3 --derivatives --depth-mm 320\n"
    "  vlm-polar heron-880.toml --angle-deg 0:6:1 --sideslip-deg 5 --roll-rate-deg-s 20\n"
    "  vlm-polar heron-880.toml --speeds-m-s 4:8:1\n"
    "  vlm-polar heron-880.toml --angle-deg -2:8:0.5 --json -o heron.h5\n"};

// The angle that the wake is laid at, none for each its own, and what chose it.
struct Choice {
  std::optional<double> angle;
  std::string by = "as given";
};

Choice choose_wake(const Command& command, Case& input, double middle) {
  if (command.has("relay-wake")) {
    if (command.has("wake") || command.has("wake-angle-deg"))
      throw Error("--relay-wake: found it beside --wake or --wake-angle-deg, wanted one of them");
    input.wake = {};
    return {std::nullopt, "--relay-wake"};
  }
  if (input.wake.along == WakeChoice::Along::body)
    return {0.0};
  if (input.wake.angle)
    return {input.wake.angle};
  return {middle, "the middle of the sweep"};
}

std::vector<Condition> conditions(const Command& command, const Case& input,
                                  const std::vector<double>& alphas) {
  constexpr double radians_per_degree = std::numbers::pi / 180, most_rate = 1000;
  const auto rate = [&](const std::string& option, double length) {
    const auto degrees = command.number(option, -most_rate, most_rate);
    if (degrees && !input.operation.speed)
      throw Error("--" + option +
                  ": found no speed to go with it, wanted speed_m_s under [operation] or --speed-m-s");
    return degrees ? *degrees * radians_per_degree * length / (2 * *input.operation.speed) : 0;
  };
  const Reference size = reference(input.craft);
  Condition held;
  held.beta = command.number("sideslip-deg", -20, 20).value_or(0) * radians_per_degree;
  held.rates = {rate("roll-rate-deg-s", size.span), rate("pitch-rate-deg-s", size.chord),
                rate("yaw-rate-deg-s", size.span)};
  std::vector<Condition> all = at_angles(alphas);
  for (Condition& condition : all)
    condition = {condition.alpha, held.beta, held.rates};
  return all;
}

void set_still_surface(const Command& command, Case& input) {
  set_depth(command, input);
  StillSurface& still = input.craft.still_surface;
  constexpr double degrees_per_radian = 180 / std::numbers::pi;
  if (const auto bank = command.number("bank-deg", -79, 79)) {
    if (!still.depth && !still.clearance)
      throw Error("--bank-deg: found no depth to go with it, wanted depth_mm or clearance_mm under [water], "
                  "or --depth-mm");
    still.bank = *bank / degrees_per_radian;
  }
}

// The drag at several speeds.
int speed_program(const Command& command, Case& input, Form form, const RunControl& control,
                  ThreadPool& pool) {
  for (const char* option : {"angle-deg", "derivatives", "relay-wake", "record", "sideslip-deg",
                             "roll-rate-deg-s", "pitch-rate-deg-s", "yaw-rate-deg-s"})
    if (command.has(option))
      throw Error(std::string("--") + option + ": found it beside --speeds-m-s, wanted one of the two");
  if (!input.operation.mass)
    throw Error("--speeds-m-s: found no mass to carry, wanted mass_kg under [operation]");
  const std::vector<double> speeds = command.speeds("speeds-m-s");
  input.operation.speed.reset();
  const Lattice lattice = make_lattice(input.craft, input.lattice);
  StudyHead head{program.name, input, lattice, std::nullopt, "each speed's own", body_figures(input.craft)};
  SpeedResult result;
  result.summary = drag_at_speeds(
      input.craft, input.lattice, input.wake, input.drag, *input.operation.mass * standard_gravity, speeds,
      [&](const SpeedPoint& point) { result.points.push_back(point); }, control, pool);
  if (result.summary.complete && std::none_of(result.points.begin(), result.points.end(),
                                              [](const SpeedPoint& p) { return p.drag.has_value(); }))
    throw Error("--speeds-m-s: " + result.points.front().refusal);
  (form == Form::json  ? write_drag_json
   : form == Form::csv ? write_drag_csv
                       : write_drag_table)(std::cout, head, result);
  return finish(result.summary.complete);
}

int polar_program(int argc, const char* const* argv) {
  boost::program_options::options_description own("Options", 98, 60);
  own.add_options()("angle-deg", boost::program_options::value<std::string>()->value_name("FROM:TO:STEP"),
                    "angles of attack, or a single one; required without --speeds-m-s")(
      "sideslip-deg", boost::program_options::value<std::string>()->value_name("ANGLE"),
      "sideslip throughout, positive when water comes from starboard")(
      "roll-rate-deg-s", boost::program_options::value<std::string>()->value_name("RATE"),
      "roll rate throughout, starboard down positive; needs a speed")(
      "pitch-rate-deg-s", boost::program_options::value<std::string>()->value_name("RATE"),
      "pitch rate throughout, nose up positive; needs a speed")(
      "yaw-rate-deg-s", boost::program_options::value<std::string>()->value_name("RATE"),
      "yaw rate throughout, nose to starboard positive; needs a speed")(
      "depth-mm", boost::program_options::value<std::string>()->value_name("DEPTH"),
      "depth of the origin below the still surface, in place of the case's")(
      "bank-deg", boost::program_options::value<std::string>()->value_name("ANGLE"),
      "roll angle by the still surface, starboard down positive")(
      "speeds-m-s", boost::program_options::value<std::string>()->value_name("FROM:TO:STEP"),
      "in place of the polar, the drag by part and cause at these speeds, each at the angle that carries the "
      "mass")("derivatives", "stability derivatives at a single angle, in place of the table of the polar")(
      "relay-wake", "lay the wake anew along the stream at each angle; takes longer");
  const auto command = read_command(program, own, argc, argv);
  if (!command)
    return finish(true);

  const RunControl control = study_control();
  const Form form = command->form();
  ThreadPool pool(command->num_threads());
  Case input = command->read_case();
  set_still_surface(*command, input);
  if (command->has("speeds-m-s"))
    return speed_program(*command, input, form, control, pool);
  const std::vector<double> alphas = command->angles("angle-deg");
  PolarChoice polar{conditions(*command, input, alphas), {}, command->has("derivatives")};
  if (polar.derivatives && alphas.size() > 1)
    throw Error("--derivatives: found " + std::to_string(alphas.size()) +
                " angles of attack, wanted a single one, such as --angle-deg 3");
  if (polar.derivatives && form == Form::csv)
    throw Error("--derivatives: found it beside --csv, wanted a table, --json or -o");
  const double middle = middle_angle(polar.conditions);
  const Choice wake = choose_wake(*command, input, middle);
  polar.wake_angle = wake.angle;
  const Lattice lattice = make_lattice(input.craft, input.lattice, wake.angle.value_or(middle));
  const StudyHead head{program.name, input, lattice, wake.angle, wake.by, body_figures(input.craft)};
  const PolarResult result =
      polar_with_record(input, lattice, polar, {command->record(), command->line}, control, pool);
  (form == Form::json  ? write_polar_json
   : form == Form::csv ? write_polar_csv
                       : write_polar_table)(std::cout, head, result);
  return finish(result.summary.complete);
}

} // namespace

int main(int argc, char** argv) {
  return run(program.name, [&] { return polar_program(argc, argv); });
}
