#include <vlm/file/text_table.hpp>

#include <algorithm>
#include <charconv>
#include <cmath>

#include <vlm/base/error.hpp>

namespace vlm {
namespace {

std::vector<std::string> split(const std::string& text, char separator) {
  std::vector<std::string> parts(1);
  for (const char c : text) {
    if (c == separator)
      parts.emplace_back();
    else
      parts.back() += c;
  }
  return parts;
}

bool starts_character(char c) {
  return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U; // else it continues one of UTF-8
}

} // namespace

std::string fixed(double value, int decimals) {
  if (!std::isfinite(value))
    throw Error("a figure of the table came out as no finite number: look for surfaces that all but touch, "
                "or lower the "
                "counts of strips and panels",
                ErrorKind::run);
  const bool large = std::abs(value) >= 1e7;
  char buffer[64];
  const auto end = std::to_chars(buffer, buffer + sizeof buffer, value,
                                 large ? std::chars_format::scientific : std::chars_format::fixed,
                                 large ? std::min(decimals, 4) : decimals)
                       .ptr;
  std::string text(buffer, end);
  if (text.find_first_not_of("-0.") == std::string::npos && text.front() == '-')
    text.erase(0, 1);
  return text;
}

std::string fixed(const std::optional<double>& value, int decimals) {
  return value ? fixed(*value, decimals) : std::string(undefined_figure);
}

int decimals_needed(const std::vector<double>& values, int least) {
  int decimals = least;
  for (const double value : values)
    for (; decimals < 6; ++decimals) {
      const double scaled = value * std::pow(10, decimals);
      if (std::abs(scaled - std::round(scaled)) <= 1e-6 * std::pow(10, decimals))
        break;
    }
  return decimals;
}

std::vector<std::size_t> spread_over(std::size_t count, std::size_t most) {
  std::vector<std::size_t> chosen;
  const std::size_t shown = std::min(count, most);
  for (std::size_t i = 0; i < shown; ++i)
    chosen.push_back(shown == 1 ? 0 : i * (count - 1) / (shown - 1));
  return chosen;
}

std::size_t columns_of(std::string_view text) {
  return static_cast<std::size_t>(std::count_if(text.begin(), text.end(), starts_character));
}

std::string cut(std::string_view text, std::size_t columns) {
  if (columns_of(text) <= columns)
    return std::string(text);
  std::size_t end = 0;
  for (std::size_t taken = 0; end < text.size(); ++end)
    if (starts_character(text[end]) && ++taken == columns)
      break;
  return std::string(text.substr(0, end)) + "…";
}

std::vector<std::string> wrapped(std::string_view text, std::size_t columns, std::size_t indent) {
  std::vector<std::string> lines;
  std::string line;
  bool empty = true; // but for the indent
  for (std::string word : split(std::string(text), ' ')) {
    if (!empty && columns_of(line) + 1 + columns_of(word) > columns) {
      lines.push_back(line);
      line.assign(indent, ' ');
      empty = true;
    }
    word = cut(word, columns - (empty ? columns_of(line) : 0));
    line += (empty ? "" : " ") + word;
    empty = false;
  }
  lines.push_back(line);
  return lines;
}

std::vector<std::string> refusal_lines(const std::vector<std::pair<double, std::string>>& refused) {
  constexpr std::size_t most_named = 4;
  std::vector<std::string> lines;
  for (std::size_t i = 0; i < refused.size(); ++i) {
    const std::string& reason = refused[i].second;
    const auto same = [&](const auto& other) { return other.second == reason; };
    const auto first = refused.begin(), here = first + static_cast<std::ptrdiff_t>(i);
    if (std::find_if(first, here, same) != here)
      continue;
    std::vector<double> speeds;
    for (const auto& [speed, why] : refused)
      if (why == reason)
        speeds.push_back(speed);
    std::string at;
    if (speeds.size() > most_named)
      at = std::to_string(speeds.size()) + " speeds from " + fixed(speeds.front(), 2) + " to " +
           fixed(speeds.back(), 2);
    else
      for (const double speed : speeds)
        at += (at.empty() ? "" : ", ") + fixed(speed, 2);
    for (const std::string& line : wrapped("– at " + at + " m/s: " + reason, table_width, 2))
      lines.push_back(line);
  }
  return lines;
}

std::size_t TextTable::width() const {
  std::size_t most = 0;
  for (const std::string& line : lines())
    most = std::max(most, columns_of(line));
  return most;
}

std::vector<std::string> TextTable::lines() const {
  std::vector<std::vector<std::string>> head_lines; // a column each
  std::vector<std::size_t> widths;
  std::size_t height = 1;
  for (const std::string& head : heads) {
    head_lines.push_back(split(head, '\n'));
    height = std::max(height, head_lines.back().size());
    std::size_t width = 0;
    for (const std::string& line : head_lines.back())
      width = std::max(width, columns_of(line));
    widths.push_back(width);
  }
  for (const auto& row : rows)
    for (std::size_t c = 0; c < row.size(); ++c)
      widths[c] = std::max(widths[c], columns_of(row[c]));

  std::vector<std::string> result;
  const auto add = [&](const std::vector<std::string>& cells) {
    std::string line;
    for (std::size_t c = 0; c < cells.size(); ++c) {
      const std::string blanks(widths[c] - columns_of(cells[c]), ' ');
      line += c == 0 ? "" : "  ";
      line += c == 0 && first_is_text ? cells[c] + blanks : blanks + cells[c];
    }
    line.erase(line.find_last_not_of(' ') + 1);
    result.push_back(line);
  };
  for (std::size_t i = 0; i < height; ++i) {
    std::vector<std::string> cells;
    for (const auto& lines_of_head : head_lines) {
      const std::size_t above = height - lines_of_head.size();
      cells.push_back(i < above ? "" : lines_of_head[i - above]);
    }
    add(cells);
  }
  for (const auto& row : rows)
    add(row);
  return result;
}

} // namespace vlm
