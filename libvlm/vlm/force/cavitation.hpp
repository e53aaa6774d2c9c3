#pragma once

#include <vlm/shape/craft.hpp>

namespace vlm {

/// Pressure of the air on the water [Pa]: the standard atmosphere.
inline constexpr double standard_atmosphere = 101325;

/// Below this cavitation number programs say that cavitation is not computed; common practice, no source. A
/// section cavitates where its least pressure coefficient comes down to −σ, and near −1 it comes on many that
/// lift.
inline constexpr double low_cavitation_number = 1;

/// Cavitation number σ = (p − p_v)/(½ρV²) [-] of a craft at a speed [m/s] above 0, where a wing is least deep
/// under way level, at the bank of the still surface: p is the atmosphere's and that of the water above the
/// least deep station of all surfaces but the mast, p_v the vapour's. Without a depth, and where a station is
/// out of the water, p is the atmosphere's. The textbooks' definition, as in Newman, Marine Hydrodynamics
/// (1977), from memory.
double cavitation_number(const Craft&, double speed);

} // namespace vlm
