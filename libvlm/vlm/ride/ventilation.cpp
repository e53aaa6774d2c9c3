#include <vlm/ride/ventilation.hpp>

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <numbers>

#include <vlm/flow/cause.hpp>
#include <vlm/shape/outline.hpp>

namespace vlm {
namespace {

std::string plain(double number) {
  char text[32];
  std::snprintf(text, sizeof text, "%g", number);
  return text;
}

// Depth over chord of the place of a surface where it is least, of those that lift toward the still surface.
std::optional<VentilationWarning> suction_near_surface(const Reach& reach, std::size_t surface,
                                                       std::span<const StripReach> strips) {
  std::optional<VentilationWarning> nearest;
  const auto take = [&](const StripReach& strip, const Vec3& place, double depth) {
    const double in_chords = depth / strip.chord;
    if (strip.circulation * strip.toward > 0 && (!nearest || in_chords < nearest->figure))
      nearest = {surface, VentilationCriterion::suction, Ventilation::none, place, in_chords};
  };
  for (const StripReach& strip : strips)
    if (strip.surface == surface)
      take(strip, strip.leading_edge, strip.depth);
  for (const TipReach& tip : reach.tips)
    if (tip.surface == surface)
      if (const StripReach* strip = outermost_strip(tip, strips))
        take(*strip, tip.highest.point, tip.highest.depth);
  if (!nearest || nearest->figure >= possible_depth_in_chords)
    return std::nullopt;
  nearest->level = nearest->figure < likely_depth_in_chords ? Ventilation::likely : Ventilation::possible;
  return nearest;
}

// Angle of the undisturbed water to the mast's plane, where its leading edge pierces the still surface.
std::optional<VentilationWarning> mast_in_sideslip(const Craft& craft, const Reach& reach,
                                                   const Condition& condition, std::size_t surface) {
  const Outline outline(craft.surfaces[surface]);
  double wet = 0, dry = outline.length();
  for (int i = 0; i < 60; ++i) { // its stations rise, so it crosses the plane once
    const double middle = 0.5 * (wet + dry);
    const double depth = depth_of(outline.at(middle).leading_edge, reach.alpha, reach.depth, reach.bank);
    (depth > 0 ? wet : dry) = middle;
  }
  const Vec3 place = outline.at(wet).leading_edge;
  const Reference size = reference(craft);
  const Vec3& rate = condition.rates;
  const Cause motion = cause_of({1,
                                 condition.alpha,
                                 condition.beta,
                                 {2 * rate.x / size.span, 2 * rate.y / size.chord, 2 * rate.z / size.span},
                                 craft.moment_point});
  const Vec3 water = onset(motion, place);
  const double angle = std::atan2(-water.y, water.x);
  if (std::abs(angle) <= mast_angle_limit)
    return std::nullopt;
  return VentilationWarning{surface, VentilationCriterion::mast, Ventilation::likely, place, angle};
}

} // namespace

const char* name_of(Ventilation level) {
  switch (level) {
  case Ventilation::none:
    return "none";
  case Ventilation::possible:
    return "possible";
  case Ventilation::likely:
    return "likely";
  case Ventilation::certain:
    return "certain";
  }
  return "";
}

std::string sentence(VentilationCriterion criterion) {
  const std::string practice = " (common practice, no source)";
  switch (criterion) {
  case VentilationCriterion::breach:
    return "certain where a surface stands out of the still surface" + practice;
  case VentilationCriterion::suction:
    return "possible within " + plain(possible_depth_in_chords) + ", likely within " +
           plain(likely_depth_in_chords) + " local chord of it where a surface lifts toward it" + practice;
  case VentilationCriterion::mast:
    return "likely where the water meets the mast at more than " +
           plain(mast_angle_limit * 180 / std::numbers::pi) + " degrees" + practice;
  }
  return "";
}

std::vector<StripReach> strips_in_reach(const Lattice& lattice, const Reach& reach,
                                        std::span<const double> strip_circulation) {
  const Vec3 up = upward(reach.alpha, reach.bank);
  std::vector<StripReach> result;
  for (std::size_t j = 0; j < lattice.strips.size(); ++j) {
    const Strip& strip = lattice.strips[j];
    const Vec3 trailing = strip.leading_edge + Vec3{strip.chord, 0, 0};
    const auto depth = [&](const Vec3& p) { return depth_of(p, reach.alpha, reach.depth, reach.bank); };
    result.push_back({strip.surface,
                      strip.arc,
                      strip.span_fraction,
                      strip.leading_edge,
                      strip.chord,
                      std::min(depth(strip.leading_edge), depth(trailing)),
                      dot(cross(Vec3{1, 0, 0}, strip.direction), up),
                      strip_circulation[j],
                      {}});
  }
  return result;
}

const StripReach* outermost_strip(const TipReach& tip, std::span<const StripReach> strips) {
  const StripReach* outermost = nullptr;
  for (const StripReach& strip : strips)
    if (strip.surface == tip.surface &&
        (!outermost || (tip.last ? strip.arc > outermost->arc : strip.arc < outermost->arc)))
      outermost = &strip;
  return outermost;
}

std::vector<VentilationWarning> ventilation_warnings(const Craft& craft, const Reach& reach,
                                                     const Condition& condition,
                                                     std::span<const StripReach> strips) {
  std::vector<VentilationWarning> warnings;
  for (std::size_t i = 0; i < craft.surfaces.size(); ++i) {
    if (craft.surfaces[i].pierces) {
      if (const auto mast = mast_in_sideslip(craft, reach, condition, i))
        warnings.push_back(*mast);
      continue;
    }
    const auto whole = std::find_if(reach.surfaces.begin(), reach.surfaces.end(),
                                    [&](const SurfaceReach& s) { return s.surface == i; });
    if (whole != reach.surfaces.end() && whole->highest.depth <= 0)
      warnings.push_back({i, VentilationCriterion::breach, Ventilation::certain, whole->highest.point,
                          whole->highest.depth});
    else if (const auto suction = suction_near_surface(reach, i, strips))
      warnings.push_back(*suction);
  }
  return warnings;
}

Ventilation worst(std::span<const VentilationWarning> warnings) {
  Ventilation level = Ventilation::none;
  for (const VentilationWarning& warning : warnings)
    level = std::max(level, warning.level);
  return level;
}

} // namespace vlm
