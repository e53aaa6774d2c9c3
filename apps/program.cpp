#include "program.hpp"

#include <algorithm>
#include <chrono>
#include <exception>
#include <iostream>
#include <memory>
#include <new>

#include <boost/timer/progress_display.hpp>
#include <unistd.h>

#include <vlm/base/error.hpp>

#include "interrupt.hpp"

namespace vlm::apps {
namespace {

int report(const std::string& program, std::string message, int exit_code) {
  std::replace(message.begin(), message.end(), '\n', ' ');
  std::cout.flush();
  std::cerr << program << ": error: " << message << std::endl;
  return exit_code;
}

// Silent for the first second.
class Progress {
public:
  void show(std::size_t done, std::size_t total) {
    if (!display_) {
      if (done >= total || std::chrono::steady_clock::now() - start_ < std::chrono::seconds(1))
        return;
      display_ = std::make_unique<boost::timer::progress_display>(total, std::cerr);
    }
    *display_ += done - display_->count();
  }

private:
  std::chrono::steady_clock::time_point start_ = std::chrono::steady_clock::now();
  std::unique_ptr<boost::timer::progress_display> display_;
};

} // namespace

int run(const std::string& program, const std::function<int()>& body) {
  try {
    return body();
  } catch (const Error& error) {
    return report(program, error.what(), error.kind() == ErrorKind::input ? 2 : 1);
  } catch (const std::bad_alloc&) {
    return report(program, "out of memory: ask for fewer points, strips or panels", 1);
  } catch (const std::exception& error) {
    return report(program, error.what(), 1);
  }
}

RunControl study_control() {
  RunControl control;
  control.cancel = &watch_interrupt();
  if (isatty(STDERR_FILENO) == 1)
    control.progress = [progress = std::make_shared<Progress>()](std::size_t done, std::size_t total) {
      progress->show(done, total);
    };
  return control;
}

int finish(bool complete) {
  std::cout.flush();
  if (!std::cout)
    throw Error("the results cannot be written to standard output: look for a full disk", ErrorKind::run);
  return complete ? 0 : 130;
}

} // namespace vlm::apps
