#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include <vlm/file/toml_reader.hpp>
#include <vlm/shape/section.hpp>

namespace vlm {

/// A section, and what reading it changed: a sentence each.
struct SectionRead {
  Section section;
  std::vector<std::string> notes;
};

/// The section of a table [section.NAME]; a contour file is looked for in `folder`. Throws Error with the
/// place in the case, or in the contour file if that is at fault.
SectionRead section_from(const TomlValue& table, const std::filesystem::path& folder);

} // namespace vlm
