#pragma once

#include <cstddef>
#include <map>
#include <vector>

#include <vlm/file/hdf5_file.hpp>

namespace vlm {

/// What HDF5 writes through a descriptor, and what could not be written.
///
/// HDF5 crashes when it closes a file whose last writes have failed, as they do on a full disk. So it is
/// never told: from the first failure on, all that it writes is kept here, where it reads it back, and
/// whoever owns the file asks for the error.
struct Hdf5Bytes {
  int descriptor = -1;                            ///< open for reading and writing, of an empty file
  int error = 0;                                  ///< errno of the first failure; 0 if there was none
  bool closed = false;                            ///< whether HDF5 is through with the file
  std::map<haddr_t, std::vector<std::byte>> kept; ///< since then
};

/// File access properties that make HDF5 create its next file there. The bytes must outlive that file. Throws
/// Error if HDF5 does not take them.
Hdf5Id access_through(Hdf5Bytes&);

} // namespace vlm
