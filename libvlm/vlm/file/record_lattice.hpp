#pragma once

#include <vector>

#include <vlm/file/hdf5_file.hpp>
#include <vlm/lattice/lattice.hpp>
#include <vlm/shape/craft.hpp>

namespace vlm {

/// What of a lattice's groups in a record the results refer to.
struct RecordLattice {
  Hdf5Dataset axis, part, strip, panel; ///< dimension scales
  std::vector<double>
      panel_length; ///< [panels], chordwise, in the middle of the strip; of the shell along the body [m]
};

/// Writes the groups /index, /lattice and /VTKHDF, the last without cell data.
RecordLattice write_lattice(const Hdf5File&, const Craft&, const Lattice&);

} // namespace vlm
