#include <vlm/file/hdf5_driver.hpp>

#include <algorithm>
#include <cerrno>
#include <cstring>
#include <iterator>
#include <limits>
#include <new>

#include <unistd.h>

#include <vlm/base/error.hpp>

namespace vlm {
namespace {

constexpr haddr_t largest_address = std::numeric_limits<off_t>::max();

// As HDF5 wants it: its own part first.
struct File {
  H5FD_t base;
  Hdf5Bytes* bytes;
  haddr_t end_of_addresses, end_of_file;
};

Hdf5Bytes& bytes_of(const H5FD_t* file) {
  return *reinterpret_cast<const File*>(file)->bytes;
}

H5FD_t* open(const char*, unsigned, hid_t properties, haddr_t) {
  auto* bytes = *static_cast<Hdf5Bytes* const*>(H5Pget_driver_info(properties));
  auto* file = new (std::nothrow) File{{}, bytes, 0, 0};
  return file == nullptr ? nullptr : &file->base;
}

herr_t close(H5FD_t* file) {
  bytes_of(file).closed = true;
  delete reinterpret_cast<File*>(file);
  return 0;
}

int compare(const H5FD_t* a, const H5FD_t* b) {
  const Hdf5Bytes *first = &bytes_of(a), *second = &bytes_of(b);
  return first < second ? -1 : first > second ? 1 : 0;
}

herr_t query(const H5FD_t*, unsigned long* flags) {
  *flags = H5FD_FEAT_AGGREGATE_METADATA | H5FD_FEAT_ACCUMULATE_METADATA | H5FD_FEAT_DATA_SIEVE |
           H5FD_FEAT_AGGREGATE_SMALLDATA;
  return 0;
}

haddr_t end_of_addresses(const H5FD_t* file, H5FD_mem_t) {
  return reinterpret_cast<const File*>(file)->end_of_addresses;
}

herr_t set_end_of_addresses(H5FD_t* file, H5FD_mem_t, haddr_t address) {
  reinterpret_cast<File*>(file)->end_of_addresses = address;
  return 0;
}

haddr_t end_of_file(const H5FD_t* file, H5FD_mem_t) {
  return reinterpret_cast<const File*>(file)->end_of_file;
}

herr_t read(H5FD_t* file, H5FD_mem_t, hid_t, haddr_t address, std::size_t size, void* into) {
  Hdf5Bytes& bytes = bytes_of(file);
  auto* to = static_cast<std::byte*>(into);
  std::size_t done = 0;
  while (done < size) {
    const ssize_t got = ::pread(bytes.descriptor, to + done, size - done, static_cast<off_t>(address + done));
    if (got < 0 && errno == EINTR)
      continue;
    if (got < 0) {
      bytes.error = errno;
      return -1;
    }
    if (got == 0)
      break;
    done += static_cast<std::size_t>(got);
  }
  std::fill(to + done, to + size, std::byte{0}); // beyond the end, as HDF5 wants it
  for (const auto& [from, kept] : bytes.kept) {
    const haddr_t first = std::max(from, address), end = std::min(from + kept.size(), address + size);
    if (first < end)
      std::memcpy(to + (first - address), kept.data() + (first - from), end - first);
  }
  return 0;
}

// Later writes lie over earlier ones, so what they cover of these goes.
void keep(Hdf5Bytes& bytes, haddr_t address, const std::byte* from, std::size_t size) {
  const haddr_t end = address + size;
  for (auto old = bytes.kept.begin(); old != bytes.kept.end();) {
    const haddr_t old_first = old->first, old_end = old_first + old->second.size();
    if (old_end <= address || old_first >= end) {
      ++old;
      continue;
    }
    const std::vector<std::byte> was = std::move(old->second);
    old = bytes.kept.erase(old);
    if (old_first < address)
      bytes.kept[old_first].assign(was.begin(),
                                   was.begin() + static_cast<std::ptrdiff_t>(address - old_first));
    if (old_end > end)
      bytes.kept[end].assign(was.end() - static_cast<std::ptrdiff_t>(old_end - end), was.end());
  }
  bytes.kept[address].assign(from, from + size);
}

herr_t write(H5FD_t* file, H5FD_mem_t, hid_t, haddr_t address, std::size_t size, const void* from) {
  Hdf5Bytes& bytes = bytes_of(file);
  const auto* data = static_cast<const std::byte*>(from);
  std::size_t done = 0;
  while (bytes.error == 0 && done < size) {
    const ssize_t put =
        ::pwrite(bytes.descriptor, data + done, size - done, static_cast<off_t>(address + done));
    if (put < 0 && errno != EINTR)
      bytes.error = errno;
    else if (put > 0)
      done += static_cast<std::size_t>(put);
  }
  try {
    if (done < size)
      keep(bytes, address + done, data + done, size - done);
  } catch (const std::bad_alloc&) { // must not fly through HDF5
    bytes.error = ENOMEM;
    return -1;
  }
  haddr_t& end = reinterpret_cast<File*>(file)->end_of_file;
  end = std::max(end, address + size);
  return 0;
}

herr_t truncate(H5FD_t* file, hid_t, hbool_t) {
  File& f = *reinterpret_cast<File*>(file);
  if (f.bytes->error == 0 && ::ftruncate(f.bytes->descriptor, static_cast<off_t>(f.end_of_addresses)) != 0)
    f.bytes->error = errno;
  f.end_of_file = f.end_of_addresses;
  return 0;
}

// Anew for each record: a program may shut HDF5 down in between, which forgets drivers.
Hdf5Id driver() {
  static const H5FD_class_t description = [] {
    H5FD_class_t c{};
#ifdef H5FD_CLASS_VERSION // from HDF5 1.13 on
    c.version = H5FD_CLASS_VERSION;
#endif
    c.name = "vlm";
    c.maxaddr = largest_address;
    c.fc_degree = H5F_CLOSE_WEAK;
    c.fapl_size = sizeof(Hdf5Bytes*);
    c.open = open;
    c.close = close;
    c.cmp = compare;
    c.query = query;
    c.get_eoa = end_of_addresses;
    c.set_eoa = set_end_of_addresses;
    c.get_eof = end_of_file;
    c.read = read;
    c.write = write;
    c.truncate = truncate;
    const H5FD_mem_t lists[] = H5FD_FLMAP_DICHOTOMY;
    std::copy(std::begin(lists), std::end(lists), c.fl_map);
    return c;
  }();
  return Hdf5Id(H5FDregister(&description));
}

} // namespace

Hdf5Id access_through(Hdf5Bytes& bytes) {
  Hdf5Id properties(H5Pcreate(H5P_FILE_ACCESS));
  Hdf5Bytes* const info = &bytes;
  const Hdf5Id own = driver(); // which the properties hold on to
  if (properties.get() < 0 || own.get() < 0 || H5Pset_driver(properties.get(), own.get(), &info) < 0)
    throw Error(
        "HDF5 does not take the library's way of writing records: another version than it was built with?",
        ErrorKind::run);
  return properties;
}

} // namespace vlm
