#pragma once

#include <functional>
#include <optional>
#include <span>
#include <vector>

#include <vlm/base/run_control.hpp>
#include <vlm/base/thread_pool.hpp>
#include <vlm/force/span_loading.hpp>
#include <vlm/study/responses.hpp>

namespace vlm {

/// Unit vectors along which forces are resolved, geometry axes.
struct StreamAxes {
  Vec3 lift, drag, side_force;
};

/// Lift across the stream and the craft's y axis, drag along the stream, side force across both, to
/// starboard.
StreamAxes stream_axes(const Condition&);

/// What one part, a surface or the fuselage, bears of a craft's loads: coefficients over the craft's
/// reference area, moments also over its reference chord or span and about its moment point, signs as in
/// PolarPoint. Near field but for the induced drag.
struct PartLoads {
  double lift = 0;
  double induced_drag = 0; ///< far field: its own, and half of each mutual drag
  double near_drag = 0;    ///< as the part feels it where it is, ahead of or behind the others
  double side_force = 0;
  double rolling_moment = 0, pitching_moment = 0, yawing_moment = 0;
  std::optional<double> share; ///< of the craft's lift
};

/// One condition of a polar. Forces in stream_axes. Coefficients are over ½ρV² and the reference area,
/// moments also over its mean aerodynamic chord, about the moment point. What is unset is undefined there (a
/// share of no lift, say).
struct PolarPoint {
  Condition condition;
  double wake_angle = 0; ///< [rad] of the stream along which the wake lies
  double lift_coefficient = 0;
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

/// A condition for each angle of attack [rad], without sideslip or rates.
std::vector<Condition> at_angles(std::span<const double> alphas);

/// Takes finished points, in order.
using PolarSink = std::function<void(std::span<const PolarPoint>)>;

/// What the solver did in a study.
struct StudySummary {
  std::size_t num_points = 0; ///< handed to the sink
  bool complete = true;       ///< false if cancelled
  std::size_t num_factorisations = 0, num_solves = 0;
};

/// A point of a polar from responses made with no turns, and for all motions if the condition has sideslip or
/// rates.
PolarPoint polar_point(const Responses&, const Condition&);

/// Goes through conditions. wake_angle [rad]: one wake and one factorisation for all; none: the wake is
/// laid along the stream anew at each angle of attack, at a factorisation each; without sideslip in either
/// case.
StudySummary polar(const Craft&, const LatticeOptions&, std::span<const Condition>,
                   std::optional<double> wake_angle, const PolarSink&, const RunControl&, ThreadPool&);

} // namespace vlm
