#include <vlm/file/toml_reader.hpp>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <numeric>
#include <utility>

#include <toml++/toml.h>

namespace vlm {
namespace {

constexpr std::size_t longest_quote = 60;
constexpr std::size_t most_key_names = 4; // joined by dots; a case needs three

bool is_control(char c) {
  return static_cast<unsigned char>(c) < 0x20 || c == 0x7f;
}

// A key as TOML would have it written.
std::string written_key(const std::string& key) {
  const bool bare = !key.empty() && std::all_of(key.begin(), key.end(), [](char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '_' || c == '-';
  });
  return bare ? key : in_quotes(key);
}

// Insertions, deletions and changes of a letter that lead from a to b.
std::size_t edit_distance(std::string_view a, std::string_view b) {
  std::vector<std::size_t> row(b.size() + 1);
  std::iota(row.begin(), row.end(), std::size_t{0});
  for (std::size_t i = 0; i < a.size(); ++i) {
    std::size_t diagonal = std::exchange(row[0], i + 1);
    for (std::size_t j = 0; j < b.size(); ++j) {
      const std::size_t changed = diagonal + (a[i] == b[j] ? 0 : 1);
      diagonal = std::exchange(row[j + 1], std::min({changed, row[j] + 1, row[j + 1] + 1}));
    }
  }
  return row.back();
}

// Where the text in quotes that starts at `from` ends. One that is not closed ends with its line or the text.
std::size_t end_of_quotes(std::string_view text, std::size_t from) {
  const char quote = text[from];
  const bool many_lines = text.substr(from, 3) == std::string(3, quote);
  const std::string_view end = text.substr(from, many_lines ? 3 : 1);
  std::size_t at = from + end.size();
  while (at < text.size() && text.substr(at, end.size()) != end && (many_lines || text[at] != '\n'))
    at += quote == '"' && text[at] == '\\' ? 2 : 1;
  at = std::min(at + end.size(), text.size());
  // A text of many lines may itself end in one or two quotes.
  for (int more = 0; many_lines && more < 2 && at < text.size() && text[at] == quote; ++more)
    ++at;
  return at;
}

// Where the first key of more than so many names joined by dots goes on after them; npos if there is none.
// What follows the first error of syntax does not matter, for nobody reads it.
std::size_t too_deep_key(std::string_view text, std::size_t most_names) {
  std::size_t dots = 0;
  for (std::size_t at = 0; at < text.size();) {
    const char c = text[at];
    if (c == '.' && ++dots == most_names)
      return at;
    if (std::string_view("\n=,[]{}").find(c) != std::string_view::npos)
      dots = 0;
    if (c == '"' || c == '\'')
      at = end_of_quotes(text, at);
    else
      at = c == '#' ? std::min(text.find('\n', at), text.size()) : at + 1;
  }
  return std::string_view::npos;
}

// Control characters written as \x and two digits.
std::string escaped(std::string_view text) {
  constexpr std::string_view digits = "0123456789abcdef";
  std::string result;
  for (const char c : text)
    if (is_control(c))
      (result += "\\x") +=
          {digits[static_cast<unsigned char>(c) >> 4U], digits[static_cast<unsigned char>(c) & 0xfU]};
    else
      result += c;
  return result;
}

} // namespace

std::string in_quotes(std::string_view text) {
  const bool long_text = text.size() > longest_quote;
  if (long_text) {
    text = text.substr(0, longest_quote);
    while (!text.empty() && (static_cast<unsigned char>(text.back()) & 0xc0U) == 0x80U)
      text.remove_suffix(1); // no letter of several bytes is cut in two
    if (!text.empty() && (static_cast<unsigned char>(text.back()) & 0x80U) != 0)
      text.remove_suffix(1);
  }
  return '"' + escaped(text) + (long_text ? "…\"" : "\"");
}

std::string written(double number, int digits) {
  char buffer[32];
  const auto end = std::to_chars(buffer, buffer + sizeof buffer, number, std::chars_format::general, digits);
  return {buffer, end.ptr};
}

std::string one_of(const std::vector<std::string>& choices, std::string_view found) {
  std::string list;
  for (const std::string& choice : choices)
    list += (list.empty() ? "" : ", ") + choice;
  if (choices.size() == 1)
    return list;
  std::size_t best = choices.size(), distance = found.size() / 3 + 1; // a third of the letters amiss
  // A very long text is near to nothing, and not worth the time of measuring it.
  for (std::size_t i = 0; i < choices.size() && found.size() <= longest_quote; ++i) {
    const bool lacks_unit = choices[i].starts_with(std::string(found) + "_");
    const std::size_t d = lacks_unit ? 0 : edit_distance(found, choices[i]);
    if (d <= distance && (best == choices.size() || d < distance)) {
      best = i;
      distance = d;
    }
  }
  return "one of " + list + (best == choices.size() ? "" : " (nearest: " + choices[best] + ")");
}

struct TomlValue::Conversion {
  static Place place(const toml::source_position& position) { return {position.line, position.column}; }

