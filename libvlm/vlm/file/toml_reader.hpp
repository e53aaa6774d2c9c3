#pragma once

#include <cstddef>
#include <cstdint>
#include <memory>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include <vlm/base/error.hpp>

namespace vlm {

// What a case may hold.
constexpr std::size_t longest_name = 40;    // of a surface, a mass, a shape
constexpr std::size_t most_stations = 1000; // of a surface

/// Interval that a number must lie in, its ends included.
struct Range {
  double low = 0, high = 0;
};

/// One value of a TOML text and where it stands, or the lack of one.
///
/// Values are taken by descending from the root and naming what is wanted, so that every error says the
/// same things: "FILE:LINE:COLUMN: KEY: found …, wanted …". KEY is the path from the root, elements of
/// arrays counted from 1; a missing value has the place of the table that lacks it.
class TomlValue {
public:
  /// The root table of a text. Throws Error where it is not TOML 1.0. `file` is for the messages.
  static TomlValue parse(std::string_view text, const std::string& file);

  bool present() const { return node_ != nullptr; }

  /// Key of this value in its own table.
  const std::string& name() const { return name_; }

  /// Throws Error "FILE:LINE:COLUMN: KEY: message".
  [[noreturn]] void fail(const std::string& message) const;

  /// Throws Error "…: found THIS VALUE, wanted …".
  [[noreturn]] void refuse(const std::string& wanted) const;

  double number(const Range&) const; ///< integer or float
  int count(int low, int high) const;
  bool boolean() const;
  std::string text(std::size_t longest) const; ///< one line of 1 to `longest` bytes, no control characters

  /// Index of this text among the choices.
  std::size_t choice(const std::vector<std::string>& choices) const;

  /// The value of a key of this table; missing if the table lacks it or is itself missing.
  TomlValue operator[](std::string_view key) const;

  /// Refuses the first key of this table that is not a known one.
  void allow_keys(const std::vector<std::string>& known) const;

  /// The values of this table in the order of the text; none if it is missing.
  std::vector<TomlValue> entries() const;

  /// The elements of this array. what: what they are, in the plural.
  std::vector<TomlValue> items(std::size_t low, std::size_t high, std::string_view what) const;

private:
  struct Place {
    std::size_t line = 1, column = 1;
  };
  struct Node;
  using Nodes = std::vector<Node>;
  struct Table {
    Nodes nodes;
  };
  struct Date {};
  struct Node {
    std::string name; // empty in an array
    Place name_place, place;
    std::variant<Date, bool, std::int64_t, double, std::string, Nodes, Table> value;
  };
  struct Document {
    std::string file;
    Node root;
  };
  struct Conversion; // from the tree of the TOML parser

  TomlValue(std::shared_ptr<const Document> document, const Node* node, Place place, std::string key,
            std::string name);
  TomlValue entry(const Node& node) const;
  const Nodes& table() const;
  std::string found() const;

  std::shared_ptr<const Document> document_;
  const Node* node_; // null: missing
  Place place_;
  std::string key_, name_;
};

/// Does what knows nothing of the file, and gives its errors the place of the value.
template <class Action>
auto at_place_of(const TomlValue& value, const Action& action) {
  try {
    return action();
  } catch (const Error& error) {
    value.fail(error.what());
  }
}

/// A text between quotes for a message: control characters escaped, the end of a long one left out.
std::string in_quotes(std::string_view text);

/// A number for a message, to so many digits, whatever the locale.
std::string written(double number, int digits = 15);

/// "one of …" for a message, with the choice nearest to what was found. At least one choice.
std::string one_of(const std::vector<std::string>& choices, std::string_view found);

} // namespace vlm
