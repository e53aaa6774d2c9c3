#include "options.hpp"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <iostream>
#include <numbers>

#include <boost/program_options.hpp>

#include <vlm/base/error.hpp>
#include <vlm/base/version.hpp>
#include <vlm/file/record.hpp>

namespace po = boost::program_options;

namespace vlm::apps {
namespace {

constexpr double most_points = 1e6;
constexpr double most_degrees = 45; // of any angle: far beyond what small-angle flow is good for
constexpr double most_bank = 79;    // less than a craft on its side
constexpr double radians_per_degree = std::numbers::pi / 180;

std::string shown(double number) {
  char text[32];
  return {text, std::to_chars(text, text + sizeof text, number, std::chars_format::general, 12).ptr};
}

[[noreturn]] void refuse(const std::string& option, const std::string& found, const std::string& wanted) {
  throw Error("--" + option + ": found " + found + ", wanted " + wanted);
}

std::string quoted(const std::string& text) {
  return "'" + text + "'";
}

template <class Number>
std::optional<Number> parsed(std::string_view text) {
  if (text.size() > 1 && text.front() == '+' && text[1] != '-')
    text.remove_prefix(1);
  Number number{};
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), number);
  if (error != std::errc() || end != text.data() + text.size())
    return std::nullopt;
  return number;
}

std::optional<double> finite(std::string_view text) {
  const auto number = parsed<double>(text);
  return number && std::isfinite(*number) ? number : std::nullopt;
}

std::vector<std::string> split(const std::string& text, char separator) {
  std::vector<std::string> parts;
  std::size_t begin = 0;
  for (std::size_t end; (end = text.find(separator, begin)) != std::string::npos; begin = end + 1)
    parts.push_back(text.substr(begin, end - begin));
  parts.push_back(text.substr(begin));
  return parts;
}

int whole(const std::string& option, const std::string& text, int low, int high) {
  const auto number = parsed<int>(text);
  if (!number || *number < low || *number > high)
    refuse(option, quoted(text),
           "a whole number from " + std::to_string(low) + " to " + std::to_string(high));
  return *number;
}

po::options_description shared_options() {
  po::options_description options("Options of every program", 98, 60);
  const auto text = [](const char* name) { return po::value<std::string>()->value_name(name); };
  const auto list = [](const char* name) { return po::value<std::vector<std::string>>()->value_name(name); };
  po::options_description_easy_init add = options.add_options();
  add("json", "print JSON in place of the table");
  add("csv", "print all points as CSV in place of the table");
  add("record,o", text("FILE.h5"), "write a record besides (HDF5)");
  add("speed-m-s", text("V"), "speed, in place of the case's");
  add("strips", list("[NAME=]N"), "strips of all surfaces, or of the one named; may be repeated");
  add("panels-per-strip", list("[NAME=]N"), "panels along the chord, likewise");
  add("spacing", text("RULE"), "semicircle or uniform");
  add("displaced", "put the panels on the true mean surface, to check the linearisation");
  add("wake", text("WAY"), "stream or body: what the wake lies along");
  add("wake-angle-deg", text("A"), "angle of attack whose stream the wake lies along");
  add("threads", text("N"), "threads; 0, as without it: one for each processor");
  add("help,h", "print this");
  add("version", "print the version");
  return options;
}

// N for all surfaces, NAME=N for one, whatever the order.
void set_counts(const Command& command, const std::string& option, int high, int PanelCounts::*count,
                Case& input) {
  if (!command.has(option))
    return;
  const auto texts = command.values[option].as<std::vector<std::string>>();
  for (const bool named : {false, true})
    for (const std::string& text : texts) {
      const std::size_t equals = text.rfind('=');
      if ((equals != std::string::npos) != named)
        continue;
      if (!named) {
        const int all = whole(option, text, 1, high);
        for (PanelCounts& counts : input.lattice.counts)
          counts.*count = all;
        continue;
      }
      const std::size_t surface = named_surface(input.craft, option, text.substr(0, equals));
      input.lattice.counts[surface].*count = whole(option, text.substr(equals + 1), 1, high);
    }
}

// 0 or 1: which of two words was written.
std::optional<int> word(const Command& command, const std::string& option, const std::string& first,
                        const std::string& second) {
  if (!command.has(option))
    return std::nullopt;
  const std::string text = command.text(option);
  if (text != first && text != second)
    refuse(option, quoted(text), first + " or " + second);
  return text == first ? 0 : 1;
}

void set_wake(const Command& command, WakeChoice& wake) {
  const auto way = word(command, "wake", "stream", "body");
  const auto angle = command.number("wake-angle-deg", -most_degrees, most_degrees);
  if (way == 1 && angle)
    throw Error("--wake-angle-deg: found it beside --wake body, wanted it with --wake stream only");
  if (way == 1)
    wake = {WakeChoice::Along::body, std::nullopt};
  else if (angle)
    wake = {WakeChoice::Along::stream, *angle * radians_per_degree};
  else if (way == 0)
    wake.along = WakeChoice::Along::stream;
}

