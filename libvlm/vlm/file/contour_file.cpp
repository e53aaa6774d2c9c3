#include <vlm/file/contour_file.hpp>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <fstream>
#include <optional>
#include <system_error>

#include <vlm/base/error.hpp>
#include <vlm/file/toml_reader.hpp>

namespace vlm {
namespace {

constexpr std::size_t longest_file = 1'000'000; // bytes: a wrong file is refused before it fills the memory
constexpr std::size_t most_points = 10'000;
constexpr std::string_view blanks = " \t\r";

// Takes the first word off a line.
std::string_view take_word(std::string_view& line) {
  line.remove_prefix(std::min(line.find_first_not_of(blanks), line.size()));
  const std::string_view word = line.substr(0, line.find_first_of(blanks));
  line.remove_prefix(word.size());
  return word;
}

std::optional<double> finite_number(std::string_view word) {
  if (word.size() > 1 && word[0] == '+' && word[1] != '-')
    word.remove_prefix(1); // which from_chars does not take
  double value = 0;
  const auto [end, error] = std::from_chars(word.data(), word.data() + word.size(), value);
  if (error != std::errc() || end != word.data() + word.size() || !std::isfinite(value))
    return std::nullopt;
  return value;
}

} // namespace

std::string read_text(const std::filesystem::path& path, const std::string& what) {
  const auto refuse = [&](const std::string& found) {
    throw Error(path.string() + ": found " + found + ", wanted " + what);
  };
  std::error_code error;
  const auto status = std::filesystem::status(path, error);
  if (status.type() == std::filesystem::file_type::not_found)
    refuse("no such file");
  if (status.type() == std::filesystem::file_type::directory)
    refuse("a directory");
  std::ifstream file(path, std::ios::binary);
  std::string text(longest_file + 1, '\0');
  file.read(text.data(), static_cast<std::streamsize>(text.size()));
  if (file.bad() || !file.eof()) {
    if (file.gcount() > static_cast<std::streamsize>(longest_file))
      refuse("more than " + std::to_string(longest_file) + " bytes");
    refuse("a file that cannot be read");
  }
  text.resize(static_cast<std::size_t>(file.gcount()));
  return text;
}

Contour contour_points(std::string_view text, const std::string& file) {
  if (text.substr(0, 3) == "\xef\xbb\xbf")
    text.remove_prefix(3); // the byte order mark that some editors put before UTF-8

  Contour contour;
  for (std::size_t number = 1; !text.empty(); ++number) {
    const std::string_view line = text.substr(0, text.find('\n'));
    text.remove_prefix(std::min(line.size() + 1, text.size()));

    std::string_view words = line.substr(0, line.find('#'));
    const std::string_view first = take_word(words), second = take_word(words), third = take_word(words);
    if (first.empty())
      continue;
    const auto x = finite_number(first), z = finite_number(second);
    const std::string where = file + ":" + std::to_string(number) + ": found ";
    if (!x || !z || !third.empty()) {
      const std::string_view shown = line.substr(0, line.find_last_not_of(blanks) + 1);
      throw Error(where + in_quotes(shown) +
                  ", wanted two numbers, x and z, with blanks between them and decimal points" +
                  (contour.x.empty() ? "; put # before a heading" : ""));
    }
    if (contour.x.size() == most_points)
      throw Error(where + "more than " + std::to_string(most_points) + " points, wanted fewer");
    contour.x.push_back(*x);
    contour.z.push_back(*z);
  }
  return contour;
}

} // namespace vlm
