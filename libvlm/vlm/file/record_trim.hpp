#pragma once

#include <vlm/file/hdf5_file.hpp>
#include <vlm/file/record_lattice.hpp>
#include <vlm/file/trim_output.hpp>

namespace vlm {

/// Adds the group /trim (docs/record.md). part: the scale of the parts; strip: that of the strips.
void write_trim(const Hdf5File&, const Hdf5Dataset& part, const Hdf5Dataset& strip, const TrimResult&);

} // namespace vlm
