#pragma once

#include <vector>

#include <vlm/base/thread_pool.hpp>
#include <vlm/force/derivatives.hpp>
#include <vlm/force/responses.hpp>

namespace vlm {

/// Lift, pitching moment and near-field drag due to the rate of angle of attack, per α̇ c/2V with c the chord
/// of the reference: what comes of the downwash arriving late. While the angle of attack changes, water that
/// reaches a stabilizer left the wing's trailing edge a time x/V before, x the distance it has come along the
/// wake, and bears the downwash of the angle at that time (W. L. Cowley and H. Glauert, ARC R&M 718, 1921; B.
/// Etkin, Dynamics of Atmospheric Flight, 1972, chapter 5; from memory): less of it while the angle rises,
/// which damps.
///
/// Each strip's wake lags so at the control points of all other surfaces, where they lie downstream of it, as
/// if it ran straight on through the fuselage; bound vortices act at once. To first order in the rate. Not in
/// it: a wing's own lag (Wagner's), the inertia of water (added_mass), late wakes on the fuselage itself,
/// which bears what the surfaces' answer carries over to it, and the late water's velocity along surfaces in
/// their forces: of drag, which matters to moments about a point high above, that leaves out the part that a
/// stabilizer's own lift makes. A lone surface has none.
std::vector<Derivative> alpha_rate_derivatives(const Responses&, const Condition&, ThreadPool&);

} // namespace vlm
