#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include <hdf5.h>

namespace vlm {

/// Keeps HDF5 from printing its errors while it lives: ours tell them.
class Hdf5Quiet {
public:
  Hdf5Quiet();
  ~Hdf5Quiet();
  Hdf5Quiet(const Hdf5Quiet&) = delete;
  Hdf5Quiet& operator=(const Hdf5Quiet&) = delete;

private:
  H5E_auto2_t print_ = nullptr;
  void* data_ = nullptr;
};

/// A share in an HDF5 identifier, which is closed with the last one.
class Hdf5Id {
public:
  Hdf5Id() = default;
  explicit Hdf5Id(hid_t id) : id_(id) {} ///< takes over a fresh identifier
  Hdf5Id(const Hdf5Id& other) : id_(other.id_) { share(); }
  Hdf5Id& operator=(Hdf5Id other) noexcept {
    std::swap(id_, other.id_);
    return *this;
  }
  ~Hdf5Id();

  hid_t get() const { return id_; }

private:
  void share() const;

  hid_t id_ = H5I_INVALID_HID;
};

/// What a dataset holds in the file: doubles, 64-bit integers, bytes or UTF-8 text.
enum class Hdf5Kind { real, integer, byte, text };

/// What a dataset is: its unit (SI, "1" for none) and a sentence.
struct Hdf5Meaning {
  std::string units, long_name;
};

/// An open dataset of a file.
class Hdf5Dataset {
public:
  explicit Hdf5Dataset(Hdf5Id id) : id_(std::move(id)) {}

  hid_t id() const { return id_.get(); }

  /// Writes values in the order of storage (the last dimension runs fastest) from the flat index `first` on.
  /// One that may grow gets as many rows as it takes. Throws Error (run) if the file cannot be written, or
  /// for a number that is not finite.
  void write(std::size_t first, std::span<const double> values) const;
  void write(std::size_t first, std::span<const std::int64_t> values) const;
  void write(std::size_t first, std::span<const std::uint8_t> values) const;
  void write(std::size_t first, std::span<const std::string> values) const;

private:
  void write(std::size_t first, std::size_t count, hid_t memory_type, const void* values) const;

  Hdf5Id id_;
};

struct Hdf5Bytes;

/// An HDF5 file being made. Its shape language is the dimension scale: a dataset is as large as the scales
/// attached to it.
class Hdf5File {
public:
  /// name: what errors call the file; nothing is read or written there, but through the bytes, which must
  /// outlive it.
  Hdf5File(const std::string& name, Hdf5Bytes&);

  hid_t id() const { return id_.get(); }

  /// Has HDF5 write what it holds back. Throws Error if it fails.
  void flush() const;

  /// Path from the root, "/a".
  Hdf5Id add_group(const std::string& path) const;

  /// A dimension scale of fixed size, or one that starts empty and grows.
  Hdf5Dataset add_scale(const std::string& path, Hdf5Kind, std::size_t size, const Hdf5Meaning&) const;
  Hdf5Dataset add_growing_scale(const std::string& path, Hdf5Kind, const Hdf5Meaning&) const;

  /// A dataset over scales, one a dimension; it may grow if the first of them does. Holds 0 until written.
  Hdf5Dataset add(const std::string& path, Hdf5Kind, std::span<const Hdf5Dataset> scales,
                  const Hdf5Meaning&) const;

  /// The companion PATH_valid of a dataset whose figures may be undefined: 1 where they are defined, else 0.
  Hdf5Dataset add_valid(const std::string& path, std::span<const Hdf5Dataset> scales) const;

  /// A dataset of figures, 0 where they are undefined, and its companion.
  void add_figures(const std::string& path, std::span<const Hdf5Dataset> scales, const Hdf5Meaning&,
                   std::span<const std::optional<double>> figures) const;

private:
  Hdf5Dataset create(const std::string& path, Hdf5Kind, const std::vector<hsize_t>& size,
                     const std::vector<hsize_t>& most, const Hdf5Meaning&) const;

  Hdf5Id id_;
};

// Attributes of a file (its root), group or dataset; one of the same name is replaced.
void set_attribute(hid_t object, const char* name, std::string_view text);
void set_attribute(hid_t object, const char* name, double number);
void set_attribute(hid_t object, const char* name, int number);
void set_attribute(hid_t object, const char* name, std::span<const double> numbers);
void set_attribute(hid_t object, const char* name, std::span<const int> numbers);

/// Text stored as so many ASCII characters instead of as UTF-8 of any length.
void set_fixed_text_attribute(hid_t object, const char* name, std::string_view text);

} // namespace vlm
