#pragma once

#include <string_view>

namespace vlm {

/// Version of the library, "MAJOR.MINOR.PATCH".
std::string_view version();

} // namespace vlm
