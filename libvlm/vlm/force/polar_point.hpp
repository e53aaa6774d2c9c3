#pragma once

#include <optional>
#include <span>
#include <vector>

#include <vlm/force/responses.hpp>

namespace vlm {

/// Unit vectors along which forces are resolved, geometry axes.
struct StreamAxes {
  Vec3 lift;       ///< across the stream and the craft's y axis, up
  Vec3 drag;       ///< along the stream
  Vec3 side_force; ///< across both, to starboard
};

/// The axes of a condition's stream; rates do not enter.
StreamAxes stream_axes(const Condition&);

/// What one part, a surface or the fuselage, bears of a craft's loads: coefficients over the craft's
/// reference area, moments also over its reference chord or span and about its moment point, signs as in
/// PolarPoint. Near field but for the induced drag.
struct PartLoads {
  double lift = 0;             ///< across the stream
  double induced_drag = 0;     ///< far field: its own, and half of each mutual drag
  double near_drag = 0;        ///< as the part feels it where it is, ahead of or behind the others
  double side_force = 0;       ///< to starboard
  double rolling_moment = 0;   ///< starboard down positive
  double pitching_moment = 0;  ///< nose-up positive
  double yawing_moment = 0;    ///< nose to starboard positive
  std::optional<double> share; ///< of the craft's lift
};

/// One condition of a polar. Forces in stream_axes. Coefficients are over ½ρV² and the reference area,
/// moments also over its mean aerodynamic chord, about the moment point. What is unset is undefined there (a
/// share of no lift, say).
struct PolarPoint {
  Condition condition;                    ///< what it holds at
  double wake_angle = 0;                  ///< [rad] of the stream along which the wake lies
  double lift_coefficient = 0;            ///< across the stream
  double induced_drag_coefficient = 0;    ///< far field
  std::optional<double> near_drag_excess; ///< near-field minus far-field induced drag coefficient: a check of
                                          ///< the lattice, which holds where the wake lies along the stream
  std::optional<double> span_efficiency;  ///< CL²/(π·AR·CDi), AR of the reference surface
  double pitching_moment_coefficient = 0; ///< nose-up positive
  std::optional<double> centre_of_lift;   ///< x [m], where the resultant crosses the x axis
  std::optional<double> neutral_point;    ///< x [m], where lift of a change of angle acts, the wake held
  double side_force_coefficient = 0;      ///< to starboard
  double rolling_moment_coefficient = 0;  ///< over the reference span; starboard down positive
  double yawing_moment_coefficient = 0;   ///< over the reference span; nose to starboard positive
  std::vector<PartLoads> parts;           ///< in the order of part_names
  std::vector<double> strip_circulation;  ///< [strips] at V = 1 m/s, m²/s
};

/// A point of a polar, with the turns of the responses at the amplitudes given [rad]; responses for all
/// motions if the condition has sideslip or rates. Throws Error for an angle that is not finite, and as
/// amplitudes does.
PolarPoint polar_point(const Responses&, const Condition&, std::span<const double> turns = {});

} // namespace vlm
