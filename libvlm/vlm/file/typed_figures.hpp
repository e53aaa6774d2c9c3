#pragma once

#include <cmath>
#include <numbers>
#include <optional>

#include <vlm/base/vec3.hpp>
#include <vlm/file/toml_reader.hpp>

namespace vlm {

// What a person types is divided by these, for 150 / 1000 is the double nearest to 0.15 and 150 * 1e-3 need
// not be.
constexpr double mm_per_m = 1e3;
constexpr double percent_per_one = 100;
constexpr double degrees_per_radian = 180 / std::numbers::pi;

// Bounds of the figures, as typed: wide enough for any craft, narrow enough to catch a wrong unit.
// What is divided by has a least value above 0, so that no quotient overflows.
constexpr Range any_length{-1e6, 1e6};       // mm
constexpr Range positive_length{0.001, 1e6}; // mm
constexpr Range any_angle{-45, 45};          // degrees

inline std::optional<double> optional_number(const TomlValue& value, const Range& range) {
  return value.present() ? std::optional(value.number(range)) : std::nullopt;
}

/// [m], from mm.
inline double length(const TomlValue& value, const Range& range = any_length) {
  return value.number(range) / mm_per_m;
}

/// [m], from mm; nothing if missing.
inline std::optional<double> optional_length(const TomlValue& value, const Range& range = any_length) {
  return value.present() ? std::optional(length(value, range)) : std::nullopt;
}

/// [rad], from degrees.
inline double angle(const TomlValue& value, const Range& range = any_angle) {
  return value.number(range) / degrees_per_radian;
}

/// [rad], from degrees; 0 if missing.
inline double optional_angle(const TomlValue& value, const Range& range = any_angle) {
  return value.present() ? angle(value, range) : 0;
}

/// [m], from mm.
inline Vec3 point(const TomlValue& value) {
  const auto xyz = value.items(3, 3, "numbers, x, y and z");
  return {length(xyz[0]), length(xyz[1]), length(xyz[2])};
}

/// [m], from mm; the origin if missing.
inline Vec3 optional_point(const TomlValue& value) {
  return value.present() ? point(value) : Vec3{};
}

} // namespace vlm
