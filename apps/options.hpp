#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include <boost/program_options/options_description.hpp>
#include <boost/program_options/variables_map.hpp>

#include <vlm/file/case.hpp>

namespace vlm::apps {

/// What --help says of a program besides its options.
struct Program {
  std::string name, usage, purpose, examples;
  bool takes_several_cases = false;
};

/// How results are put out.
enum class Form { table, json, csv };

/// A command line whose options are known and whose values are text yet. Every function below throws Error
/// (input) saying what was found and what to write instead.
struct Command {
  boost::program_options::variables_map values;
  std::string line;               ///< as typed, but for quotes
  std::vector<std::string> files; ///< the cases named, at least one

  bool has(const std::string& option) const { return values.count(option) > 0; }
  std::string text(const std::string& option) const { return values[option].as<std::string>(); }

  /// A number within bounds, in the unit that the option's name tells; unset without the option.
  std::optional<double> number(const std::string& option, double low, double high) const;

  /// FROM:TO:STEP in degrees or a single angle, as radians; required.
  std::vector<double> angles(const std::string& option) const;

  /// The same for banks, within 79 degrees.
  std::vector<double> banks(const std::string& option) const;

  /// FROM:TO:STEP in m/s or a single speed.
  std::vector<double> speeds(const std::string& option) const;

  /// The same in mm and within bounds, as metres; a single 0 without the option.
  std::vector<double> lengths(const std::string& option, double low, double high) const;

  /// The same in percent, as shares; a single 1 without the option.
  std::vector<double> shares(const std::string& option, double low, double high) const;

  /// FROM:TO; unset without the option.
  std::optional<std::pair<double, double>> interval(const std::string& option) const;

  /// A case, by itself the first named, with what this command gives in place of the file's: speed, lattice
  /// and wake.
  Case read_case() const { return read_case(files.front()); }
  Case read_case(const std::string& file) const;

  Form form() const;
  std::optional<std::filesystem::path> record() const;
  int num_threads() const; ///< 0: one for each processor
};

/// Index of the surface that an option names. Throws Error (input) naming the option and the surfaces there
/// are.
std::size_t named_surface(const Craft&, const std::string& option, const std::string& name);

/// Index of the surface that --surface names; without it the only one beside the reference surface and the
/// mast, or the only one at all. Throws Error (input) where that is not one, or is the mast.
std::size_t surface_to_set(const Command&, const Craft&);

/// Puts the depth of --depth-mm in place of the case's, under a free surface unless the case says otherwise.
void set_depth(const Command&, Case&);

/// Reads a command line. own: options of this program, each with text for a value or none. Unset if --help or
/// --version was asked for, and has been printed.
std::optional<Command> read_command(const Program&, const boost::program_options::options_description& own,
                                    int argc, const char* const* argv);

} // namespace vlm::apps