  static Node node(const toml::node& from) {
    Node to;
    to.place = place(from.source().begin);
    if (const auto* table = from.as_table()) {
      Nodes nodes;
      for (const auto& [key, value] : *table) {
        Node entry = node(value);
        entry.name = std::string(key.str());
        entry.name_place = place(key.source().begin);
        nodes.push_back(std::move(entry));
      }
      const auto order = [](const Node& n) { return std::pair(n.name_place.line, n.name_place.column); };
      std::sort(nodes.begin(), nodes.end(),
                [&](const Node& a, const Node& b) { return order(a) < order(b); });
      to.value = Table{std::move(nodes)};
    } else if (const auto* array = from.as_array()) {
      Nodes nodes;
      for (const toml::node& element : *array)
        nodes.push_back(node(element));
      to.value = std::move(nodes);
    } else if (const auto* text = from.as_string()) {
      to.value = text->get();
    } else if (const auto* integer = from.as_integer()) {
      to.value = integer->get();
    } else if (const auto* number = from.as_floating_point()) {
      to.value = number->get();
    } else if (const auto* boolean = from.as_boolean()) {
      to.value = boolean->get();
    }
    return to;
  }
};

TomlValue TomlValue::parse(std::string_view text, const std::string& file) {
  // Reading one more name is one more call deep, and the stack has an end.
  if (const std::size_t at = too_deep_key(text, most_key_names); at != std::string_view::npos) {
    const std::string_view before = text.substr(0, at),
                           line = before.substr(before.rfind('\n') + 1); // npos + 1 = 0
    const auto number = 1 + std::count(before.begin(), before.end(), '\n');
    const auto column = 1 + std::count_if(line.begin(), line.end(), [](char c) { // letters, not bytes
                          return (static_cast<unsigned char>(c) & 0xc0U) != 0x80U;
                        });
    throw Error(file + ":" + std::to_string(number) + ":" + std::to_string(column) +
                ": found a key of more than " + std::to_string(most_key_names) +
                " names joined by dots, wanted fewer");
  }
  try {
    const toml::table table = toml::parse(text);
    const auto document = std::make_shared<const Document>(Document{file, Conversion::node(table)});
    return {document, &document->root, Place{}, {}, {}};
  } catch (const toml::parse_error& error) {
    const Place place = Conversion::place(error.source().begin);
    throw Error(file + ":" + std::to_string(place.line) + ":" + std::to_string(place.column) +
                ": not TOML 1.0: " + escaped(error.description()));
  }
}

TomlValue::TomlValue(std::shared_ptr<const Document> document, const Node* node, Place place, std::string key,
                     std::string name)
    : document_(std::move(document)), node_(node), place_(place), key_(std::move(key)),
      name_(std::move(name)) {}

void TomlValue::fail(const std::string& message) const {
  throw Error(document_->file + ":" + std::to_string(place_.line) + ":" + std::to_string(place_.column) +
              ": " + (key_.empty() ? "" : key_ + ": ") + message);
}

void TomlValue::refuse(const std::string& wanted) const {
  fail("found " + found() + ", wanted " + wanted);
}

std::string TomlValue::found() const {
  if (!present())
    return "nothing";
  const auto& value = node_->value;
  if (const auto* boolean = std::get_if<bool>(&value))
    return *boolean ? "true" : "false";
  if (const auto* integer = std::get_if<std::int64_t>(&value))
    return std::to_string(*integer);
  if (const auto* number = std::get_if<double>(&value)) {
    if (!std::isfinite(*number))
      return "no finite number";
    const std::string digits = written(*number);
    return digits.find_first_of(".e") == std::string::npos ? digits + ".0" : digits;
  }
  if (const auto* text = std::get_if<std::string>(&value))
    return in_quotes(*text);
  if (const auto* nodes = std::get_if<Nodes>(&value))
    return "an array of " + std::to_string(nodes->size());
  return std::holds_alternative<Table>(value) ? "a table" : "a date or time";
}

double TomlValue::number(const Range& range) const {
  double value = std::nan("");
  if (present()) {
    if (const auto* number = std::get_if<double>(&node_->value))
      value = *number;
    else if (const auto* integer = std::get_if<std::int64_t>(&node_->value))
      value = static_cast<double>(*integer);
  }
  if (!(value >= range.low && value <= range.high))
    refuse("a number from " + written(range.low) + " to " + written(range.high));
  return value;
}

int TomlValue::count(int low, int high) const {
  const auto* integer = present() ? std::get_if<std::int64_t>(&node_->value) : nullptr;
  if (integer == nullptr || *integer < low || *integer > high)
    refuse("a whole number from " + std::to_string(low) + " to " + std::to_string(high));
  return static_cast<int>(*integer);
}

bool TomlValue::boolean() const {
  const auto* value = present() ? std::get_if<bool>(&node_->value) : nullptr;
  if (value == nullptr)
    refuse("true or false");
  return *value;
}

std::string TomlValue::text(std::size_t longest) const {
  const auto* value = present() ? std::get_if<std::string>(&node_->value) : nullptr;
  if (value == nullptr || value->empty() || value->size() > longest ||
      std::any_of(value->begin(), value->end(), is_control))
    refuse("a text of one line in quotes, 1 to " + std::to_string(longest) + " bytes");
  return *value;
}

std::size_t TomlValue::choice(const std::vector<std::string>& choices) const {
  const auto* value = present() ? std::get_if<std::string>(&node_->value) : nullptr;
  const auto place = value != nullptr ? std::find(choices.begin(), choices.end(), *value) : choices.end();
  if (place == choices.end()) {
    std::vector<std::string> choices_in_quotes;
    for (const std::string& choice : choices)
      choices_in_quotes.push_back(in_quotes(choice));
    refuse(one_of(choices_in_quotes, value != nullptr ? in_quotes(*value) : ""));
  }
  return static_cast<std::size_t>(place - choices.begin());
}

const TomlValue::Nodes& TomlValue::table() const {
  static const Nodes none;
  if (!present())
    return none;
  const auto* value = std::get_if<Table>(&node_->value);
  if (value == nullptr)
    refuse("a table");
  return value->nodes;
}

TomlValue TomlValue::entry(const Node& node) const {
  return {document_, &node, node.place, (key_.empty() ? "" : key_ + ".") + written_key(node.name), node.name};
}

TomlValue TomlValue::operator[](std::string_view key) const {
  for (const Node& node : table())
    if (node.name == key)
      return entry(node);
  const std::string name(key);
  return {document_, nullptr, place_, (key_.empty() ? "" : key_ + ".") + written_key(name), name};
}

void TomlValue::allow_keys(const std::vector<std::string>& known) const {
  for (const Node& node : table())
    if (std::find(known.begin(), known.end(), node.name) == known.end()) {
      TomlValue unknown = entry(node);
      unknown.place_ = node.name_place;
      unknown.fail("found a key not known here, wanted " +
                   (known.size() == 1 ? "only " + known.front() : one_of(known, node.name)));
    }
}

std::vector<TomlValue> TomlValue::entries() const {
  std::vector<TomlValue> result;
  for (const Node& node : table())
    result.push_back(entry(node));
  return result;
}

std::vector<TomlValue> TomlValue::items(std::size_t low, std::size_t high, std::string_view what) const {
  const auto* nodes = present() ? std::get_if<Nodes>(&node_->value) : nullptr;
  if (nodes == nullptr || nodes->size() < low || nodes->size() > high)
    refuse("an array of " + std::to_string(low) + (high == low ? "" : " to " + std::to_string(high)) + " " +
           std::string(what));
  std::vector<TomlValue> result;
  for (const Node& node : *nodes)
    result.push_back(
        {document_, &node, node.place, key_ + "[" + std::to_string(result.size() + 1) + "]", {}});
  return result;
}

} // namespace vlm
