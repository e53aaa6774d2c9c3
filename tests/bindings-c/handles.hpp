#pragma once

#include <string>

#include <vlm/vlm.h>

/// A handle of the C interface that is freed with its scope.
template <class T>
struct Handle {
  explicit Handle(vlm_status (*free)(T**)) : free_(free) {}
  ~Handle() { free_(&get); }
  Handle(const Handle&) = delete;
  Handle& operator=(const Handle&) = delete;
  Handle(Handle&& other) noexcept : get(other.get), free_(other.free_) { other.get = nullptr; }

  T* get = nullptr;

private:
  vlm_status (*free_)(T**);
};

/// A light case with a rider.
inline const std::string ridden = std::string(VLM_TESTS_DIR) + "/apps/ridden.toml";

/// Straight ahead at a small angle of attack.
inline constexpr vlm_condition gliding{0.06, 0, 0, 0, 0};