std::string typed(int argc, const char* const* argv) {
  std::string line;
  for (int i = 0; i < argc; ++i) {
    const std::string word = i == 0 ? std::filesystem::path(argv[0]).filename().string() : argv[i];
    const bool plain = !word.empty() && word.find_first_of(" \t'\"\\$*?") == std::string::npos;
    line += (i == 0 ? "" : " ") + (plain ? word : quoted(word));
  }
  return line;
}

} // namespace

std::size_t named_surface(const Craft& craft, const std::string& option, const std::string& name) {
  try {
    return surface_index(craft, name);
  } catch (const Error& error) {
    throw Error("--" + option + ": " + error.what());
  }
}

std::size_t surface_to_set(const Command& command, const Craft& craft) {
  if (command.has("surface")) {
    const std::size_t named = named_surface(craft, "surface", command.text("surface"));
    if (craft.surfaces[named].pierces)
      throw Error("--surface: found the mast, whose incidence turns nothing, wanted a surface that lifts");
    return named;
  }
  // Without the option the only surface beside the reference and the mast, or the only one at all.
  const std::vector<std::size_t> others = surfaces_beside_reference(craft);
  if (others.size() > 1)
    throw Error("no --surface: write which of the " + std::to_string(craft.surfaces.size()) +
                " surfaces to set, such as --surface '" + craft.surfaces[others.back()].name + "'");
  return others.empty() ? surface_index(craft, craft.reference_surface) : others.front();
}

void set_depth(const Command& command, Case& input) {
  constexpr double mm_per_m = 1000;
  StillSurface& still = input.craft.still_surface;
  if (const auto depth = command.number("depth-mm", 0.001, 1e6)) {
    if (!input.boundary_is_written && still.boundary == Boundary::none)
      still.boundary = Boundary::free;
    still.depth = *depth / mm_per_m;
  }
}

std::optional<double> Command::number(const std::string& option, double low, double high) const {
  if (!has(option))
    return std::nullopt;
  const auto number = finite(text(option));
  if (!number || *number < low || *number > high)
    refuse(option, quoted(text(option)), "a number from " + shown(low) + " to " + shown(high));
  return number;
}

namespace {

// FROM:TO:STEP or a single number within bounds. thing, unit: for messages, "angle" and "degrees", say.
std::vector<double> steps(const Command& command, const std::string& option, const std::string& form,
                          double low, double high, const std::string& things, const std::string& unit) {
  if (!command.has(option))
    throw Error("no --" + option + ": write it with " + form);
  const std::string written = command.text(option);
  std::vector<double> parts;
  for (const std::string& part : split(written, ':')) {
    const auto number = finite(part);
    if (!number)
      refuse(option, quoted(written), form);
    parts.push_back(*number);
  }
  if (parts.size() != 1 && parts.size() != 3)
    refuse(option, quoted(written), form);
  for (std::size_t i = 0; i < std::min<std::size_t>(parts.size(), 2); ++i)
    if (parts[i] < low || parts[i] > high)
      refuse(option, shown(parts[i]) + " " + unit, things + " from " + shown(low) + " to " + shown(high));
  if (parts.size() == 1)
    return {parts[0]};

  const double from = parts[0], to = parts[1], step = parts[2];
  if (step == 0)
    refuse(option, "a step of 0 in " + quoted(written),
           "a step from " + shown(from) + " towards " + shown(to));
  if ((to - from) * step < 0)
    refuse(option, "a step away from " + shown(to) + " in " + quoted(written),
           shown(from) + ":" + shown(to) + ":" + shown(-step));
  const double count = std::floor((to - from) / step + 1e-9); // the last may miss TO by rounding
  if (!(count < most_points))
    refuse(option, quoted(written) + " with more than " + shown(most_points) + " " + things, "a longer step");
  std::vector<double> numbers;
  for (std::size_t i = 0; i <= static_cast<std::size_t>(count); ++i)
    numbers.push_back(from + static_cast<double>(i) * step);
  return numbers;
}

std::vector<double> degrees(const Command& command, const std::string& option, const std::string& wanted,
                            double most) {
  std::vector<double> angles = steps(command, option, wanted, -most, most, "angles", "degrees");
  for (double& angle : angles)
    angle *= radians_per_degree;
  return angles;
}

} // namespace

std::vector<double> Command::angles(const std::string& option) const {
  return degrees(*this, option, "an angle or FROM:TO:STEP in degrees, such as -2:8:0.5", most_degrees);
}

std::vector<double> Command::banks(const std::string& option) const {
  return degrees(*this, option, "a bank or FROM:TO:STEP in degrees, such as 0:40:5", most_bank);
}

std::vector<double> Command::speeds(const std::string& option) const {
  return steps(*this, option, "a speed or FROM:TO:STEP in m/s, such as 4:10:1", 0.01, 100, "speeds", "m/s");
}

