#pragma once

#include <filesystem>
#include <string>

#include <vlm/file/hdf5_driver.hpp>

namespace vlm {

/// The file PATH.partial that becomes PATH when all is written and else goes with this object, locked while
/// it is open so that no other run takes it for a leftover.
class PartialFile {
public:
  /// Throws Error (run) if it cannot be created, Error if another run holds it.
  explicit PartialFile(const std::filesystem::path& path);
  ~PartialFile();
  PartialFile(const PartialFile&) = delete;
  PartialFile& operator=(const PartialFile&) = delete;

  std::string name() const { return partial_.string(); } ///< with .partial
  bool replaces() const { return replaces_; }            ///< whether a run that did not end had left one
  Hdf5Bytes& bytes() { return bytes_; }                  ///< what the record is written to

  /// Throws Error (run) if something could not be written. The file is removed then: what is useless shall
  /// not keep a disk full.
  void check_written();

  /// Gives the record its name, once all is written and HDF5 is through with it. Throws Error (run) if it
  /// cannot.
  void finish();

private:
  void remove();
  [[noreturn]] void fail(const std::string& what) const;

  std::filesystem::path path_, partial_;
  bool replaces_ = false, there_ = true; // under the name with .partial
  Hdf5Bytes bytes_;
};

} // namespace vlm
