#pragma once

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
