#pragma once

#include <vector>

#include <vlm/shape/craft.hpp>
#include <vlm/shape/outline.hpp>

namespace vlm {

/// A chord of a surface without twist and incidence: its place in the front view, and from where to where it
/// reaches along x. [m]
struct Chord {
  double y = 0, z = 0, from = 0, to = 0;
};

/// An end of a surface.
struct End {
  std::size_t surface = 0;
  bool last = false;
  Chord chord;
};

/// Both ends of every surface that has stations.
std::vector<End> ends(const Craft&);

/// Whether two ends coincide, leading and trailing edge alike, within a micrometre.
bool join(const Chord&, const Chord&);

/// Checks that no surface crosses or touches itself, or another but for joints and inside the fuselage; and
/// that every surface that meets the fuselage leaves it, and is no thicker there than the fuselage is high (a
/// mast: than it is wide). Throws Error naming the surface and the place. outlines: of all surfaces, in
/// order.
void check_contacts(const Craft&, const std::vector<Outline>& outlines);

/// Checks a craft as check() does, and returns the outlines of its surfaces, in order. Throws Error.
std::vector<Outline> checked_outlines(const Craft&);

} // namespace vlm
