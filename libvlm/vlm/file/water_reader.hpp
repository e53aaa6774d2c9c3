#pragma once

#include <string>
#include <vector>

#include <vlm/file/case.hpp>
#include <vlm/file/toml_reader.hpp>
#include <vlm/water/still_surface.hpp>

namespace vlm {

/// The water of a case, what bounds it, and what reading assumed: a sentence each.
struct WaterRead {
  WaterChoice choice;
  Water water;
  StillSurface still_surface;
  std::vector<std::string> notes;
};

/// From the table [water], which may be missing. Throws Error with the place in the case.
WaterRead water_from(const TomlValue& table);

} // namespace vlm
