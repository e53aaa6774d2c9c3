#pragma once

#include <string>
#include <vector>

#include <vlm/file/fields.hpp>
#include <vlm/force/derivatives.hpp>

namespace vlm {

/// Lines of a table of derivatives under the headings of their groups, within table_width and so many lines:
/// those that vanish are left out, and if there is no room the last couplings and parts, too, or the shares
/// of all parts. Lines say so.
/// without_image: those of the same names without the image of the still surface, for a column beside; empty
/// if there is no need of it. parts: their names.
std::vector<std::string> derivative_lines(const std::vector<Derivative>&,
                                          const std::vector<Derivative>& without_image,
                                          const std::vector<std::string>& parts, std::size_t most_lines);

/// All of them for JSON, group after group, with what each part gives; likewise beside those without the
/// image.
std::vector<Fields> derivative_fields(const std::vector<Derivative>&,
                                      const std::vector<Derivative>& without_image,
                                      const std::vector<std::string>& parts);

} // namespace vlm
