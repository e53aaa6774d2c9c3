#pragma once

#include <vlm/base/matrix.hpp>
#include <vlm/base/thread_pool.hpp>
#include <vlm/base/vec3.hpp>
#include <vlm/flow/influence.hpp>
#include <vlm/shape/craft.hpp>

namespace vlm {

/// Added mass of a craft in its plane of symmetry: the momentum that water at rest takes on, per unit of the
/// craft's velocity, when the craft is set in motion at once. [3 × 3], symmetric, for surge (along x, aft
/// positive), heave (along z, up positive) and pitch (about `about`, nose-up positive), velocities of that
/// point: masses [kg], their moments [kg·m] and their moment of inertia [kg·m²].
///
/// The flow is irrotational and has no wake: each strip's vortices become closed rings, from one bound
/// segment to the next, with no water through the control points between them, and the momentum is that of
/// the rings, ρ Γ ½ ∮ r × dl, their angular momentum −½ ρ Γ ∮ r² dl (Lamb, Hydrodynamics, article 152; from
/// memory). On the still surface the potential vanishes, as it does with the lattice's own image. influence:
/// of that craft's lattice.
///
/// Inside the fuselage's shell water moves along. Its own momentum is taken off: of the whole volume in
/// translation, of a potential flow x z in pitch, exact for ellipsoids and otherwise a lower bound of it.
/// Thickness of surfaces counts for nothing. Throws Error for a surface of one panel a strip, and for a
/// singular system.
Matrix added_mass(const Craft&, const Influence&, const Vec3& about, ThreadPool&);

} // namespace vlm
