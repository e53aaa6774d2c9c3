#include <vlm/file/fields.hpp>

#include <charconv>
#include <cmath>
#include <type_traits>

#include <nlohmann/json.hpp>

#include <vlm/base/error.hpp>

namespace vlm {
namespace {

using Json = nlohmann::ordered_json;

void require_finite(const std::string& name, double value) {
  if (!std::isfinite(value))
    throw Error(
        name + ": came out as no finite number: look for surfaces that all but touch, or lower the counts of "
               "strips and panels",
        ErrorKind::run);
}

Json json(const Fields& fields) {
  Json object = Json::object();
  for (const Field& field : fields)
    object[field.name] = std::visit(
        [&](const auto& value) -> Json {
          using Value = std::decay_t<decltype(value)>;
          if constexpr (std::is_same_v<Value, std::optional<double>>) {
            if (!value)
              return nullptr;
            require_finite(field.name, *value);
            return *value + 0.0; // no minus before a zero
          } else if constexpr (std::is_same_v<Value, Fields>) {
            return json(value);
          } else if constexpr (std::is_same_v<Value, std::vector<Fields>>) {
            Json list = Json::array();
            for (const Fields& item : value)
              list.push_back(json(item));
            return list;
          } else {
            return value;
          }
        },
        field.value);
  return object;
}

std::string csv_text(const std::string& text) {
  if (text.find_first_of(",\"\r\n") == std::string::npos)
    return text;
  std::string quoted = "\"";
  for (const char c : text)
    quoted += c == '"' ? "\"\"" : std::string(1, c);
  return quoted + '"';
}

std::string csv_value(const Field& field) {
  return std::visit(
      [&](const auto& value) -> std::string {
        using Value = std::decay_t<decltype(value)>;
        if constexpr (std::is_same_v<Value, std::optional<double>>) {
          if (!value)
            return "";
          require_finite(field.name, *value);
          char text[32];
          return {text, std::to_chars(text, text + sizeof text, *value + 0.0).ptr};
        } else if constexpr (std::is_same_v<Value, std::int64_t>) {
          return std::to_string(value);
        } else if constexpr (std::is_same_v<Value, bool>) {
          return value ? "true" : "false";
        } else if constexpr (std::is_same_v<Value, std::string>) {
          return csv_text(value);
        } else {
          throw Error(field.name + ": a list does not go into CSV", ErrorKind::run);
        }
      },
      field.value);
}

template <class Text>
std::string csv_line(const Fields& fields, const Text& text) {
  std::string line;
  for (const Field& field : fields) {
    if (&field != &fields.front())
      line += ',';
    line += text(field);
  }
  return line + '\n';
}

} // namespace

std::string json_object(const Fields& fields) {
  return json(fields).dump(-1, ' ', false, Json::error_handler_t::replace);
}

std::string csv_names(const Fields& fields) {
  return csv_line(fields, [](const Field& field) { return csv_text(field.name); });
}

std::string csv_values(const Fields& fields) {
  return csv_line(fields, csv_value);
}

} // namespace vlm
