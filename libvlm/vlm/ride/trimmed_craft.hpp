#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include <vlm/base/thread_pool.hpp>
#include <vlm/force/drag_breakdown.hpp>
#include <vlm/force/friction.hpp>
#include <vlm/force/lift_limit.hpp>
#include <vlm/ride/trim.hpp>

namespace vlm {

/// A craft with all that it takes to trim it.
struct Ride {
  Craft craft;                         ///< without a bank
  LatticeOptions lattice;              ///< how it is cut
  WakeChoice wake;                     ///< by itself along the stream at each speed's own angle of attack
  DragChoice drag;                     ///< how friction is found
  Loading loading;                     ///< what it carries
  std::optional<FuselageFigures> body; ///< body_figures of the craft
};

/// Checks craft and loading, and measures the fuselage. Throws Error for what they refuse, and for a craft
/// that is banked: trim is in the plane of symmetry.
Ride make_ride(const Craft&, const LatticeOptions&, const WakeChoice&, const DragChoice&, const Loading&);

/// The same ride as if everything on board weighed so many times as much, as in a turn or a landing; buoyancy
/// stays. load_factor > 0.
Ride at_load_factor(Ride, double load_factor);

/// A craft trimmed at a speed, with the responses that it was found by.
struct TrimmedCraft {
  double speed = 0;                                   ///< [m/s]
  Responses responses;                                ///< in plane, at the wake of this trim
  PlaneForms forms;                                   ///< of them, with the turns
  OtherDrag other;                                    ///< at this speed and trim
  TrimState state;                                    ///< the trim
  PolarPoint point;                                   ///< at its angle of attack
  DragBreakdown drag;                                 ///< at its speed
  std::size_t num_factorisations = 0, num_solves = 0; ///< that it took
};

/// Trims a craft, each turn at an amplitude [rad]; its wake along the stream at the angle of attack that the
/// trim comes to, unless the ride has it laid otherwise. guess: an angle near it [rad]. Throws Error for a
/// speed not above 0 and where no angle of attack carries the weight, Error (run) where the trim does not
/// settle, and what make_responses throws.
TrimmedCraft trimmed_craft(const Ride&, double speed, ThreadPool&, double guess = 0.05,
                           std::span<const TurnShape> turns = {}, std::span<const double> amplitudes = {});

/// Trims the same craft anew, each turn at another amplitude [rad], responses and wake as they are. The ride:
/// that which it was trimmed for. Throws as trimmed_craft.
void trim_at_wake(TrimmedCraft&, const Ride&, std::span<const double> amplitudes);

/// Puts a craft at the angle of attack that carries a lift [N] instead, whatever its moment: of the state,
/// angle, lift and drag alone are then set. The ride's loading does not enter. Throws Error where no angle of
/// attack carries it.
void carry_at_wake(TrimmedCraft&, const Ride&, double lift, std::span<const double> amplitudes);

/// A craft not trimmed yet, at a speed [m/s]: responses at hand, in plane or for all motions.
TrimmedCraft craft_to_trim(double speed, Responses);

/// The strip of the greatest local lift coefficient, either sign.
HardestStrip greatest_local_lift(const TrimmedCraft&);

/// The strip nearest to the section's greatest lift coefficient, or past it. Unset if no strip has a limit.
std::optional<HardestStrip> nearest_to_limit(const Craft&, const TrimmedCraft&);

} // namespace vlm
