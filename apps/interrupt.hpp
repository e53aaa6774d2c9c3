#pragma once

#include <atomic>

namespace vlm::apps {

/// A flag that Ctrl-C (SIGINT) sets. A second Ctrl-C ends the program at once, as it would without this.
const std::atomic<bool>& watch_interrupt();

} // namespace vlm::apps
