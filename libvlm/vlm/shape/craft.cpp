#include <vlm/shape/craft.hpp>

#include <cmath>
#include <numbers>

#include <vlm/base/error.hpp>
#include <vlm/shape/contact.hpp>
#include <vlm/shape/millimetres.hpp>
#include <vlm/shape/outline.hpp>

namespace vlm {
namespace {

bool finite(const Vec3& v) {
  return std::isfinite(v.x) && std::isfinite(v.y) && std::isfinite(v.z);
}

void check_positive(double found, const char* what, const char* wanted) {
  if (!(found > 0 && std::isfinite(found)))
    throw Error(std::string(what) + " is no number above 0, wanted " + wanted);
}

// Its outline, which refuses what it cannot be made of.
Outline checked_outline(const Surface& surface) {
  if (!finite(surface.position))
    throw Error("surface '" + surface.name + "': found a position that is not finite, wanted three numbers");
  if (!std::isfinite(surface.incidence))
    throw Error("surface '" + surface.name + "': found an incidence that is not finite, wanted a number");
  Outline outline(surface);
  for (std::size_t i = 0; i < surface.stations.size(); ++i)
    try {
      check(surface.stations[i].section);
    } catch (const Error& why) {
      throw Error("surface '" + surface.name + "', station " + std::to_string(i + 1) + ": " + why.what());
    }
  return outline;
}

void check_still_surface(const StillSurface& still) {
  if (still.depth)
    check_positive(*still.depth, "the depth of the craft", "metres below the still surface");
  if (still.clearance)
    check_positive(*still.clearance, "the clearance of the craft", "metres above the wall");
  if (still.boundary == Boundary::free && !still.depth)
    throw Error("found a free surface and no depth of the craft, wanted its depth, or no boundary");
  if (still.boundary == Boundary::wall && !still.clearance)
    throw Error("found a wall and no clearance of the craft, wanted its clearance, or no boundary");
  if (!std::isfinite(still.bank))
    throw Error("the bank of the craft is not finite, wanted a number");
  // A craft that lies on its side has no depth to speak of.
  const double bank_degrees = still.bank * 180 / std::numbers::pi;
  if (!(std::abs(bank_degrees) < 80))
    throw Error("found a bank of " + figure(bank_degrees) + " degrees, wanted less than 80 to either side");
}

void check_masts(const Craft& craft) {
  const Surface* mast = nullptr;
  for (const Surface& surface : craft.surfaces) {
    if (!surface.pierces)
      continue;
    if (mast)
      throw Error("surfaces '" + mast->name + "' and '" + surface.name +
                  "' both pierce the still surface, wanted one mast at most");
    mast = &surface;
    for (std::size_t i = 0; i < surface.stations.size(); ++i) {
      const std::string found =
          "surface '" + surface.name + "', station " + std::to_string(i + 1) + ": found ";
      const double y = surface.position.y + surface.stations[i].y, z = surface.stations[i].z;
      if (y != 0)
        throw Error(found + "it at y = " + millimetres(y) + " mm, wanted a mast in the plane y = 0");
      if (i > 0 && !(z > surface.stations[i - 1].z))
        throw Error(found + "it no higher than station " + std::to_string(i) +
                    ", wanted a mast whose stations rise from its foot");
    }
  }
}

} // namespace

Reference reference(const Craft& craft) {
  const OutlineFigures figures =
      outline_figures(craft.surfaces[surface_index(craft, craft.reference_surface)]);
  return {figures.area, figures.mean_chord, figures.span};
}

std::size_t surface_index(const Craft& craft, std::string_view name) {
  std::string names;
  for (std::size_t i = 0; i < craft.surfaces.size(); ++i) {
    if (craft.surfaces[i].name == name)
      return i;
    names += (i == 0 ? "'" : ", '") + craft.surfaces[i].name + "'";
  }
  throw Error("found no surface '" + std::string(name) + "', wanted " +
              (names.empty() ? "a craft that has surfaces" : "one of " + names));
}

std::vector<std::size_t> surfaces_beside_reference(const Craft& craft) {
  const std::size_t reference = surface_index(craft, craft.reference_surface);
  std::vector<std::size_t> others;
  for (std::size_t i = 0; i < craft.surfaces.size(); ++i)
    if (i != reference && !craft.surfaces[i].pierces)
      others.push_back(i);
  return others;
}

std::vector<std::string> part_names(const Craft& craft) {
  std::vector<std::string> names;
  for (const Surface& surface : craft.surfaces)
    names.push_back(surface.name);
  if (craft.fuselage)
    names.emplace_back("fuselage");
  return names;
}

std::optional<FuselageFigures> body_figures(const Craft& craft) {
  return craft.fuselage ? std::optional(fuselage_figures(*craft.fuselage)) : std::nullopt;
}

std::vector<Joint> joints(const Craft& craft) {
  const std::vector<End> all = ends(craft);
  std::vector<Joint> result;
  for (std::size_t i = 0; i < all.size(); ++i)
    for (std::size_t j = i + 1; j < all.size(); ++j)
      if (join(all[i].chord, all[j].chord))
        result.push_back({all[i].surface, all[j].surface, all[i].last, all[j].last});
  return result;
}

std::vector<Outline> checked_outlines(const Craft& craft) {
  if (craft.surfaces.empty())
    throw Error("the craft has no surface, wanted at least one");
  std::vector<Outline> outlines;
  for (std::size_t i = 0; i < craft.surfaces.size(); ++i) {
    const std::string& name = craft.surfaces[i].name;
    if (name.empty())
      throw Error("surface " + std::to_string(i + 1) + " has no name, wanted one of its own");
    if (surface_index(craft, name) != i)
      throw Error("surfaces " + std::to_string(surface_index(craft, name) + 1) + " and " +
                  std::to_string(i + 1) + " are both named '" + name + "', wanted different names");
    outlines.push_back(checked_outline(craft.surfaces[i]));
  }
  try {
    surface_index(craft, craft.reference_surface);
  } catch (const Error& why) {
    throw Error(std::string("reference surface: ") + why.what());
  }
  if (!finite(craft.moment_point))
    throw Error("the moment point is not finite, wanted three numbers");
  check_positive(craft.water.density, "the density of the water", "kg/m³ (about 1000)");
  check_positive(craft.water.kinematic_viscosity, "the kinematic viscosity of the water",
                 "m²/s (about 0.000001)");
  check_positive(craft.water.vapour_pressure, "the vapour pressure of the water", "Pa (about 2000)");
  check_still_surface(craft.still_surface);
  check_masts(craft);
  check_contacts(craft, outlines);
  return outlines;
}

void check(const Craft& craft) {
  checked_outlines(craft);
}

} // namespace vlm
