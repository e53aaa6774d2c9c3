#pragma once

#include <functional>
#include <span>

#include <vlm/base/run_control.hpp>
#include <vlm/ride/handling.hpp>
#include <vlm/ride/trimmed_craft.hpp>
#include <vlm/study/polar.hpp>

namespace vlm {

/// Takes points as they are done.
using HandlingSink = std::function<void(const HandlingPoint&)>;

/// Trims a craft at speeds [m/s] and asks how it handles there. A speed at which it cannot be balanced does
/// not end the others.
StudySummary handling_at_speeds(const Ride&, std::span<const double> speeds, const HandlingSink&,
                                const RunControl&, ThreadPool&);

} // namespace vlm
