#pragma once

#include <cmath>

namespace vlm {

/// A vector in the geometry axes: x aft, y to starboard, z up (right-handed).
/// Metres, metres per second or newtons, as the name of the variable says.
struct Vec3 {
  double x = 0, y = 0, z = 0; ///< components

  friend constexpr bool operator==(const Vec3&, const Vec3&) = default;
  /// Adds b.
  constexpr Vec3& operator+=(const Vec3& b) {
    x += b.x, y += b.y, z += b.z;
    return *this;
  }
};

/// Sums, differences, opposites and multiples.
///@{
constexpr Vec3 operator+(const Vec3& a, const Vec3& b) {
  return {a.x + b.x, a.y + b.y, a.z + b.z};
}
constexpr Vec3 operator-(const Vec3& a, const Vec3& b) {
  return {a.x - b.x, a.y - b.y, a.z - b.z};
}
constexpr Vec3 operator-(const Vec3& a) {
  return {-a.x, -a.y, -a.z};
}
constexpr Vec3 operator*(double s, const Vec3& a) {
  return {s * a.x, s * a.y, s * a.z};
}
///@}

/// Scalar product.
constexpr double dot(const Vec3& a, const Vec3& b) {
  return a.x * b.x + a.y * b.y + a.z * b.z;
}
/// Vector product, right-handed.
constexpr Vec3 cross(const Vec3& a, const Vec3& b) {
  return {a.y * b.z - a.z * b.y, a.z * b.x - a.x * b.z, a.x * b.y - a.y * b.x};
}
/// Length.
inline double norm(const Vec3& a) {
  return std::sqrt(dot(a, a));
}
/// The vector over its length; not finite for the zero vector.
inline Vec3 normalized(const Vec3& a) {
  return (1 / norm(a)) * a;
}

/// Changes a vector between the geometry axes (x aft, y starboard, z up) and the body axes of
/// ISO 1151 (x forward, y starboard, z down). The change is its own inverse, and holds for forces
/// as for moments and rotation rates, both systems being right-handed.
constexpr Vec3 to_body_axes(const Vec3& a) {
  return {-a.x, a.y, -a.z};
}

} // namespace vlm
