#pragma once

#include <numbers>

namespace angles {

inline constexpr double degree = std::numbers::pi / 180; ///< [rad]

} // namespace angles
