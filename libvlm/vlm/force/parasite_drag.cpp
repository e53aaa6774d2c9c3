#include <vlm/force/parasite_drag.hpp>

#include <algorithm>
#include <cmath>
#include <numbers>

#include <vlm/base/error.hpp>
#include <vlm/base/gravity.hpp>
#include <vlm/shape/outline.hpp>

namespace vlm {
namespace {

void check_flow(const Lattice& lattice, std::span<const double> lift_coefficient, double speed) {
  if (!(speed > 0 && std::isfinite(speed)))
    throw Error("found a speed that is not above 0 or not finite, wanted the speed through the water in m/s");
  if (lift_coefficient.size() != lattice.strips.size())
    throw Error("found " + std::to_string(lift_coefficient.size()) + " local lift coefficients, wanted " +
                std::to_string(lattice.strips.size()) + ", one for each strip");
  if (!std::all_of(lift_coefficient.begin(), lift_coefficient.end(),
                   [](double lift) { return std::isfinite(lift); }))
    throw Error("found a local lift coefficient that is not finite, wanted a number for each strip");
}

double dynamic_pressure(const Water& water, double speed) {
  return water.density * speed * speed / 2;
}

StripDrag strip_drag(const Outline& outline, const Strip& strip, const DragChoice& choice, double lift,
                     double reynolds, double pressure) {
  const double planform = pressure * strip.chord * strip.width;
  const double thickness = outline.thickness(strip.arc), gap = outline.trailing_edge_gap(strip.arc);
  const double plain =
      outline.between_stations(strip.arc, [](const Section& section) { return section.polar ? 0.0 : 1.0; });

  StripDrag result;
  const double friction =
      planform * 2 * mean_friction(choice, reynolds) * section_form_factor(thickness); // of two faces
  result.friction_and_form = plain * friction;
  if (gap > 0) {
    const double base = planform * gap;
    result.blunt_trailing_edge = plain * base * base_drag_coefficient(friction / base);
  }
  if (plain < 1) {
    result.section_polar = planform * outline.between_stations(strip.arc, [&](const Section& section) {
      return section.polar ? drag_coefficient(*section.polar, lift, reynolds) : 0.0;
    });
    result.polar_end_held = outline.between_stations(strip.arc, [&](const Section& section) {
      return section.polar && !covers(*section.polar, lift, reynolds) ? 1.0 : 0.0;
    }) > 0;
  }
  return result;
}

std::vector<Outline> outlines_of(const Craft& craft) {
  std::vector<Outline> result;
  for (const Surface& surface : craft.surfaces)
    result.emplace_back(surface);
  return result;
}

std::vector<StripDrag> profile_drag(const Craft& craft, const std::vector<Outline>& outlines,
                                    const Lattice& lattice, const DragChoice& choice,
                                    std::span<const double> lift_coefficient, double speed) {
  check_flow(lattice, lift_coefficient, speed);
  const double pressure = dynamic_pressure(craft.water, speed);
  std::vector<StripDrag> result;
  for (std::size_t j = 0; j < lattice.strips.size(); ++j) {
    const Strip& strip = lattice.strips[j];
    const double reynolds = speed * strip.chord / craft.water.kinematic_viscosity;
    result.push_back(
        strip_drag(outlines[strip.surface], strip, choice, lift_coefficient[j], reynolds, pressure));
  }
  return result;
}

// The items of one surface, from its strips.
void add_surface(std::vector<DragItem>& items, const Craft& craft, std::size_t surface,
                 const Lattice& lattice, const std::vector<StripDrag>& strips, const DragChoice& choice) {
  StripDrag sum;
  std::size_t held = 0, count = 0;
  // Each cause acts where its strips' middles are in the mean, weighted by their drag.
  Vec3 friction_moment, polar_moment, blunt_moment;
  for (std::size_t j = 0; j < strips.size(); ++j) {
    if (lattice.strips[j].surface != surface)
      continue;
    const Vec3 middle = 0.5 * (lattice.strips[j].leading_edge + lattice.strips[j].wake_point);
    friction_moment = friction_moment + strips[j].friction_and_form * middle;
    polar_moment = polar_moment + strips[j].section_polar * middle;
    blunt_moment = blunt_moment + strips[j].blunt_trailing_edge * middle;
    sum.friction_and_form += strips[j].friction_and_form;
    sum.section_polar += strips[j].section_polar;
    sum.blunt_trailing_edge += strips[j].blunt_trailing_edge;
    held += strips[j].polar_end_held ? 1 : 0;
    ++count;
  }
  const std::string& name = craft.surfaces[surface].name;
  if (sum.friction_and_form > 0)
    items.push_back({name, "friction and form", sum.friction_and_form,
                     described(choice) + "; 1 + 2 t/c + 60 (t/c)^4, Hoerner 1965, chapter 6",
                     (1 / sum.friction_and_form) * friction_moment});
  if (sum.section_polar > 0)
    items.push_back({name, "section polar", sum.section_polar,
                     std::string("drag table of the case") +
                         (held == 0 ? ""
                                    : ", the nearest value held beyond its ends on " + std::to_string(held) +
                                          " of " + std::to_string(count) + " strips"),
                     (1 / sum.section_polar) * polar_moment});
  if (sum.blunt_trailing_edge > 0)
    items.push_back({name, "blunt trailing edge", sum.blunt_trailing_edge,
                     "0.135/cbrt(drag of all else), on the base, Hoerner 1965, chapter 3",
                     (1 / sum.blunt_trailing_edge) * blunt_moment});
}

// The middle of the axis. The skin's own middle is off it by less than the fuselage's height.
Vec3 middle_of(const Fuselage& fuselage) {
  double height = 0, weight = 0;
  for (std::size_t i = 0; i + 1 < fuselage.cuts.size(); ++i) {
    const FuselageCut &a = fuselage.cuts[i], &b = fuselage.cuts[i + 1];
    height += (b.x - a.x) * 0.5 * (a.centre + b.centre);
    weight += b.x - a.x;
  }
  return {0.5 * (fuselage.cuts.front().x + fuselage.cuts.back().x), 0, height / weight};
}

void add_fuselage(std::vector<DragItem>& items, const Craft& craft, const FuselageFigures& size,
                  const DragChoice& choice, double speed) {
  const double diameter = std::sqrt(4 * size.frontal_area / std::numbers::pi);
  const double reynolds = speed * size.length / craft.water.kinematic_viscosity;
  items.push_back({"fuselage", "friction and form",
                   dynamic_pressure(craft.water, speed) * size.wetted_area * mean_friction(choice, reynolds) *
                       body_form_factor(diameter / size.length),
                   described(choice) + "; 1 + 1.5 (d/l)^1.5 + 7 (d/l)^3, Hoerner 1965, chapter 6",
                   middle_of(*craft.fuselage)});
}

// Where the footings of one surface are, the middles of their chords, in the mean.
Vec3 footing_point(const std::vector<Footing>& footings, std::size_t surface, const Outline& outline) {
  Vec3 sum;
  double count = 0;
  for (const Footing& footing : footings)
    if (footing.surface == surface) {
      sum = sum + outline.at(footing.arc).leading_edge + Vec3{0.5 * footing.chord, 0, 0};
      ++count;
    }
  return (1 / count) * sum;
}

// The sum over the footings of one surface.
template <typename Coefficient>
double footing_drag(const std::vector<Footing>& footings, std::size_t surface, const Outline& outline,
                    double pressure, const Coefficient& coefficient) {
  double sum = 0;
  for (const Footing& footing : footings)
    if (footing.surface == surface)
      sum += pressure * footing.chord * footing.chord * coefficient(outline.thickness(footing.arc));
  return sum;
}

// The method of spray and, at a speed too slow for it, that it is.
std::string spray_source(const std::vector<Footing>& footings, std::size_t surface, double speed) {
  double chord = 0;
  for (const Footing& footing : footings)
    if (footing.surface == surface)
      chord = std::max(chord, footing.chord);
  std::string source = "0.24 on thickness squared, Hoerner 1965, chapter 10";
  const double least = 3 * std::sqrt(standard_gravity * chord);
  if (speed < least) {
    const std::string rounded = std::to_string(std::round(100 * least) / 100);
    source += "; below 3 sqrt(g c) = " + rounded.substr(0, rounded.find('.') + 3) +
              " m/s it does not hold, and the mast's waves are left out";
  }
  return source;
}

bool stands_on(const std::vector<Footing>& footings, std::size_t surface) {
  return std::any_of(footings.begin(), footings.end(),
                     [&](const Footing& f) { return f.surface == surface; });
}

} // namespace

std::vector<StripDrag> profile_drag(const Craft& craft, const Lattice& lattice, const DragChoice& choice,
                                    std::span<const double> lift_coefficient, double speed) {
  return profile_drag(craft, outlines_of(craft), lattice, choice, lift_coefficient, speed);
}

std::vector<DragItem> parasite_drag(const Craft& craft, const Lattice& lattice,
                                    const std::optional<FuselageFigures>& body, const DragChoice& choice,
                                    std::span<const double> lift_coefficient, double speed) {
  const std::vector<Outline> outlines = outlines_of(craft);
  const std::vector<StripDrag> strips =
      profile_drag(craft, outlines, lattice, choice, lift_coefficient, speed);
  const double pressure = dynamic_pressure(craft.water, speed);

  std::vector<DragItem> items;
  for (std::size_t i = 0; i < craft.surfaces.size(); ++i)
    add_surface(items, craft, i, lattice, strips, choice);
  if (body)
    add_fuselage(items, craft, *body, choice, speed);
  for (std::size_t i = 0; i < craft.surfaces.size(); ++i)
    if (stands_on(lattice.roots, i)) {
      const double drag = footing_drag(lattice.roots, i, outlines[i], pressure, junction_drag_coefficient);
      items.push_back({craft.surfaces[i].name + " - fuselage", "junction", drag,
                       std::string("0.8 (t/c)^3 - 0.0003 on chord squared, Hoerner 1965, chapter 8") +
                           (drag > 0 ? "" : "; below 0 at this thickness, taken as 0"),
                       footing_point(lattice.roots, i, outlines[i])});
    }
  for (std::size_t i = 0; i < craft.surfaces.size(); ++i)
    if (stands_on(lattice.piercings, i))
      items.push_back({craft.surfaces[i].name + " - still surface", "spray",
                       footing_drag(lattice.piercings, i, outlines[i], pressure,
                                    [](double t) { return spray_drag_coefficient * t * t; }),
                       spray_source(lattice.piercings, i, speed),
                       footing_point(lattice.piercings, i, outlines[i])});
  return items;
}

double junction_drag_coefficient(double thickness) {
  return std::max(0.0, 0.8 * thickness * thickness * thickness - 0.0003);
}

double base_drag_coefficient(double forebody) {
  return 0.135 / std::cbrt(forebody);
}

} // namespace vlm
