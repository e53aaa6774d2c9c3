#pragma once

#include <array>
#include <span>
#include <vector>

#include <vlm/base/matrix.hpp>
#include <vlm/base/thread_pool.hpp>
#include <vlm/base/vec3.hpp>
#include <vlm/flow/cause.hpp>
#include <vlm/flow/system.hpp>

namespace vlm {

/// Loads of one surface, or of the fuselage, as quadratic forms in the amplitudes of causes: value = Σ a_i
/// Q(i, j) a_j, Q symmetric [causes × causes].
struct SurfaceForms {
  std::array<Matrix, 3> force; ///< x, y, z of the near-field force [N], geometry axes
  std::array<Matrix, 3>
      moment;      ///< x, y, z of the near-field moment about the moment point [N·m], geometry axes
  Matrix far_drag; ///< induced drag [N] from the wake far downstream
};

/// Forms of all loads that circulations bear. Throws Error (run) for a force that is no number, where a point
/// of one surface lies on a vortex of another.
///
/// Near field: ρ Γ V × l on every bound segment and on every leg up to the trailing edge, with the whole
/// local velocity V; the wake aft carries no force. Far field: −½ ρ Σ Γ (v·n) Δs over the strips' wakes in
/// the plane across the wake far downstream (Munk, NACA Report 121, 1921); a surface's share is its own
/// strips', half of a mutual drag each. circulation: [panels × causes] as solved or prescribed. density
/// [kg/m³]. One entry a surface of the craft, and behind them one of its fuselage, if it has any.
///
/// On the fuselage, V is the onset alone: on the shell's segments, on legs that follow the skin, and on the
/// sources, −ρ σ V. What the fuselage and the surfaces do to each other in second order, an inner force of
/// the craft, is left out on both sides. The leg behind a root counts as the fuselage's: it holds the lift
/// carried over to it.
///
/// still: what rows that stand as they did give at their own points is kept there; null: none.
std::vector<SurfaceForms> load_forms(const Influence&, std::span<const Cause>, const Matrix& circulation,
                                     std::size_t num_surfaces, double density, const Vec3& moment_point,
                                     ThreadPool&, StillPart* still = nullptr);

/// Value of a form at amplitudes a: aᵀ Q a.
double value(const Matrix& form, std::span<const double> a);

/// Derivative of aᵀ Q a along the direction b of amplitudes: 2 aᵀ Q b.
double derivative(const Matrix& form, std::span<const double> a, std::span<const double> b);

/// Sum of forms, entry by entry, over surfaces.
SurfaceForms total(std::span<const SurfaceForms>);

} // namespace vlm
