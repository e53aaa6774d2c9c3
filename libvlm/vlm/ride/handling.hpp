#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include <vlm/base/thread_pool.hpp>
#include <vlm/force/friction.hpp>
#include <vlm/lattice/options.hpp>
#include <vlm/ride/loading.hpp>
#include <vlm/ride/modes.hpp>
#include <vlm/ride/trimmed_craft.hpp>
#include <vlm/shape/craft.hpp>

namespace vlm {

/// What every output of handling figures says.
inline constexpr const char* handling_notice =
    "Handling figures are linear estimates and no substitute for graduated on-water testing.";

/// A trimmed point of level flight.
struct RidingPoint {
  double speed = 0;        ///< [m/s]
  double alpha = 0;        ///< angle of attack [rad]
  double load_station = 0; ///< [m]
  double wake_angle = 0;   ///< [rad] of the stream along which the wake lies
  double lean = 0;         ///< of the rider held rigidly [m], as in TrimState
};

/// How a trimmed craft answers to being moved, wake, depth and speed held where they are not what moves.
/// Positive stiffness brings back, positive damping slows down. What acts along the path of the rider held
/// rigidly is about that centre of mass; "on the deck" about that of RiderHold::on_the_deck. Unset is what is
/// undefined or, of changes with depth, not sought.
struct HandlingFigures {
  std::optional<double> neutral_point;      ///< x [m], where the lift of a change of angle acts: balance()
  std::optional<double> static_margin;      ///< (neutral point − line of the load)/reference chord
  std::optional<double> pitch_stiffness;    ///< −dM/dα of the flow [N·m/rad]
  std::optional<double> pitch_rate_damping; ///< −dM/dq [N·m·s/rad]
  std::optional<double> pitch_lag_damping;  ///< −dM/dα̇, of the downwash that arrives late [N·m·s/rad]
  std::optional<double> deck_pitch_stiffness;    ///< on the deck [N·m/rad]
  std::optional<double> deck_pitch_rate_damping; ///< on the deck [N·m·s/rad]
  std::optional<double> deck_pitch_lag_damping;  ///< on the deck [N·m·s/rad]
  std::optional<double> roll_damping;    ///< −dL/dp about the x axis, through the origin [N·m·s/rad]
  std::optional<double> roll_per_torque; ///< roll rate that a torque keeps up, 1/roll damping [rad/s/(N·m)]
  std::optional<double> side_force;      ///< of sideslip, across the stream to starboard [N/rad]
  std::optional<double> yaw_stiffness;   ///< dN/dβ: positive turns the nose into the stream [N·m/rad]
};

/// Name and unit of a figure, and where it stands.
struct HandlingFigure {
  const char* name;                               ///< in words: "pitch damping of rate"
  const char* key;                                ///< of files: "pitch_rate_damping"
  const char* unit;                               ///< SI: "N m s/rad"
  std::optional<double> HandlingFigures::*figure; ///< the member that holds it
};

/// All of them, in order of output.
std::span<const HandlingFigure> handling_figures();

/// Natural motions with the rider held one way.
struct RideModes {
  Inertia inertia;         ///< of rider and masses so held
  std::vector<Mode> modes; ///< fastest first
};

/// How one trimmed craft handles.
struct Handling {
  HandlingFigures figures; ///< all that are defined
  double load_line = 0;    ///< x [m], where the line of action of all weight less buoyancy crosses the x axis
  /// Near a free still surface or a wall, their changes per metre that the craft rides lower, at the same
  /// angle of attack.
  std::optional<HandlingFigures> per_depth;
  std::optional<double> height_stiffness; ///< near one, lift gained per metre lower [N/m]
  /// x [m], where that lift acts: the resultant of what circulation's loads gain; unset if there is none.
  std::optional<double> height_neutral_point;
  RideModes rigid;       ///< with the rider held rigidly
  RideModes on_the_deck; ///< with the rider as a mass on the deck
};

/// One speed of several, as it is put out.
struct HandlingPoint {
  RidingPoint riding;               ///< of one that is refused, the speed alone counts
  std::optional<Handling> handling; ///< unset if refused
  std::string refusal;              ///< why; empty if not
  /// Of the section's greatest lift coefficient, where nearest to it.
  std::optional<double> share_of_limit = {};
};

/// Figures of a trimmed point: exact derivatives of one set-up for all motions; those with respect to depth
/// are central differences over two more, the craft sunk and raised by a ten thousandth of its depth or, over
/// a wall, of its clearance. Drag that does not come of circulation counts in all but roll. Water's inertia
/// and late downwash as added_mass and alpha_rate_derivatives have them. The chord of reduced frequencies is
/// the largest mean chord of all surfaces but a mast, whatever the reference. Weight, buoyancy and a pull
/// keep their direction in space, a motor's thrust that in the craft.
///
/// The line of the load goes across the stream, upright on flat water, through the centre of all weight less
/// buoyancy, the rider's at the load station.
///
/// Left out in the derivatives with angle of attack: that the wake turns with the stream, and the still
/// surface in the axes of a craft that pitches. Sources: Etkin 1972, chapters 5 and 6, from memory. Throws
/// Error for a speed not above 0, a bank, a loading that check refuses, and what make_responses throws.
Handling handling(const Craft&, const LatticeOptions&, const DragChoice&, const Loading&, const RidingPoint&,
                  ThreadPool&);

/// The figures alone, from one set-up: as handling has them, but the damping of late downwash, which is left
/// unset. Throws the same.
HandlingFigures steady_handling(const Craft&, const LatticeOptions&, const DragChoice&, const Loading&,
                                const RidingPoint&, ThreadPool&);

/// The same from a craft trimmed by responses for all motions, with turns at amplitudes [rad]. Of a craft
/// that carries a lift without a loading, the line of the load goes through its centre of lift, which also
/// stands for the centre of mass (without one, the moment point does); nothing is then told on the deck, nor
/// of a static margin without a centre of lift. Throws Error for responses that are those in plane.
///@{
HandlingFigures steady_handling(const Ride&, const TrimmedCraft&, std::span<const double> amplitudes);
HandlingFigures handling_without_loading(const Ride&, const TrimmedCraft&,
                                         std::span<const double> amplitudes);
///@}

} // namespace vlm
