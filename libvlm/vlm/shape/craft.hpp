#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include <vlm/shape/fuselage.hpp>
#include <vlm/shape/surface.hpp>
#include <vlm/water/properties.hpp>
#include <vlm/water/still_surface.hpp>

namespace vlm {

/// All that is in the water together. The origin of the geometry axes is where the mast axis meets
/// the fuselage axis.
struct Craft {
  std::string title;                ///< for output; may be empty
  Water water = fresh_water(20);    ///< by default fresh at 20 °C
  StillSurface still_surface;       ///< or the wall; by default neither
  std::vector<Surface> surfaces;    ///< mast included; one or more, of different names
  std::optional<Fuselage> fuselage; ///< unset: none
  std::string reference_surface;    ///< name of the surface whose size makes the coefficients
  Vec3 moment_point;                ///< [m], of moments and rates

  friend bool operator==(const Craft&, const Craft&) = default;
};

/// Lengths and area that make coefficients: those of the reference surface.
struct Reference {
  double area = 0;  ///< [m²]
  double chord = 0; ///< mean aerodynamic chord [m]
  double span = 0;  ///< [m]
};

/// Size of the reference surface, projected as in OutlineFigures. Throws Error if the craft names none that
/// it has.
Reference reference(const Craft&);

/// Index of a surface by name. Throws Error naming the surfaces there are.
std::size_t surface_index(const Craft&, std::string_view name);

/// Indices of the surfaces that are neither the reference surface nor a mast: with one, the stabilizer.
/// Throws Error if the craft names no reference surface that it has.
std::vector<std::size_t> surfaces_beside_reference(const Craft&);

/// Names of the parts that bear loads: the surfaces in order and, if there is one, "fuselage".
std::vector<std::string> part_names(const Craft&);

/// Size of the fuselage, if there is one. Takes some milliseconds: keep it where it is used often.
std::optional<FuselageFigures> body_figures(const Craft&);

/// Two ends of surfaces that meet, so that lift and circulation run through.
struct Joint {
  std::size_t surface_a = 0, surface_b = 0; ///< indices in the craft
  bool end_a = false, end_b = false;        ///< false: first station, true: last
};

/// The joints of a craft: ends that coincide, leading and trailing edge alike, within a micrometre.
std::vector<Joint> joints(const Craft&);

/// Checks what a craft must be before it can be solved: at least one surface, names given and different,
/// the reference surface among them, finite figures, chords and figures of the water above 0; a depth with a
/// free surface, a clearance with a wall, a bank below 80 degrees; a fuselage that Skin takes; at most one
/// mast, in the plane y = 0, its stations rising; and no surface that crosses or touches itself, or another
/// but for joints and inside the fuselage (chord surfaces, before twist and incidence turn them). A surface
/// may start inside the fuselage or run through it, but must leave it, and where it does must not be thicker
/// than the fuselage is high (a mast: wide) over the middle of that chord. Throws Error naming the surface,
/// the station and the place.
void check(const Craft&);

} // namespace vlm
