#pragma once

#include <cstdio>
#include <cstdlib>
#include <exception>
#include <string>

#include <vlm/base/error.hpp>

/// Ends the fuzzer with a finding unless the condition holds.
inline void require(bool holds, const std::string& what) {
  if (!holds) {
    std::fprintf(stderr, "finding: %s\n", what.c_str());
    std::abort();
  }
}

/// Reads, and lets pass nothing but an Error about the input, told in one line.
template <class Read>
void read_or_refuse(const Read& read) {
  try {
    read();
  } catch (const vlm::Error& error) {
    const std::string message = error.what();
    require(error.kind() == vlm::ErrorKind::input, "an error that does not blame the input: " + message);
    for (const char c : message)
      require(static_cast<unsigned char>(c) >= 0x20 && c != 0x7f,
              "a message of more than one line: " + message);
  } catch (const std::exception& error) {
    require(false, std::string("an exception other than vlm::Error: ") + error.what());
  }
}
