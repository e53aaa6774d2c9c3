#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include <vlm/base/vec3.hpp>
#include <vlm/shape/craft.hpp>

namespace vlm {

/// A place on the leading or trailing edge of a surface.
struct EdgePlace {
  Vec3 point;            ///< [m], geometry axes
  double arc = 0;        ///< along the front-view curve from the first station's tip [m]
  bool trailing = false; ///< on the trailing edge
  double depth = 0;      ///< across the still surface [m]; below 0 above the water
};

/// Greatest banks [rad] to either side, from level, up to which something stays in the water, at the same
/// depth of the craft's origin. 0: out of the water when level. Unset: not out at any bank below 80 degrees.
struct BreachBanks {
  std::optional<double> starboard_down; ///< ≥ 0
  std::optional<double> port_down;      ///< ≤ 0
};

/// An end of a surface that is free in the water: neither joined to another nor inside the fuselage.
struct TipReach {
  std::size_t surface = 0; ///< index in the craft
  bool last = false;       ///< at the surface's last station
  double chord = 0;        ///< [m]
  EdgePlace highest;       ///< the less deep of leading and trailing edge
  BreachBanks breach;      ///< banks at which it comes out
};

/// A whole surface.
struct SurfaceReach {
  std::size_t surface = 0; ///< index in the craft
  EdgePlace highest;       ///< its least deep place
  BreachBanks breach;      ///< banks at which it comes out
};

/// How a craft lies under the still surface at one depth, bank and angle of attack: geometry alone, for a
/// plane surface parallel to the stream. Waves, heave and heel in motion are not in it. Surfaces count as
/// drawn, leading to trailing edge, before twist and incidence turn them, as a lattice has them that is not
/// displaced. A mast is meant to pierce, and is left out.
struct Reach {
  double alpha = 0;                   ///< [rad]
  double depth = 0;                   ///< of the origin [m]
  double bank = 0;                    ///< [rad], starboard down positive
  std::vector<TipReach> tips;         ///< surface by surface, first tip before last
  std::vector<SurfaceReach> surfaces; ///< all but the mast
};

/// Depth below the still surface, across it, of a point [m] of a craft at an angle of attack [rad]; below 0
/// above the water. depth [m] of the origin, bank [rad].
double depth_of(const Vec3& point, double alpha, double depth, double bank);

/// The reach of a craft at the depth and bank of its still surface, whatever its boundary. Depths are least,
/// and banks the first to breach, over the whole of the front-view curve. Throws Error without a depth, for
/// an angle of attack that is not finite, and for what check(craft) refuses.
Reach reach(const Craft&, double alpha);

/// The surface that comes out first when the craft banks from level, starboard or port down; nothing if none
/// does below 80 degrees.
std::optional<SurfaceReach> first_to_breach(const Reach&, bool starboard_down);

/// Least depth of the origin [m] at which all of the surfaces are in the water at this bank and angle of
/// attack. Below 0 if they all lie that far below the origin; nothing without a surface but the mast. The
/// fuselage is not counted.
std::optional<double> least_depth(const Reach&);

} // namespace vlm
