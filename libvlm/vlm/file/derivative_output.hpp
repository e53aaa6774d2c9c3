#pragma once

#include <string>
#include <vector>

#include <vlm/file/fields.hpp>
#include <vlm/force/derivatives.hpp>

namespace vlm {

/// Lines of a table of derivatives under the headings of their groups, within table_width and so many lines:
/// those that vanish are left out, and if there is no room the last couplings and parts, too. Lines say so.
/// parts: their names.
std::vector<std::string> derivative_lines(const std::vector<Derivative>&,
                                          const std::vector<std::string>& parts, std::size_t most_lines);

/// All of them for JSON, group after group, with what each part gives.
std::vector<Fields> derivative_fields(const std::vector<Derivative>&, const std::vector<std::string>& parts);

} // namespace vlm
