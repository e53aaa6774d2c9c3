#include "interrupt.hpp"

#include <csignal>

namespace vlm::apps {
namespace {

// A signal handler reaches nothing but what outlives all; it may write only what needs no lock.
std::atomic<bool> interrupted{false};
static_assert(std::atomic<bool>::is_always_lock_free);

extern "C" void note_interrupt(int) {
  interrupted.store(true, std::memory_order_relaxed);
}

} // namespace

const std::atomic<bool>& watch_interrupt() {
  struct sigaction action = {};
  action.sa_handler = note_interrupt;
  action.sa_flags = static_cast<int>(SA_RESETHAND | SA_RESTART);
  sigemptyset(&action.sa_mask);
  sigaction(SIGINT, &action, nullptr);
  return interrupted;
}

} // namespace vlm::apps
