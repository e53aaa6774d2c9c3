#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include <vlm/force/friction.hpp>
#include <vlm/lattice/lattice.hpp>
#include <vlm/shape/craft.hpp>

namespace vlm {

/// Profile drag of a strip, both faces, speed along x. [N]
struct StripDrag {
  double friction_and_form = 0;   ///< of the part without a polar of its own
  double section_polar = 0;       ///< from the sections' own polars
  double blunt_trailing_edge = 0; ///< of the part without a polar of its own: a polar has it in it
  bool polar_end_held = false;    ///< beyond the grid of a polar that counts here
};

/// Profile drag of each strip of a lattice of the craft. The area of a strip's two faces is twice its chord
/// times its width; its Reynolds number is on its own chord. Between a station with a polar and one without,
/// either counts as the strip is near to it. lift_coefficient: local, of each strip [strips], used by polars
/// alone. speed [m/s]. Throws Error for a number of coefficients other than of strips, a figure that is not
/// finite, a speed not above 0 or a transition outside 0 to 1.
std::vector<StripDrag> profile_drag(const Craft&, const Lattice&, const DragChoice&,
                                    std::span<const double> lift_coefficient, double speed);

/// Cause of what the still surface adds to the drag beyond what its image does.
inline constexpr std::string_view waves_beyond_image = "waves beyond the image";

/// One share of the drag of a craft.
struct DragItem {
  std::string part; ///< "front wing", "fuselage", "front wing - fuselage", "mast - still surface", "craft"
  /// "induced", "tilt of the lift by the turn", waves_beyond_image; "friction and form", "section polar",
  /// "blunt trailing edge", "junction", "spray".
  std::string cause;
  double drag = 0;    ///< [N], 0 or above but of the first three, which a surface in an upwash may have below
  std::string source; ///< the method and where it was published, for output
  std::optional<Vec3> point; ///< where it acts [m]; unset for the first two, which the near field places
};

/// Profile and parasite drag of a craft, item by item: surfaces in their order, the strips of each summed;
/// the fuselage, along its axis; junctions at the lattice's roots; spray at its piercings. What a surface has
/// none of is left out, and so are surfaces without strips. The source of spray says where the speed is too
/// slow for it. Of the fuselage the whole skin counts, what roots
/// cover included. body: body_figures of the craft. Other arguments and errors as of profile_drag.
std::vector<DragItem> parasite_drag(const Craft&, const Lattice&, const std::optional<FuselageFigures>& body,
                                    const DragChoice&, std::span<const double> lift_coefficient,
                                    double speed);

/// @name Coefficients of single causes
/// Thickness is over the chord.
///@{

/// Drag of a strip's end that meets a wall, over ½ρV² and chord²: 0.8 t³ − 0.0003 (Hoerner 1965, chapter 8,
/// from memory), 0 where that is negative, below t = 7.2 %.
double junction_drag_coefficient(double thickness);

/// Drag of the spray where an upright strut pierces the still surface, over ½ρV² and the square of its
/// greatest thickness (Hoerner 1965, chapter 10, from memory): for speeds above 3 √(g chord). Held by no
/// other published figure; good to a factor of two or so.
constexpr double spray_drag_coefficient = 0.24;

/// Base drag of a blunt trailing edge, over ½ρV² and the area of the base: 0.135/∛f for sections, behind
/// which vortices are shed in a street, f > 0 the drag of all else of the section over the same area (Hoerner
/// 1965, chapter 3, from memory). Half to four fifths of what is measured behind a base as thick as its
/// section.
double base_drag_coefficient(double forebody);

///@}

} // namespace vlm
