#pragma once

#include <vlm/file/comparison_output.hpp>
#include <vlm/file/hdf5_file.hpp>

namespace vlm {

/// Adds the group /comparison (docs/record.md).
void write_comparison(const Hdf5File&, const ComparisonResult&);

} // namespace vlm
