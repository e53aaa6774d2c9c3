#pragma once

#include <optional>
#include <span>

#include <vlm/file/hdf5_file.hpp>
#include <vlm/file/record_lattice.hpp>
#include <vlm/study/reach_study.hpp>

namespace vlm {

/// Writes the group /reach of a record. points: those of the study that were finished, in its order, one or
/// more. density [kg/m³]; speed [m/s] of the operation, if known.
void write_reach(const Hdf5File&, const RecordLattice&, const Craft&, const ReachStudy&,
                 std::span<const ReachPoint> points, double density, std::optional<double> speed);

} // namespace vlm
