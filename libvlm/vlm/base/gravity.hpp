#pragma once

namespace vlm {

/// Standard acceleration of gravity [m/s²] (ISO 80000-3).
inline constexpr double standard_gravity = 9.80665;

} // namespace vlm
