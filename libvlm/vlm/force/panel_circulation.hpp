#pragma once

#include <span>
#include <vector>

#include <vlm/force/responses.hpp>

namespace vlm {

/// Circulation of each panel [m²/s] at V = 1 m/s in a condition, with the turns of the responses at the
/// amplitudes given [rad], in the order given to make_responses. Throws Error as amplitudes does.
std::vector<double> panel_circulation(const Responses&, const Condition&, std::span<const double> turns);

} // namespace vlm
