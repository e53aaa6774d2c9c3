#pragma once

#include <functional>
#include <string>

#include <vlm/base/run_control.hpp>

namespace vlm::apps {

/// Runs the body of a program. Returns its exit code; or, for an exception, prints one line on stderr and
/// returns 2 where the user can mend the input, 1 for anything else.
int run(const std::string& program, const std::function<int()>& body);

/// Control of a study: Ctrl-C ends it, and a study of more than a second shows its progress on stderr if that
/// is a terminal.
RunControl study_control();

/// Ends a program that has printed its results. Returns its exit code: 0, or 130 if the study was
/// interrupted. Throws Error (run) if stdout could not be written.
int finish(bool complete);

} // namespace vlm::apps
