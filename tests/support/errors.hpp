#pragma once

#include <functional>
#include <string>

#include <vlm/base/error.hpp>

namespace errors {

/// What the call says when it refuses; "no error" when it does not.
inline std::string error_of(const std::function<void()>& call) {
  try {
    call();
  } catch (const vlm::Error& error) {
    return error.what();
  }
  return "no error";
}

} // namespace errors
