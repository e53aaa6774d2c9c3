#pragma once

#include <optional>
#include <string>
#include <vector>

#include <vlm/file/toml_reader.hpp>
#include <vlm/ride/loading.hpp>

namespace vlm {

/// What the foil carries, if a case says so, and what reading assumed: a sentence each.
struct LoadingRead {
  std::optional<Loading> loading;
  std::vector<std::string> notes;
};

/// From the tables [rider], [[mass]], [deck], [stance] and [drive] at the root of a case; without [rider]
/// there is no loading, and none of the others may stand there. density [kg/m³]: of the water. Throws Error
/// with the place in the case.
LoadingRead loading_from(const TomlValue& root, double density);

} // namespace vlm
