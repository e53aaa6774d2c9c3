#pragma once

#include <string>

#include <vlm/file/hdf5_file.hpp>
#include <vlm/file/placement_output.hpp>

namespace vlm {

/// Adds the group /placement (docs/record.md). surface: name of the placed one.
void write_placement(const Hdf5File&, const PlacementResult&, const std::string& surface);

} // namespace vlm
