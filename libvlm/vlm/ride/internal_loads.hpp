#pragma once

#include <array>
#include <cstddef>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include <vlm/base/thread_pool.hpp>
#include <vlm/force/lattice_loads.hpp>
#include <vlm/shape/craft.hpp>

namespace vlm {

/// What goes with internal loads wherever they are put out.
inline constexpr std::string_view internal_load_caution =
    "Internal loads are linear estimates for comparison; strength needs a licensed engineer and a test.";

/// What they hold and leave out.
inline constexpr std::string_view internal_load_basis =
    "Water loads of the lattice alone: weight of the parts and inertia relief are left out, and profile "
    "drag.";

/// Load that one side of a cut through a part puts on the other, resolved there.
///
/// Of a surface, t is the direction of its stations and n = x × t its lifting side: flatwise is along n,
/// edgewise along x, aft. Of the fuselage, flatwise is up and edgewise to starboard. Bending is positive
/// where it bends the free end to that side. Torsion is about the direction of the span through the
/// quarter-chord point of the cut, for that is where lift acts, nose-up positive (leading edge to the lifting
/// side); of the fuselage about the middle of its cut, starboard-down positive. About a line a length d
/// behind that point torsion is greater by d times the flatwise shear, edgewise bending by d times the axial
/// force.
enum InternalLoad : std::size_t {
  flatwise_shear,    ///< [N]
  edgewise_shear,    ///< [N]
  axial_force,       ///< [N], tension positive
  flatwise_bending,  ///< [N·m]
  edgewise_bending,  ///< [N·m]
  torsion,           ///< [N·m]
  num_internal_loads ///< how many there are
};

/// "flatwise shear" and so on.
const char* name_of(InternalLoad);

/// A cut through a part, and what acts there.
struct BeamStation {
  Vec3 point;       ///< that moments are about [m]
  double along = 0; ///< [m]: of a surface the arc length from its first tip, of the fuselage x
  double chord = 0; ///< [m]; of the fuselage 0
  std::array<double, num_internal_loads> loads{}; ///< by InternalLoad
};

/// A part from a free end to its support: internal loads are those of all that lies between the free end and
/// the cut.
struct Beam {
  std::string part;                  ///< name of the surface at the support, or "fuselage"
  std::string from, to;              ///< "port tip", "skin"
  std::vector<BeamStation> stations; ///< the free end first, the support last
  Load into_support;                 ///< all that the beam puts into its support
};

/// Internal loads of a craft: every surface from each tip to the fuselage's skin or, where it does not end on
/// it, to the middle plane; the fuselage from nose and tail to the middle of the mast's foot (without a mast
/// to x = 0, where the mast axis is); the mast from its foot, on which all else stands, to its top in the
/// board. Loads of prescribed near-field forces, or those of responses in one condition at a speed [m/s]:
/// the caller trims to the load factor wanted. Beams in the order of the surfaces, then fuselage and mast.
///
/// Cuts are at strip edges, where a leg between two strips counts for half on either side. What a surface
/// puts into the fuselage spreads over its root chord as under a rigid block on an even bed, force per length
/// varying along a straight line (textbook statics), and so does the load of each ring over the ring.
///@{
std::vector<Beam> internal_loads(const Craft&, const Lattice&, const LatticeLoads&);
std::vector<Beam> internal_loads(const Craft&, const Responses&, const Condition&,
                                 std::span<const double> turns, double speed, ThreadPool&);
///@}

/// Index of the station of the greatest of each load in size, by InternalLoad.
std::array<std::size_t, num_internal_loads> greatest_loads(const Beam&);

} // namespace vlm
