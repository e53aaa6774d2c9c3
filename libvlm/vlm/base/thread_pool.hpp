#pragma once

#include <cstddef>
#include <functional>
#include <memory>

namespace vlm {

/// The library's only source of threads. Work is a loop whose passes do not depend on each other,
/// so results are the same bits for any number of threads. A thread that has nothing to do looks out for more
/// for some 50 µs before it sleeps.
class ThreadPool {
public:
  /// Starts num_threads - 1 workers; the caller's thread is the last one.
  /// 0 takes the number of processors. Throws Error for a negative count or one above 1024, and if the
  /// machine starts no more threads.
  explicit ThreadPool(int num_threads = 0);
  ~ThreadPool();
  ThreadPool(const ThreadPool&) = delete;
  ThreadPool& operator=(const ThreadPool&) = delete;

  /// Threads that share the work, the caller's included: 1 or more.
  int num_threads() const;

  /// Calls body(i) once for each i in [0, count), and returns when all calls have. If calls throw,
  /// the exception of the lowest i among those that ran is rethrown here. One caller at a time, and not from
  /// within body.
  void for_each(std::size_t count, const std::function<void(std::size_t)>& body);

private:
  struct State;
  std::unique_ptr<State> state_;
};

} // namespace vlm
