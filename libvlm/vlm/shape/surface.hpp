#pragma once

#include <optional>
#include <string>
#include <vector>

#include <vlm/base/vec3.hpp>
#include <vlm/shape/section.hpp>

namespace vlm {

/// One spanwise cut of a surface. Lengths [m] from the surface's own position.
struct Station {
  double y = 0, z = 0;     ///< place in the front view
  double leading_edge = 0; ///< x of the leading edge, aft positive
  double chord = 0;        ///< > 0
  double twist = 0;        ///< [rad], nose-up positive
  Section section;         ///< profile, across the span's direction

  friend bool operator==(const Station&, const Station&) = default;
};

/// How outline, rise, twist and camber run between stations: along straight lines, or along
/// shape-preserving cubics that add no bump of their own.
enum class Curve {
  straight, ///< straight lines
  smooth,   ///< shape-preserving cubics, as Interpolant has them
};

/// One lifting surface: front wing, stabilizer. The lift of a level one points up when its stations
/// run from port to starboard; generally the lifting side is x̂ × (direction of the span).
struct Surface {
  std::string name;              ///< not empty, and no other surface's of the craft
  Vec3 position;                 ///< [m] of the stations' zero, geometry axes
  double incidence = 0;          ///< [rad], nose-up positive
  Curve curve = Curve::straight; ///< between stations
  std::vector<Station> stations; ///< at least two, in order along the span, tip to tip
  bool pierces = false;          ///< a mast: its last station is meant to stand above the still surface

  friend bool operator==(const Surface&, const Surface&) = default;
};

/// The whole surface of which `half` holds the stations from the centre plane y = 0 to the starboard
/// tip. Throws Error if the first station is not on y = 0 or another is not to starboard of it.
Surface mirrored(const Surface& half);

/// The surface stretched to a projected area [m²], a projected span [m] or both. Both: chords and span are
/// stretched separately; one alone scales all lengths alike. The position stays.
Surface stretched(const Surface&, std::optional<double> area, std::optional<double> span);

/// Size of a surface projected on the plane z = 0, or on y = 0 where the span rises more than it spreads.
struct OutlineFigures {
  double area = 0;              ///< [m²]
  double span = 0;              ///< [m], tip to tip
  double aspect_ratio = 0;      ///< span²/area [-]
  double mean_chord = 0;        ///< mean aerodynamic chord [m], ∫c² dy / area
  Vec3 mean_chord_leading_edge; ///< [m], geometry axes: the area-weighted mean of the leading edge
  double developed_area = 0;    ///< [m²], measured along the front-view curve
};

/// Integrals over the span by Gauss's rule, exact for straight outlines. Throws Error for what Outline
/// refuses.
OutlineFigures outline_figures(const Surface&);

} // namespace vlm
