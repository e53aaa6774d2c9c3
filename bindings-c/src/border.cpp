#include "border.hpp"

#include <cstdio>
#include <cstring>
#include <string_view>

#include <vlm/base/version.hpp>

namespace vlm::c {
namespace {

// Of fixed size, so that keeping it cannot fail.
thread_local char message[2001] = "";

constexpr bool version_matches() {
  const auto digit = [](int number) { return static_cast<char>('0' + number); };
  const char expected[] = {digit(VLM_VERSION_MAJOR), '.', digit(VLM_VERSION_MINOR), '.',
                           digit(VLM_VERSION_PATCH)};
  return std::string_view(expected, sizeof expected) == VLM_VERSION;
}
static_assert(version_matches(), "vlm.h has the version of the project");

} // namespace

void keep_message(const char* function, const char* text) noexcept {
  std::size_t end = sizeof message - 1;
  const int whole = std::snprintf(message, sizeof message, "%s: %s", function, text);
  if (whole <= static_cast<int>(end))
    return;
  // All bytes of a letter of UTF-8 but its first are 10xxxxxx: of one that the cut goes through nothing
  // stays.
  const auto continues = [](char byte) { return (static_cast<unsigned char>(byte) & 0xC0U) == 0x80U; };
  if (continues(text[end - std::strlen(function) - std::strlen(": ")]))
    while (end > 0 && continues(message[--end])) {
    }
  message[end] = '\0';
}

void clear_message() noexcept {
  message[0] = '\0';
}

} // namespace vlm::c

const char* vlm_status_text(int status) {
  switch (status) {
#define VLM_STATUS_CASE(name, number, text)                                                                  \
  case number:                                                                                               \
    return text;
    VLM_STATUS_LIST(VLM_STATUS_CASE)
#undef VLM_STATUS_CASE
  default:
    return "no status of this library";
  }
}

const char* vlm_message(void) {
  return vlm::c::message;
}

const char* vlm_version(void) {
  return vlm::version().data();
}
