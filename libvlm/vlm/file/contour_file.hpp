#pragma once

#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

namespace vlm {

/// The points of a section's contour in the order of their file, one unit of length for both.
struct Contour {
  std::vector<double> x, z;
};

/// The points in the text of a contour file: two numbers a line, x and z; # starts a comment. Throws Error
/// "FILE:LINE: found …, wanted …". `file` is for the messages.
Contour contour_points(std::string_view text, const std::string& file);

/// A whole text file, byte for byte. Throws Error "FILE: found …, wanted WHAT" for a file that is not
/// there, a directory, one that cannot be read, or one of more than 1,000,000 bytes.
std::string read_text(const std::filesystem::path&, const std::string& what);

} // namespace vlm
