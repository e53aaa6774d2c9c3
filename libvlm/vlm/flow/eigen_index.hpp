#pragma once

#include <cstddef>

#include <Eigen/Core>

namespace vlm {

/// An index of Eigen's as a size; it must not be negative.
inline std::size_t as_size(Eigen::Index i) {
  return static_cast<std::size_t>(i);
}

} // namespace vlm
