// What riders and sellers of foils say about a range, held against the demonstration range. All of it is common
// practice, no source; the shapes are ours, drawn before anything was measured.

#include <gtest/gtest.h>

#include <vlm/file/case.hpp>
#include <vlm/ride/trim.hpp>

#include "../support/wings.hpp"

namespace {

using namespace wings;

// A wing alone under the still surface of its case, in one of another craft's water and at one depth.
double lift_of_wing(const vlm::Case& of, const vlm::Surface& wing, double speed, double alpha) {
  vlm::Craft craft;
  craft.title = "wing alone";
  craft.water = of.craft.water;
  craft.still_surface = of.craft.still_surface;
  craft.surfaces = {wing};
  craft.reference_surface = wing.name;
  const vlm::Responses r = vlm::make_responses(craft, {}, alpha, {}, pool());
  const vlm::PlaneForms forms = vlm::plane_forms(r);
  const double c = std::cos(alpha), s = std::sin(alpha);
  return (c * forms.z.value(c, s) - s * forms.x.value(c, s)) * speed * speed;
}

const vlm::Surface& wing_of(const vlm::Case& of) {
  return of.craft.surfaces[vlm::surface_index(of.craft, of.craft.reference_surface)];
}

vlm::Case craft_named(const std::string& name) {
  return vlm::read_case(VLM_CASES_DIR "/lake-rescue/" + name + ".toml");
}

// Area [m²] at which a wing of one outline lifts as much as another.
double area_that_lifts(const vlm::Case& of, double lift, double speed, double alpha) {
  const auto missing = [&](double area) {
    return lift_of_wing(of, vlm::stretched(wing_of(of), area, std::nullopt), speed, alpha) - lift;
  };
  double a = 0.08, b = 0.085, at_a = missing(a);
  for (int i = 0; i < 20 && std::abs(b - a) > 1e-8; ++i) { // secants
    const double at_b = missing(b), next = b - at_b * (b - a) / (at_b - at_a);
    a = b, at_a = at_b, b = next;
  }
  return b;
}

TEST(Probe, Two) {
  const vlm::Case old = craft_named("grebe-850");
  for (double deg : {3., 5.5, 5.74, 8.}) for (auto n : {"heron-720", "heron-880", "heron-1050"}) {
    const double alpha = deg * std::numbers::pi / 180, L = lift_of_wing(old, wing_of(old), 5.5, alpha);
    printf("%g deg %s: lift %g N area %.1f\n", deg, n, L, 1e4 * area_that_lifts(craft_named(n), L, 5.5, alpha));
  }
}
} // namespace
