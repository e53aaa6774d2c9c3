#pragma once

#include <optional>
#include <span>

#include <vlm/force/drag_breakdown.hpp>
#include <vlm/force/responses.hpp>
#include <vlm/ride/loading.hpp>

namespace vlm {

/// Drag other than induced, as one craft has it in one state: it acts along the stream, at places known.
struct OtherDrag {
  double drag = 0;                     ///< [N]
  double drag_by_x = 0, drag_by_z = 0; ///< Σ drag times place [N·m], geometry axes
};

/// Sum over the items that have a place.
OtherDrag other_drag(std::span<const DragItem>);

/// Loads of a craft in its plane of symmetry at V = 1 m/s, at fixed turns, about the origin.
struct PlaneForms {
  AngleForm x, z;     ///< near-field force [N], geometry axes
  AngleForm pitch;    ///< near-field moment about the origin [N·m], nose-up positive
  AngleForm far_drag; ///< induced drag [N]
};

/// The forms of responses, with the turns at amplitudes [rad] in the order given to make_responses.
PlaneForms plane_forms(const Responses&, std::span<const double> turns = {});

/// Derivative of those with respect to the amplitude of one turn.
PlaneForms plane_form_slopes(const Responses&, std::span<const double> turns, std::size_t turn);

/// A craft in balance under its rider, at one speed.
struct TrimState {
  double alpha = 0;        ///< angle of attack [rad]
  double load_station = 0; ///< where the resultant of the rider's feet acts: along the deck, aft of the mast
                           ///< axis [m]
  double lift = 0;         ///< of the foil, across the stream [N]
  double drag = 0;         ///< of the foil, along the stream: induced drag of the far field, and all else [N]
  double drive_force = 0;  ///< of a pull or a motor [N]
  double wave_slope = 0;   ///< of the face that the drag wants [rad]; on a wave
  double deceleration = 0; ///< [m/s²]; coasting
  double lean = 0; ///< how far behind the water's normal over the load station the rider's centre of mass is
                   ///< [m]: for a pull in the hands, against slowing down and, standing upright, on a wave
};

/// The angle of attack and the load station that balance lift, weight, buoyancy, drag and drive with all
/// their levers, at a speed [m/s] and a density of the water [kg/m³]; nothing if no angle of attack within
/// ±0.5 rad does with the feet pressing on the deck.
///
/// The still surface is parallel to the stream, so the craft is pitched by the angle of attack against it,
/// and the deck with it. Gravity is vertical: across the stream but on the face of a wave, of slope γ, along
/// which it has the share sin γ. Buoyancy acts across the still surface. Coasting, the inertia of all masses
/// acts forward at their centres. A pull that the rider holds comes in through the feet with the weight; one
/// made fast to the board, and a motor, act where they are. Air drag is left out. Of induced drag, the small
/// difference of far and near field acts along the fuselage's axis, z = 0.
///
/// Newton's method on the balance across the stream, with the drive's force eliminated; the load station then
/// follows in closed form. Statics of a rigid body; no source.
std::optional<TrimState> trim(const PlaneForms&, const Loading&, const OtherDrag&, double density,
                              double speed);

/// How a trim changes with the amplitude of a turn: per rad.
struct TrimSlope {
  double alpha = 0;        ///< [-]
  double load_station = 0; ///< [m/rad]
};

/// Derivative of a trim, by a central difference over forms; slopes: plane_form_slopes of that turn. Other
/// drag is held. Throws Error (run) if there is no trim beside this one.
TrimSlope trim_slope(const PlaneForms&, const PlaneForms& slopes, const Loading&, const OtherDrag&,
                     double density, double speed);

} // namespace vlm
