#pragma once

#include <span>
#include <vector>

#include <vlm/base/thread_pool.hpp>
#include <vlm/base/vec3.hpp>
#include <vlm/flow/cause.hpp>
#include <vlm/flow/influence.hpp>

namespace vlm {

/// Velocity [m/s] of the water at any points, onset included, with all wakes as sheets.
/// circulation: [panels], m²/s, the answer to `cause`. Throws Error if it has another size.
std::vector<Vec3> velocity_at(const Influence&, const Cause& cause, std::span<const double> circulation,
                              std::span<const Vec3> points, ThreadPool&);

/// Downwash angle [rad] at any points, along a line of them, say: how far the water is turned down from the
/// undisturbed stream there, in planes of constant y.
std::vector<double> downwash_angle(const Influence&, const Cause& cause, std::span<const double> circulation,
                                   std::span<const Vec3> points, ThreadPool&);

} // namespace vlm