std::vector<double> Command::lengths(const std::string& option, double low, double high) const {
  constexpr double mm_per_m = 1000;
  if (!has(option))
    return {0};
  std::vector<double> lengths =
      steps(*this, option, "a length or FROM:TO:STEP in mm, such as -40:40:10", low, high, "lengths", "mm");
  for (double& length : lengths)
    length /= mm_per_m;
  return lengths;
}

std::vector<double> Command::shares(const std::string& option, double low, double high) const {
  if (!has(option))
    return {1};
  std::vector<double> shares =
      steps(*this, option, "a percentage or FROM:TO:STEP, such as 80:120:10", low, high, "percentages", "%");
  for (double& share : shares)
    share /= 100;
  return shares;
}

std::optional<std::pair<double, double>> Command::interval(const std::string& option) const {
  if (!has(option))
    return std::nullopt;
  const auto parts = split(text(option), ':');
  const auto from = finite(parts.front()), to = finite(parts.back());
  if (parts.size() != 2 || !from || !to)
    refuse(option, quoted(text(option)), "FROM:TO, such as -40:25");
  if (*from > *to)
    refuse(option, quoted(text(option)), "the lower end first: " + parts[1] + ":" + parts[0]);
  return std::pair(*from, *to);
}

namespace {

long long num_panels(const Case& input) {
  long long sum = input.craft.fuselage ? 1LL * input.lattice.body.rings * input.lattice.body.around : 0;
  for (const PanelCounts& counts : input.lattice.counts)
    sum += 1LL * counts.strips * counts.panels_per_strip;
  return sum;
}

} // namespace

Case Command::read_case(const std::string& file) const {
  Case input = vlm::read_case(file);
  if (const auto speed = number("speed-m-s", 0.01, 100))
    input.operation.speed = speed;
  set_counts(*this, "strips", 1000, &PanelCounts::strips, input);
  set_counts(*this, "panels-per-strip", 200, &PanelCounts::panels_per_strip, input);
  if (const long long panels = num_panels(input); panels > most_panels)
    throw Error("--strips, --panels-per-strip: found " + std::to_string(panels) +
                " panels in all, wanted at most " + std::to_string(most_panels));
  if (const auto rule = word(*this, "spacing", "semicircle", "uniform"))
    input.lattice.spacing = *rule == 0 ? Spacing::semicircle : Spacing::uniform;
  if (has("displaced"))
    input.lattice.displaced = true;
  set_wake(*this, input.wake);
  return input;
}

Form Command::form() const {
  if (has("json") && has("csv"))
    throw Error("--csv: found it beside --json, wanted one of the two");
  return has("json") ? Form::json : has("csv") ? Form::csv : Form::table;
}

std::optional<std::filesystem::path> Command::record() const {
  if (!has("record"))
    return std::nullopt;
  const std::string name = text("record");
  if (name.starts_with('-')) // an option in place of the name that is missing
    refuse("record", quoted(name), "a file name, such as record.h5, or ./" + name + " if that is one");
  return name;
}

int Command::num_threads() const {
  return has("threads") ? whole("threads", text("threads"), 0, 1024) : 0;
}

std::optional<Command> read_command(const Program& program, const po::options_description& own, int argc,
                                    const char* const* argv) {
  po::options_description named, all;
  named.add(own).add(shared_options());
  all.add(named).add_options()("case", po::value<std::vector<std::string>>());
  po::positional_options_description positions;
  positions.add("case", -1);

  const std::string see_help = ": see " + program.name + " --help";
  Command command;
  command.line = typed(argc, argv);
  try {
    namespace style = po::command_line_style;
    const auto parsed = po::command_line_parser(argc, argv)
                            .options(all)
                            .positional(positions)
                            .style(style::unix_style & ~style::allow_guessing)
                            .run();
    for (const po::option& option : parsed.options)
      if (option.string_key == "case" && option.position_key < 0) // a name for positions alone
        throw Error("unknown option --case" + see_help);
    po::store(parsed, command.values);
  } catch (const po::unknown_option& error) {
    throw Error("unknown option " + error.get_option_name() + see_help);
  } catch (const po::error& error) {
    throw Error(error.what() + see_help);
  }
  if (command.has("help")) {
    std::cout << "Usage: " << program.usage << "\n\n"
              << program.purpose << "\n\n"
              << named << "\nExamples\n"
              << program.examples;
    return std::nullopt;
  }
  if (command.has("version")) {
    std::cout << program.name << ' ' << version() << '\n';
    return std::nullopt;
  }
  if (!command.has("case"))
    throw Error("no case file: write " + program.usage);
  command.files = command.values["case"].as<std::vector<std::string>>();
  const std::vector<std::string>& files = command.files;
  if (files.size() > 1 && !program.takes_several_cases)
    throw Error("found two case files, " + quoted(files[0]) + " and " + quoted(files[1]) + ", wanted one");
  if (const auto record = command.record()) // before long work
    check_record_place(*record);
  return command;
}

} // namespace vlm::apps
