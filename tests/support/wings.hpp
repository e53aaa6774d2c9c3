#pragma once

#include <algorithm>
#include <cmath>
#include <numbers>
#include <string>
#include <vector>

#include <vlm/base/thread_pool.hpp>
#include <vlm/force/responses.hpp>
#include <vlm/lattice/options.hpp>
#include <vlm/shape/craft.hpp>

/// Wings of textbooks, and what a lattice makes of them. Lengths in metres, mean chord about 1.
namespace wings {

inline vlm::Section flat_section() {
  return {"flat", vlm::ParabolicMeanLine{}, 0, 0};
}

inline vlm::Surface from_stations(const std::string& name, const std::vector<vlm::Station>& stations,
                                  vlm::Curve curve = vlm::Curve::straight) {
  vlm::Surface s;
  s.name = name;
  s.stations = stations;
  s.curve = curve;
  return s;
}

/// Chord 1, span = aspect ratio, leading edge at x = 0.
inline vlm::Surface rectangle(double aspect_ratio, const std::string& name = "wing") {
  const double half = 0.5 * aspect_ratio;
  return from_stations(name, {{-half, 0, 0, 1, 0, flat_section()}, {half, 0, 0, 1, 0, flat_section()}});
}

/// Straight-tapered about a quarter-chord line swept by tan_sweep, mean chord 1, root leading edge at x = 0.
inline vlm::Surface tapered(double aspect_ratio, double taper, double tan_sweep = 0,
                            const std::string& name = "wing") {
  const double root = 2 / (1 + taper), tip = taper * root, half = 0.5 * aspect_ratio;
  const double tip_edge = 0.25 * (root - tip) + half * tan_sweep;
  return from_stations(name, {{-half, 0, tip_edge, tip, 0, flat_section()},
                              {0, 0, 0, root, 0, flat_section()},
                              {half, 0, tip_edge, tip, 0, flat_section()}});
}

/// Elliptic chord, root chord 2, the line at `straight` of the chord straight; stations even in angle,
/// cut off where the chord is 1/2000 of the root's.
inline vlm::Surface ellipse(double aspect_ratio, double straight, const std::string& name = "wing",
                            int pieces = 800) {
  const double pi = std::numbers::pi, half = aspect_ratio * pi / 4, cut = 5e-4;
  std::vector<vlm::Station> stations;
  const int n = pieces;
  for (int i = 0; i <= n; ++i) {
    // Measured from the nearer tip, so that both halves are the same to the last bit.
    const int k = std::min(i, n - i);
    const double theta = cut + (pi - 2 * cut) * k / n, chord = 2 * std::sin(theta);
    const double y = 2 * k == n ? 0 : (i < n - i ? -1 : 1) * half * std::cos(theta);
    stations.push_back({y, 0, straight * (2 - chord), chord, 0, flat_section()});
  }
  return from_stations(name, stations, vlm::Curve::smooth);
}

/// An elliptic body from x = nose aft on the axis z = 0: elliptic nose, parabolic tail.
inline vlm::Fuselage body(double nose, double length, double width, double height, double nose_length,
                          double tail_length) {
  vlm::FuselageSize size;
  size.nose = nose;
  size.length = length;
  size.width = width;
  size.height = height;
  size.nose_length = nose_length;
  size.tail_length = tail_length;
  return vlm::shaped_fuselage(vlm::CutShape::elliptical, size);
}

inline vlm::Craft craft_of(const std::vector<vlm::Surface>& surfaces) {
  vlm::Craft craft;
  craft.title = "test";
  craft.surfaces = surfaces;
  craft.reference_surface = surfaces.front().name;
  return craft;
}

/// A spheroid of length 1, with a wing far too small and too far away to matter.
inline vlm::Craft spheroid(double fineness) {
  vlm::Surface speck = rectangle(4);
  for (vlm::Station& station : speck.stations)
    station.chord *= 1e-4, station.y *= 1e-4;
  speck.position = {0, 0, 50};
  vlm::Craft craft = craft_of({speck});
  vlm::FuselageSize size;
  size.length = 1;
  size.nose = -0.5;
  size.width = size.height = 1 / fineness;
  size.nose_length = size.tail_length = 0.5;
  size.nose_shape = size.tail_shape = vlm::EndShape::ellipse;
  craft.fuselage = vlm::shaped_fuselage(vlm::CutShape::elliptical, size);
  return craft;
}

inline vlm::LatticeOptions counts(const std::vector<vlm::PanelCounts>& c) {
  vlm::LatticeOptions options;
  options.counts = c;
  return options;
}

/// A wing through a fuselage, a tail clear above it and a mast up to the still surface.
inline vlm::Craft craft_with_all() {
  vlm::Surface tail = rectangle(3, "tail");
  tail.position = {6, 0, 0.6};
  tail.incidence = -0.02;
  vlm::Surface mast =
      from_stations("mast", {{0, 0, 0, 1, 0, flat_section()}, {0, 4, 0.2, 1, 0, flat_section()}});
  mast.position = {2, 0, 0};
  mast.pierces = true;
  vlm::Craft craft = craft_of({tapered(6, 0.5, 0.3), tail, mast});
  craft.fuselage = body(-1.5, 9, 0.4, 0.5, 0.8, 2);
  craft.still_surface = {vlm::Boundary::free, 2.5, {}, 0};
  craft.moment_point = {0.4, 0, 0.3};
  return craft;
}

/// The same with the nose behind the wing's leading edge, so that its roots are carried through the body.
inline vlm::Craft craft_with_carried_roots() {
  vlm::Craft craft = craft_with_all();
  craft.fuselage = body(0.2, 7.3, 0.4, 0.5, 0.8, 2);
  return craft;
}

inline vlm::LatticeOptions counts_with_all() {
  vlm::LatticeOptions options = counts({{12, 3}, {6, 2}, {5, 2}});
  options.body = {12, 8};
  return options;
}

inline vlm::ThreadPool& pool() {
  static vlm::ThreadPool p(2);
  return p;
}

/// Figures of a flat wing in the limit of small angles.
struct FlatFigures {
  double lift_slope;         ///< per rad
  double aerodynamic_centre; ///< x [m]
  double drag_factor;        ///< π·AR·CDi/CL², far field
};

inline FlatFigures flat_figures(const vlm::Craft& craft, const vlm::LatticeOptions& options) {
  const vlm::Responses r = vlm::make_responses(craft, options, 0, {}, pool());
  const vlm::AngleForm z = vlm::at_turns(r.craft.force[2], {}), pitch = vlm::at_turns(r.craft.moment[1], {});
  const double slope = 2 * z.cross / r.pressure_area;
  const double drag = vlm::at_turns(r.craft.far_drag, {}).sin2 / r.pressure_area;
  return {slope, -pitch.cross / z.cross,
          std::numbers::pi * r.reference.span * r.reference.span / r.reference.area * drag / (slope * slope)};
}

inline FlatFigures flat_figures(const vlm::Surface& wing, int strips, int panels) {
  return flat_figures(craft_of({wing}), counts({{strips, panels}}));
}

/// Near-field over far-field induced drag of a craft, less 1, at an angle of attack along which the wake is
/// laid.
inline double near_field_excess(const vlm::Craft& craft, const vlm::LatticeOptions& options, double alpha) {
  const vlm::Responses r = vlm::make_responses(craft, options, alpha, {}, pool());
  const double c = std::cos(alpha), s = std::sin(alpha);
  const double near = vlm::at_turns(r.craft.force[0], {}).value(c, s) * c +
                      vlm::at_turns(r.craft.force[2], {}).value(c, s) * s;
  return near / vlm::at_turns(r.craft.far_drag, {}).value(c, s) - 1;
}

/// Order of convergence seen in three values, each at twice the resolution of the one before.
inline double observed_order(double coarse, double middle, double fine) {
  return std::log2(std::abs((coarse - middle) / (middle - fine)));
}

} // namespace wings
