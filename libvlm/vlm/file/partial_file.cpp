#include <vlm/file/partial_file.hpp>

#include <cerrno>
#include <cstdio>
#include <cstring>
#include <system_error>
#include <utility>

#include <fcntl.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <vlm/base/error.hpp>

namespace vlm {

PartialFile::PartialFile(const std::filesystem::path& path) : path_(path), partial_(path) {
  partial_ += ".partial";
  std::error_code ignored; // what is wrong with a path shows when it is opened
  replaces_ = std::filesystem::exists(partial_, ignored);
  bytes_.descriptor = ::open(partial_.c_str(), O_RDWR | O_CREAT | O_CLOEXEC, 0666);
  if (bytes_.descriptor < 0)
    fail("cannot be created");
  try {
    const bool held = flock(bytes_.descriptor, LOCK_EX | LOCK_NB) != 0 && errno == EWOULDBLOCK;
    // A run that held it may have ended just now and renamed the file: then what is open here is its record.
    struct stat opened = {};
    struct stat named = {};
    const bool renamed = fstat(bytes_.descriptor, &opened) != 0 || stat(partial_.c_str(), &named) != 0 ||
                         opened.st_dev != named.st_dev || opened.st_ino != named.st_ino;
    if (held || renamed)
      throw Error(path_.string() + ": found another run writing this record, wanted none: wait for it, or "
                                   "give another name");
    if (ftruncate(bytes_.descriptor, 0) != 0)
      fail("cannot be emptied");
  } catch (const Error&) {
    ::close(bytes_.descriptor);
    throw;
  }
}

PartialFile::~PartialFile() {
  remove(); // while it is locked: once it is not, the name may be another run's
  ::close(bytes_.descriptor);
}

void PartialFile::check_written() {
  if (bytes_.error == 0)
    return;
  remove();
  errno = bytes_.error;
  fail("cannot be written");
}

void PartialFile::remove() {
  if (std::exchange(there_, false))
    ::unlink(partial_.c_str());
}

void PartialFile::finish() {
  if (bytes_.error == 0 && !bytes_.closed)
    bytes_.error = EIO; // HDF5 has not brought it to its end
  if (bytes_.error == 0 && fsync(bytes_.descriptor) != 0)
    bytes_.error = errno;
  check_written();
  if (std::rename(partial_.c_str(), path_.c_str()) != 0) {
    const int why = errno;
    remove();
    errno = why;
    fail("cannot be renamed to " + path_.filename().string());
  }
  there_ = false;
}

void PartialFile::fail(const std::string& what) const {
  throw Error(name() + ": " + what + ": " + std::strerror(errno) + "; make room or write elsewhere",
              ErrorKind::run);
}

} // namespace vlm
