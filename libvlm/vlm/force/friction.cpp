#include <vlm/force/friction.hpp>

#include <cmath>

#include <vlm/base/error.hpp>
#include <vlm/shape/millimetres.hpp>

namespace vlm {
namespace {

// Comparisons that refuse what is no number, too.
void check_reynolds(double reynolds) {
  if (!(reynolds > 0 && std::isfinite(reynolds)))
    throw Error("found a Reynolds number of friction that is not above 0 or not finite, wanted speed, "
                "length and viscosity above 0");
}

double line(FrictionLine friction_line, double reynolds) {
  const double log_re = std::log10(reynolds);
  return friction_line == FrictionLine::ittc1957 ? 0.075 / ((log_re - 2) * (log_re - 2))
                                                 : 0.455 / std::pow(log_re, 2.58);
}

// Reynolds number on the length of turbulent plate whose momentum thickness is that of a laminar one. Either
// is half the friction coefficient times the length.
double turbulent_equivalent(FrictionLine friction_line, double laminar_reynolds) {
  const double wanted = laminar_friction(laminar_reynolds) * laminar_reynolds;
  // Reynolds number times friction coefficient rises throughout, so halving the bracket finds it; where
  // turbulent friction is the greater, the equivalent length is the shorter.
  double low = 0, high = 2 * laminar_reynolds;
  while (true) {
    const double middle = (low + high) / 2;
    if (middle <= low || middle >= high)
      return high;
    (turbulent_friction(friction_line, middle) * middle < wanted ? low : high) = middle;
  }
}

} // namespace

std::string name_of(FrictionLine friction_line) {
  return friction_line == FrictionLine::ittc1957 ? "ITTC 1957" : "flat plate";
}

std::string described(const DragChoice& choice) {
  const std::string turbulent = choice.line == FrictionLine::ittc1957
                                    ? "ITTC 1957 line"
                                    : "flat-plate line of Prandtl and Schlichting 1932";
  if (choice.transition == 0)
    return turbulent + ", turbulent throughout";
  if (choice.transition == 1)
    return "laminar throughout (Blasius 1908)";
  return "laminar (Blasius 1908) to " + figure(100 * choice.transition) + " % of the length, then " +
         turbulent + " from equal momentum thickness (Schlichting)";
}

double laminar_friction(double reynolds) {
  check_reynolds(reynolds);
  return 1.328 / std::sqrt(reynolds);
}

double turbulent_friction(FrictionLine friction_line, double reynolds) {
  check_reynolds(reynolds);
  if (reynolds < least_turbulent_reynolds)
    return line(friction_line, least_turbulent_reynolds) * std::sqrt(least_turbulent_reynolds / reynolds);
  return line(friction_line, reynolds);
}

double mean_friction(const DragChoice& choice, double reynolds) {
  check_reynolds(reynolds);
  if (!(choice.transition >= 0 && choice.transition <= 1))
    throw Error("found a transition of " +
                (std::isfinite(choice.transition) ? figure(choice.transition) : "no finite number") +
                ", wanted the laminar part of the chord, 0 to 1");
  if (choice.transition == 0)
    return turbulent_friction(choice.line, reynolds);
  if (choice.transition == 1)
    return laminar_friction(reynolds);
  const double laminar = choice.transition * reynolds;
  const double plate = reynolds - laminar + turbulent_equivalent(choice.line, laminar);
  return turbulent_friction(choice.line, plate) * plate / reynolds;
}

double section_form_factor(double thickness) {
  return 1 + 2 * thickness + 60 * std::pow(thickness, 4);
}

double body_form_factor(double diameter) {
  return 1 + 1.5 * std::pow(diameter, 1.5) + 7 * std::pow(diameter, 3);
}

} // namespace vlm
