#include <vlm/base/thread_pool.hpp>

#include <algorithm>
#include <atomic>
#include <chrono>
#include <condition_variable>
#include <exception>
#include <limits>
#include <mutex>
#include <string>
#include <system_error>
#include <thread>
#include <vector>

#include <vlm/base/error.hpp>

namespace vlm {
namespace {

// Looks for what is awaited about as long as it takes to wake a thread that sleeps: loops may follow each
// other more closely than that.
template <class Condition>
void await_briefly(const Condition& condition) {
  const auto end = std::chrono::steady_clock::now() + std::chrono::microseconds(50);
  while (!condition() && std::chrono::steady_clock::now() < end) {
  }
}

} // namespace

struct ThreadPool::State {
  std::mutex mutex;
  std::condition_variable work_ready, work_done;
  std::vector<std::thread> workers;
  std::atomic<std::size_t> generation{0}; // counts the loops, so that a worker joins each one once
  std::atomic<std::size_t> busy{0};       // workers that joined the loop
  bool open = false;                      // whether the loop may be joined
  std::atomic<bool> stopping{false};

  std::size_t count = 0;
  const std::function<void(std::size_t)>* body = nullptr;
  std::atomic<std::size_t> next{0};
  std::exception_ptr error;
  std::size_t error_index = std::numeric_limits<std::size_t>::max();

  ~State() {
    {
      const std::lock_guard lock(mutex);
      stopping = true;
    }
    work_ready.notify_all();
    for (std::thread& worker : workers)
      worker.join();
  }

  void run_share() {
    for (std::size_t i = next.fetch_add(1); i < count; i = next.fetch_add(1)) {
      try {
        (*body)(i);
      } catch (...) {
        const std::lock_guard lock(mutex);
        if (i < error_index) {
          error_index = i;
          error = std::current_exception();
        }
        next.store(count); // nothing new is started; calls in hand are finished
      }
    }
  }

  void work() {
    std::size_t seen = 0;
    const auto wanted = [&] { return stopping || generation != seen; };
    for (;;) {
      await_briefly(wanted);
      std::unique_lock lock(mutex);
      work_ready.wait(lock, wanted);
      if (stopping)
        return;
      seen = generation;
      if (!open) // over before this thread woke
        continue;
      ++busy;
      lock.unlock();
      run_share();
      lock.lock();
      if (--busy == 0)
        work_done.notify_one();
    }
  }
};

ThreadPool::ThreadPool(int num_threads) : state_(std::make_unique<State>()) {
  if (num_threads < 0 || num_threads > 1024)
    throw Error("number of threads: found " + std::to_string(num_threads) +
                ", wanted 0 (one for each processor) to 1024");
  if (num_threads == 0)
    num_threads = static_cast<int>(std::max(1U, std::thread::hardware_concurrency()));
  state_->workers.reserve(static_cast<std::size_t>(num_threads));
  for (int i = 1; i < num_threads; ++i)
    try {
      state_->workers.emplace_back([state = state_.get()] { state->work(); });
    } catch (const std::system_error&) {
      throw Error("number of threads: this machine starts no more than " + std::to_string(i) + " of " +
                      std::to_string(num_threads) + ": ask for fewer",
                  ErrorKind::run);
    }
}

ThreadPool::~ThreadPool() = default;

int ThreadPool::num_threads() const {
  return static_cast<int>(state_->workers.size()) + 1;
}

void ThreadPool::for_each(std::size_t count, const std::function<void(std::size_t)>& body) {
  State& s = *state_;
  {
    const std::lock_guard lock(s.mutex);
    s.count = count;
    s.body = &body;
    s.next.store(0);
    s.error = nullptr;
    s.error_index = std::numeric_limits<std::size_t>::max();
    s.open = true;
    ++s.generation;
  }
  s.work_ready.notify_all();
  s.run_share();
  std::unique_lock lock(s.mutex);
  s.open = false;
  lock.unlock();
  const auto done = [&] { return s.busy == 0; };
  await_briefly(done);
  lock.lock();
  s.work_done.wait(lock, done);
  if (s.error)
    std::rethrow_exception(s.error);
}

} // namespace vlm
