#pragma once

#include <stdexcept>
#include <string>

namespace vlm {

/// What the caller can do about an error: mend what was asked for, or look at the machine.
enum class ErrorKind {
  input, ///< a case, an option or an argument is wrong; the message says what to write instead
  run,   ///< the request was sound, but a file could not be written or a figure came out non-finite
};

/// The one exception of the library. The message says where, what was found and what is wanted.
class Error : public std::runtime_error {
public:
  /// An error with that message, in UTF-8.
  explicit Error(const std::string& message, ErrorKind kind = ErrorKind::input)
      : std::runtime_error(message), kind_(kind) {}
  /// What the caller can do about it.
  ErrorKind kind() const { return kind_; }

private:
  ErrorKind kind_;
};

} // namespace vlm
