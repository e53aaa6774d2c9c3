#include <vlm/file/hdf5_file.hpp>

#include <algorithm>
#include <cmath>

#include <hdf5_hl.h>

#include <vlm/base/error.hpp>
#include <vlm/file/hdf5_driver.hpp>

namespace vlm {
namespace {

// Rows of a chunk of a dataset that grows, and the most numbers in one.
constexpr hsize_t chunk_rows = 64, chunk_numbers = 1 << 16;

// What went wrong at the bottom of the last failed call, without HDF5's own bookkeeping about it.
std::string reason() {
  std::string text;
  const auto take_first = [](unsigned, const H5E_error2_t* error, void* out) -> herr_t {
    *static_cast<std::string*>(out) = error->desc ? error->desc : "";
    return 1;
  };
  H5Ewalk2(H5E_DEFAULT, H5E_WALK_UPWARD, take_first, &text);
  return text.empty() ? "unknown reason" : text;
}

std::string name_of(hid_t object) {
  char file[4096] = "", path[4096] = "";
  H5Fget_name(object, file, sizeof file);
  H5Iget_name(object, path, sizeof path);
  return std::string(file) + ": " + path;
}

// Passes on the result of an HDF5 call on an object, or throws.
template <class Result>
Result check(Result result, hid_t object) {
  if (result < 0) {
    const std::string why = reason(); // before another call clears it
    throw Error(name_of(object) + ": cannot be made: " + why, ErrorKind::run);
  }
  return result;
}

Hdf5Id checked(hid_t id, hid_t object) {
  return Hdf5Id(check(id, object));
}

Hdf5Id text_type(hid_t object) {
  Hdf5Id type = checked(H5Tcopy(H5T_C_S1), object);
  check(H5Tset_size(type.get(), H5T_VARIABLE), object);
  check(H5Tset_cset(type.get(), H5T_CSET_UTF8), object);
  return type;
}

Hdf5Id file_type(Hdf5Kind kind, hid_t object) {
  switch (kind) {
  case Hdf5Kind::integer:
    return checked(H5Tcopy(H5T_STD_I64LE), object);
  case Hdf5Kind::byte:
    return checked(H5Tcopy(H5T_STD_U8LE), object);
  case Hdf5Kind::text:
    return text_type(object);
  case Hdf5Kind::real:
    break;
  }
  return checked(H5Tcopy(H5T_IEEE_F64LE), object);
}

std::vector<hsize_t> shape(hid_t dataset) {
  const Hdf5Id space = checked(H5Dget_space(dataset), dataset);
  std::vector<hsize_t> size(
      static_cast<std::size_t>(check(H5Sget_simple_extent_ndims(space.get()), dataset)));
  check(H5Sget_simple_extent_dims(space.get(), size.data(), nullptr), dataset);
  return size;
}

bool grows(hid_t dataset) {
  const Hdf5Id space = checked(H5Dget_space(dataset), dataset);
  std::vector<hsize_t> most(
      static_cast<std::size_t>(check(H5Sget_simple_extent_ndims(space.get()), dataset)));
  check(H5Sget_simple_extent_dims(space.get(), nullptr, most.data()), dataset);
  return most.front() == H5S_UNLIMITED;
}

void refuse_non_finite(std::span<const double> values, hid_t object, const std::string& name) {
  for (const double value : values)
    if (!std::isfinite(value))
      throw Error(name_of(object) + name +
                      ": found a number that is not finite, wanted finite figures: the solution " +
                      "they come from is not sound",
                  ErrorKind::run);
}

void write_attribute(hid_t object, const char* name, hid_t type, const Hdf5Id& space, const void* value) {
  if (check(H5Aexists(object, name), object) > 0)
    check(H5Adelete(object, name), object);
  const Hdf5Id attribute =
      checked(H5Acreate2(object, name, type, space.get(), H5P_DEFAULT, H5P_DEFAULT), object);
  check(H5Awrite(attribute.get(), type, value), object);
}

Hdf5Id scalar(hid_t object) {
  return checked(H5Screate(H5S_SCALAR), object);
}

Hdf5Id list(std::size_t size, hid_t object) {
  const hsize_t count = size;
  return checked(H5Screate_simple(1, &count, nullptr), object);
}

} // namespace

Hdf5Quiet::Hdf5Quiet() {
  H5Eget_auto2(H5E_DEFAULT, &print_, &data_);
  H5Eset_auto2(H5E_DEFAULT, nullptr, nullptr);
}

Hdf5Quiet::~Hdf5Quiet() {
  H5Eset_auto2(H5E_DEFAULT, print_, data_);
}

Hdf5Id::~Hdf5Id() {
  if (id_ >= 0)
    H5Idec_ref(id_);
}

void Hdf5Id::share() const {
  if (id_ >= 0)
    H5Iinc_ref(id_);
}

void Hdf5Dataset::write(std::size_t first, std::span<const double> values) const {
  refuse_non_finite(values, id(), "");
  write(first, values.size(), H5T_NATIVE_DOUBLE, values.data());
}

void Hdf5Dataset::write(std::size_t first, std::span<const std::int64_t> values) const {
  write(first, values.size(), H5T_NATIVE_INT64, values.data());
}

void Hdf5Dataset::write(std::size_t first, std::span<const std::uint8_t> values) const {
  write(first, values.size(), H5T_NATIVE_UINT8, values.data());
}

void Hdf5Dataset::write(std::size_t first, std::span<const std::string> values) const {
  std::vector<const char*> pointers;
  for (const std::string& value : values)
    pointers.push_back(value.c_str());
  write(first, pointers.size(), text_type(id()).get(), pointers.data());
}

void Hdf5Dataset::write(std::size_t first, std::size_t count, hid_t memory_type, const void* values) const {
  if (count == 0)
    return;
  std::vector<hsize_t> size = shape(id());
  hsize_t columns = 1;
  for (std::size_t d = 1; d < size.size(); ++d)
    columns *= size[d];
  if (const hsize_t rows = (first + count + columns - 1) / columns; rows > size[0] && grows(id())) {
    size[0] = rows;
    check(H5Dset_extent(id(), size.data()), id());
  }
  // A run of the flat order is at most a part of a row, whole rows and a part of a row; datasets have one or
  // two dimensions.
  const Hdf5Id space = checked(H5Dget_space(id()), id());
  check(H5Sselect_none(space.get()), id());
  for (hsize_t at = first, end = first + count; at < end;) {
    const hsize_t row = at / columns, column = at % columns;
    const bool whole = column == 0 && end - at >= columns;
    const hsize_t start[2] = {row, column};
    const hsize_t block[2] = {whole ? (end - at) / columns : 1,
                              whole ? columns : std::min(columns - column, end - at)};
    check(H5Sselect_hyperslab(space.get(), H5S_SELECT_OR, start, nullptr, block, nullptr), id());
    at += block[0] * block[1];
  }
  const Hdf5Id memory = list(count, id());
  check(H5Dwrite(id(), memory_type, memory.get(), space.get(), H5P_DEFAULT, values), id());
}

Hdf5File::Hdf5File(const std::string& name, Hdf5Bytes& bytes) {
  id_ = Hdf5Id(H5Fcreate(name.c_str(), H5F_ACC_TRUNC, H5P_DEFAULT, access_through(bytes).get()));
  if (id() < 0)
    throw Error(name + ": cannot be made: " + reason(), ErrorKind::run);
}

void Hdf5File::flush() const {
  check(H5Fflush(id(), H5F_SCOPE_GLOBAL), id());
}

Hdf5Id Hdf5File::add_group(const std::string& path) const {
  return checked(H5Gcreate2(id(), path.c_str(), H5P_DEFAULT, H5P_DEFAULT, H5P_DEFAULT), id());
}

Hdf5Dataset Hdf5File::create(const std::string& path, Hdf5Kind kind, const std::vector<hsize_t>& size,
                             const std::vector<hsize_t>& most, const Hdf5Meaning& meaning) const {
  const Hdf5Id type = file_type(kind, id());
  const Hdf5Id space =
      checked(H5Screate_simple(static_cast<int>(size.size()), size.data(), most.data()), id());
  const Hdf5Id properties = checked(H5Pcreate(H5P_DATASET_CREATE), id());
  if (most.front() == H5S_UNLIMITED) {
    std::vector<hsize_t> chunk = size;
    hsize_t columns = 1;
    for (std::size_t d = 1; d < size.size(); ++d)
      columns *= size[d];
    chunk[0] = std::clamp<hsize_t>(chunk_numbers / columns, 1, chunk_rows);
    check(H5Pset_chunk(properties.get(), static_cast<int>(chunk.size()), chunk.data()), id());
  }
  const Hdf5Dataset dataset(checked(
      H5Dcreate2(id(), path.c_str(), type.get(), space.get(), H5P_DEFAULT, properties.get(), H5P_DEFAULT),
      id()));
  set_attribute(dataset.id(), "units", meaning.units);
  set_attribute(dataset.id(), "long_name", meaning.long_name);
  return dataset;
}

Hdf5Dataset Hdf5File::add_scale(const std::string& path, Hdf5Kind kind, std::size_t size,
                                const Hdf5Meaning& meaning) const {
  const Hdf5Dataset scale = create(path, kind, {size}, {size}, meaning);
  check(H5DSset_scale(scale.id(), path.c_str() + path.rfind('/') + 1), scale.id());
  return scale;
}

Hdf5Dataset Hdf5File::add_growing_scale(const std::string& path, Hdf5Kind kind,
                                        const Hdf5Meaning& meaning) const {
  const Hdf5Dataset scale = create(path, kind, {0}, {H5S_UNLIMITED}, meaning);
  check(H5DSset_scale(scale.id(), path.c_str() + path.rfind('/') + 1), scale.id());
  return scale;
}

Hdf5Dataset Hdf5File::add(const std::string& path, Hdf5Kind kind, std::span<const Hdf5Dataset> scales,
                          const Hdf5Meaning& meaning) const {
  std::vector<hsize_t> size, most;
  for (const Hdf5Dataset& scale : scales) {
    size.push_back(shape(scale.id()).front());
    most.push_back(grows(scale.id()) ? H5S_UNLIMITED : size.back());
  }
  const Hdf5Dataset dataset = create(path, kind, size, most, meaning);
  for (std::size_t d = 0; d < scales.size(); ++d)
    check(H5DSattach_scale(dataset.id(), scales[d].id(), static_cast<unsigned>(d)), dataset.id());
  return dataset;
}

Hdf5Dataset Hdf5File::add_valid(const std::string& path, std::span<const Hdf5Dataset> scales) const {
  return add(path + "_valid", Hdf5Kind::byte, scales,
             {"1", "1 where " + path.substr(path.rfind('/') + 1) + " is defined, else 0"});
}

void Hdf5File::add_figures(const std::string& path, std::span<const Hdf5Dataset> scales,
                           const Hdf5Meaning& meaning, std::span<const std::optional<double>> figures) const {
  std::vector<double> values;
  std::vector<std::uint8_t> valid;
  for (const std::optional<double>& figure : figures) {
    values.push_back(figure.value_or(0));
    valid.push_back(figure.has_value());
  }
  add(path, Hdf5Kind::real, scales, meaning).write(0, values);
  add_valid(path, scales).write(0, valid);
}

void set_attribute(hid_t object, const char* name, std::string_view text) {
  const std::string terminated(text);
  const char* pointer = terminated.c_str();
  write_attribute(object, name, text_type(object).get(), scalar(object), &pointer);
}

void set_attribute(hid_t object, const char* name, double number) {
  refuse_non_finite({&number, 1}, object, std::string("attribute ") + name);
  write_attribute(object, name, H5T_NATIVE_DOUBLE, scalar(object), &number);
}

void set_attribute(hid_t object, const char* name, int number) {
  write_attribute(object, name, H5T_NATIVE_INT, scalar(object), &number);
}

void set_attribute(hid_t object, const char* name, std::span<const double> numbers) {
  refuse_non_finite(numbers, object, std::string("attribute ") + name);
  write_attribute(object, name, H5T_NATIVE_DOUBLE, list(numbers.size(), object), numbers.data());
}

void set_attribute(hid_t object, const char* name, std::span<const int> numbers) {
  write_attribute(object, name, H5T_NATIVE_INT, list(numbers.size(), object), numbers.data());
}

void set_fixed_text_attribute(hid_t object, const char* name, std::string_view text) {
  const Hdf5Id type = checked(H5Tcopy(H5T_C_S1), object);
  check(H5Tset_size(type.get(), text.size()), object);
  check(H5Tset_strpad(type.get(), H5T_STR_NULLPAD), object);
  write_attribute(object, name, type.get(), scalar(object), text.data());
}

} // namespace vlm
