#pragma once

#include <span>

#include <vlm/file/hdf5_file.hpp>
#include <vlm/ride/handling.hpp>

namespace vlm {

/// Writes the group /handling of a record, an entry a speed.
void write_handling(const Hdf5File&, std::span<const HandlingPoint>);

} // namespace vlm
