#include <vlm/base/version.hpp>

namespace vlm {

std::string_view version() {
  return VLM_VERSION;
}

} // namespace vlm
