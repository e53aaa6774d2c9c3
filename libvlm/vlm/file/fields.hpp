#pragma once

#include <cstdint>
#include <optional>
#include <ostream>
#include <string>
#include <variant>
#include <vector>

namespace vlm {

/// A figure or text on its way into JSON or CSV, under a name that carries its unit ("span_mm").
/// An undefined figure is null in JSON and empty in CSV.
struct Field {
  using Object = std::vector<Field>; ///< fields in the order of output
  std::string name;                  ///< with its unit
  /// A figure, a count, a yes or no, a text, a list of texts, an object or a list of objects.
  std::variant<std::optional<double>, std::int64_t, bool, std::string, std::vector<std::string>, Object,
               std::vector<Object>>
      value;
};

/// Fields in the order of output.
using Fields = Field::Object;

/// A JSON object on one line. Throws Error (run), naming the field, for a figure that is not finite.
std::string json_object(const Fields&);

/// Writes the JSON object of the fields of `head`, and after them the array "points" with one object a line.
/// point(i): fields of point i. Throws as json_object.
template <class Point>
void write_json(std::ostream& out, const Fields& head, std::size_t num_points, const Point& point) {
  out << "{\n";
  for (const Field& field : head) {
    const std::string member = json_object({field});
    out << "  " << member.substr(1, member.size() - 2) << ",\n"; // without its braces
  }
  out << "  \"points\": [";
  for (std::size_t i = 0; i < num_points; ++i)
    out << (i == 0 ? "\n    " : ",\n    ") << json_object(point(i));
  out << (num_points == 0 ? "]\n}\n" : "\n  ]\n}\n");
}

/// A line of CSV (RFC 4180, but for a bare line feed at its end): the names of fields, or their values.
/// The latter throws Error (run) for a figure that is not finite, an object or a list.
///@{
std::string csv_names(const Fields&);
std::string csv_values(const Fields&);
///@}

} // namespace vlm
