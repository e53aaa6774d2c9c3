#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace vlm {

/// What tables for a terminal keep to.
inline constexpr std::size_t table_width = 100, table_lines = 40;

/// What stands for a figure that is undefined.
inline constexpr std::string_view undefined_figure = "–";

/// A number with so many decimals, or in powers of ten above 1e7; without a minus before a zero. Throws Error
/// (run) if it is not finite.
std::string fixed(double value, int decimals);
std::string fixed(const std::optional<double>& value, int decimals); ///< undefined_figure if unset

/// Fewest decimals from `least` to 6 that tell the numbers exactly, to a millionth.
int decimals_needed(const std::vector<double>& values, int least);

/// Indices of at most so many of `count` things, evenly among them, the first and the last included.
std::vector<std::size_t> spread_over(std::size_t count, std::size_t most);

/// Columns that a text takes on a terminal. text: UTF-8.
std::size_t columns_of(std::string_view text);

/// The text, or as much of it as fits the columns and "…".
std::string cut(std::string_view text, std::size_t columns);

/// The text in lines of at most so many columns, broken between words where it can be; later lines are
/// indented.
std::vector<std::string> wrapped(std::string_view text, std::size_t columns, std::size_t indent);

/// Why there are no figures at some speeds [m/s], each reason once, as lines below a table. refused: speed
/// and reason.
std::vector<std::string> refusal_lines(const std::vector<std::pair<double, std::string>>& refused);

/// Rows of cells under heads; the columns are as wide as they need to be, two spaces apart.
struct TextTable {
  std::vector<std::string> heads; ///< with line feeds if they take several lines; these stand at the bottom
  std::vector<std::vector<std::string>> rows; ///< each as long as heads
  bool first_is_text = false;                 ///< first column to the left; all else stands to the right

  std::size_t width() const;
  std::vector<std::string> lines() const;
};

} // namespace vlm
