#pragma once

#include <atomic>
#include <cstddef>
#include <functional>

namespace vlm {

/// What a long run tells its caller, and how the caller ends it early.
struct RunControl {
  /// Called from the thread that started the run, after each finished chunk, with the points done
  /// so far and the points in all. May be empty.
  std::function<void(std::size_t done, std::size_t total)> progress;

  /// Set it (from a signal handler, say) to stop the run after the chunk in hand. May be null.
  const std::atomic<bool>* cancel = nullptr;

  /// Whether the run is to end early.
  bool cancelled() const { return cancel != nullptr && cancel->load(std::memory_order_relaxed); }
};

} // namespace vlm
