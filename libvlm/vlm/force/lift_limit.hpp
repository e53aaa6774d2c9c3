#pragma once

#include <vector>

#include <vlm/lattice/lattice.hpp>
#include <vlm/shape/craft.hpp>

namespace vlm {

/// Greatest local lift coefficient of each strip [strips], from the sections of the stations on either side
/// of its middle: linear in the arc length between two that give one, whatever the surface's curve, so that
/// it never leaves what the two give. If one alone gives it, the station nearer to the strip decides. +∞
/// where none is given. Common practice, no source: a section stalls as if it stood alone.
std::vector<double> lift_limits(const Craft&, const Lattice&);

} // namespace vlm
