// Sets one surface of a craft to a grid of incidences and twists at a given lift, and prints where induced
// drag is least; or puts it elsewhere, larger or smaller, and prints what that does to drag and balance.

#include <algorithm>
#include <iostream>

#include <vlm/base/error.hpp>
#include <vlm/base/thread_pool.hpp>
#include <vlm/file/with_record.hpp>

#include "options.hpp"
#include "program.hpp"

namespace {

using namespace vlm;
using namespace vlm::apps;

constexpr std::size_t most_settings = 100'000'000; // a record of 11 GB
constexpr std::size_t most_placements = 100'000;

const Program program{
    "vlm-twist", "vlm-twist CASE --incidence-deg FROM:TO:STEP --twist-deg FROM:TO:STEP [OPTION]...",
    "Induced drag and balance of a craft at a given lift, for a grid of incidences and twists of one\n"
    "surface. Twist is the amplitude of a shape along the span, added to the twist that the case has.\n"
    "Without an angle for the wake it lies along the stream at the angle that carries the lift.\n"
    "With --moved-aft-mm, --moved-up-mm or --area-percent in place of --twist-deg: drag, balance and\n"
    "handling for a grid of places and sizes of the surface, under the rider of the case or at that lift.",
    "  vlm-twist heron-880.toml --incidence-deg -4:2:0.1 --twist-deg -6:6:0.2\n"
    "  vlm-twist heron-880.toml --surface stabilizer --shape late --incidence-deg -4:2:0.1 \\\n"
    "            --twist-deg -6:6:0.2 --centre-of-lift-mm -90:-60 --least-static-margin-percent 15\n"
    "  vlm-twist heron-880.toml --lift-coefficient 0.4 --incidence-deg -4:2:0.1 --twist-deg 0 --csv\n"
    "  vlm-twist heron-880.toml --moved-aft-mm -60:60:20 --area-percent 80:120:10 -o places.h5\n"};

boost::program_options::options_description own_options() {
  boost::program_options::options_description own("Options", 98, 60);
  const auto text = [](const char* name) {
    return boost::program_options::value<std::string>()->value_name(name);
  };
  auto add = own.add_options();
  add("surface", text("NAME"),
      "surface to set; with two surfaces, as a rule the one that is not the reference");
  add("incidence-deg", text("FROM:TO:STEP"),
      "its incidences, or a single one; required, but for a surface that is placed");
  add("twist-deg", text("FROM:TO:STEP"), "amplitudes of the twist shape, or a single one; required likewise");
  add("shape", text("NAME"), "twist shape of the case, or linear, as without it");
  add("lift-coefficient", text("CL"), "lift to carry, in place of the case's");
  add("mass-kg", text("M"), "lift to carry as a mass, in place of the case's; needs a speed");
  add("centre-of-lift-mm", text("FROM:TO"), "limits of the centre of lift, mm aft of the mast axis");
  add("least-static-margin-percent", text("X"),
      "limit of the static margin, percent of the mean chord: to the centre of lift, of a placed surface "
      "under the rider to the line of the load");
  add("moved-aft-mm", text("FROM:TO:STEP"),
      "places the surface: how far aft of where it is drawn, or forward below 0");
  add("moved-up-mm", text("FROM:TO:STEP"), "how far above where it is drawn, or below");
  add("area-percent", text("FROM:TO:STEP"),
      "its area, percent of that drawn; all lengths alike, about its position");
  add("load-station-mm", text("FROM:TO"),
      "of a placed surface: limits of the load station, mm aft of the mast axis");
  return own;
}

TwistShape twist_shape(const Command& command, const Case& input) {
  const std::string name = command.has("shape") ? command.text("shape") : linear_twist().name;
  std::string known = linear_twist().name;
  for (const TwistShape& shape : input.twist_shapes) {
    if (shape.name == name)
      return shape;
    known += ", " + shape.name;
  }
  if (name != linear_twist().name)
    throw Error("--shape: found '" + name + "', wanted one of " + known);
  return linear_twist();
}

void choose_lift(const Command& command, Operation& operation) {
  const auto coefficient = command.number("lift-coefficient", -5, 5);
  const auto mass = command.number("mass-kg", 0.001, 1e5);
  if (coefficient && mass)
    throw Error("--mass-kg: found it beside --lift-coefficient, wanted one of the two");
  if (coefficient) {
    operation.lift_coefficient = coefficient;
    operation.mass.reset();
  } else if (mass) {
    operation.mass = mass;
    operation.lift_coefficient.reset();
  }
  if (!operation.lift_coefficient && !operation.mass)
    throw Error("no lift to carry: write --lift-coefficient CL, or --mass-kg M and --speed-m-s V");
  if (!operation.lift_coefficient && !operation.speed)
    throw Error(
        "a mass without a speed: write --speed-m-s V as well, or --lift-coefficient CL in place of both");
}

TwistLimits limits_of(const Command& command) {
  TwistLimits limits;
  if (const auto centre = command.interval("centre-of-lift-mm")) {
    limits.centre_from = centre->first / 1000;
    limits.centre_to = centre->second / 1000;
  }
  if (const auto margin = command.number("least-static-margin-percent", -1000, 1000))
    limits.least_margin = *margin / 100;
  return limits;
}

TwistStudy study_of(const Command& command, const Case& input) {
  TwistStudy study;
  study.incidences = command.angles("incidence-deg");
  study.twists = command.angles("twist-deg");
  if (study.incidences.size() > most_settings / study.twists.size())
    throw Error("found " + std::to_string(study.incidences.size()) + " incidences and " +
                std::to_string(study.twists.size()) + " twists, wanted at most " +
                std::to_string(most_settings) + " settings: take longer steps");
  study.surface = surface_to_set(command, input.craft);
  study.shape = twist_shape(command, input);
  study.lift_coefficient = lift_coefficient(input.operation, input.craft);
  return study;
}

// Whether the command places the surface. What goes with the other study alone is refused beside that.
bool places(const Command& command) {
  std::string placing;
  for (const char* option : {"moved-aft-mm", "moved-up-mm", "area-percent"})
    if (command.has(option) && placing.empty())
      placing = option;
  for (const char* option : {"twist-deg", "shape"})
    if (!placing.empty() && command.has(option))
      throw Error("--" + std::string(option) + ": found it beside --" + placing + ", wanted one of the two");
  if (placing.empty() && command.has("load-station-mm"))
    throw Error("--load-station-mm: found no --moved-aft-mm, --moved-up-mm or --area-percent to go with it, "
                "wanted one of them");
  return !placing.empty();
}

// What the craft is under way with: the rider of the case, unless the command gives a lift in its place.
Ride ride_of(const Command& command, const Case& input, std::optional<double>& lift) {
  const Operation& operation = input.operation;
  if (!operation.speed)
    throw Error("a surface that is placed needs a speed: write --speed-m-s V");
  if (input.loading && !command.has("lift-coefficient") && !command.has("mass-kg"))
    return make_ride(input.craft, input.lattice, input.wake, input.drag, *input.loading);
  if (command.has("load-station-mm"))
    throw Error("--load-station-mm: found no rider to stand there, wanted a case with [rider] and neither "
                "--lift-coefficient nor --mass-kg");
  const double pressure = 0.5 * input.craft.water.density * *operation.speed * *operation.speed;
  lift = lift_coefficient(operation, input.craft) * pressure * reference(input.craft).area;
  return {input.craft, input.lattice, input.wake, input.drag, {}, body_figures(input.craft)};
}

PlacementLimits placement_limits(const Command& command) {
  const TwistLimits of_both = limits_of(command);
  PlacementLimits limits{of_both.centre_from, of_both.centre_to, {}, {}, of_both.least_margin};
  if (const auto station = command.interval("load-station-mm")) {
    limits.station_from = station->first / 1000;
    limits.station_to = station->second / 1000;
  }
  return limits;
}

int placement_program(const Command& command, Case input, const RunControl& control, ThreadPool& pool) {
  const Form form = command.form();
  PlacementStudy study;
  study.surface = surface_to_set(command, input.craft);
  study.aft = command.lengths("moved-aft-mm", -1e5, 1e5);
  study.up = command.lengths("moved-up-mm", -1e5, 1e5);
  study.area = command.shares("area-percent", 1, 1000);
  study.incidences = command.has("incidence-deg")
                         ? command.angles("incidence-deg")
                         : std::vector<double>{input.craft.surfaces[study.surface].incidence};
  if (static_cast<double>(study.aft.size()) * static_cast<double>(study.up.size()) *
          static_cast<double>(study.area.size()) * static_cast<double>(study.incidences.size()) >
      static_cast<double>(most_placements))
    throw Error("found more than " + std::to_string(most_placements) +
                " places, sizes and incidences together, wanted fewer: take longer steps");
  const PlacementLimits limits = placement_limits(command);
  const Ride ride = ride_of(command, input, study.lift);
  study.speed = *input.operation.speed;
  const OperatingWake wake = wake_as_drawn(ride, study.speed, study.lift, pool);
  study.wake_angle = wake.angle;
  const Lattice lattice = make_lattice(input.craft, input.lattice, wake.angle);
  const bool given = given_angle(input.wake).has_value();
  PlacementResult result = placement_study_with_record(input, lattice, ride, study, limits,
                                                       {command.record(), command.line}, control, pool);
  result.summary.num_factorisations += wake.num_factorisations;
  result.summary.num_solves += wake.num_solves;
  const StudyHead head{
      program.name, input, lattice, wake.angle, given ? "as given" : "that of the craft as drawn", ride.body};
  (form == Form::json  ? write_placement_json
   : form == Form::csv ? write_placement_csv
                       : write_placement_table)(std::cout, head, result);
  return finish(result.summary.complete);
}

int twist_program(int argc, const char* const* argv) {
  const auto command = read_command(program, own_options(), argc, argv);
  if (!command)
    return finish(true);

  const RunControl control = study_control();
  const Form form = command->form();
  ThreadPool pool(command->num_threads());
  Case input = command->read_case();
  const bool placing = places(*command);
  choose_lift(*command, input.operation);
  if (placing)
    return placement_program(*command, std::move(input), control, pool);
  const TwistLimits limits = limits_of(*command);
  const TwistStudy study = study_of(*command, input);

  const bool given = given_angle(input.wake).has_value();
  const OperatingWake wake =
      operating_wake(input.craft, input.lattice, input.wake, study.lift_coefficient, pool);
  const Responses responses = twist_responses(input.craft, input.lattice, study, wake.angle, pool);
  const StudyHead head{program.name,
                       input,
                       responses.system.lattice(),
                       wake.angle,
                       given ? "as given" : "the operating angle of the case",
                       body_figures(input.craft)};
  TwistResult result = twist_study_with_record(input, responses, study, limits,
                                               {command->record(), command->line}, control, pool);
  result.summary.num_factorisations += wake.num_factorisations;
  result.summary.num_solves += wake.num_solves;
  (form == Form::json  ? write_twist_json
   : form == Form::csv ? write_twist_csv
                       : write_twist_table)(std::cout, head, result);
  return finish(result.summary.complete);
}

} // namespace

int main(int argc, char** argv) {
  return run(program.name, [&] { return twist_program(argc, argv); });
}
