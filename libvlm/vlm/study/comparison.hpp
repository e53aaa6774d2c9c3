#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include <vlm/base/run_control.hpp>
#include <vlm/base/thread_pool.hpp>
#include <vlm/ride/handling.hpp>
#include <vlm/ride/mast_track.hpp>
#include <vlm/ride/speeds.hpp>
#include <vlm/shape/surface.hpp>
#include <vlm/study/stabilizer_swap.hpp>
#include <vlm/study/trim_study.hpp>

namespace vlm {

/// A step between neighbours of a range that differs from the mean step by more than this factor is uneven;
/// common practice, no source.
inline constexpr double uneven_step = 1.5;

/// Reference areas that differ by less than this factor of themselves are equal.
inline constexpr double equal_areas = 1e-6;

/// What crafts are compared at.
struct ComparisonChoice {
  double speed = 0;            ///< [m/s], common to all
  std::optional<double> angle; ///< of attack, equal for all [rad]; unset: the first craft's, trimmed at speed
  std::vector<double> speeds;  ///< [m/s] to trim them at, at least one
  std::optional<double> track; ///< of the first craft's mast axis, aft of any mark on the board [m]
  std::vector<Stabilizer> new_family; ///< that replaces all crafts' stabilizers; empty: none is sought
};

/// From the next smaller craft of the range to this one; among several of that size, the first given.
struct RangeStep {
  std::size_t smaller = 0;        ///< index of that craft
  std::optional<double> take_off; ///< of the take-off speed [m/s]
  std::optional<double> lift;     ///< of the lift at equal speed and angle [N]
  bool uneven_take_off = false;   ///< beyond uneven_step
  bool uneven_lift = false;       ///< likewise
};

/// Where the mast of a craft stands for the rider to stand where they did on the first.
struct TrackPlace {
  std::vector<std::optional<double>> positions; ///< one a speed [m]; unset where either has no balance
  double recommended = 0;                       ///< their mean [m]
  double worst = 0;                             ///< greatest distance of a position from it [m]
};

/// One craft among those compared. What is unset is refused or undefined.
struct ComparedCraft {
  OutlineFigures outline;  ///< of the reference surface
  double carried_mass = 0; ///< by the lift [kg]
  double lift = 0;         ///< at equal speed and angle [N]
  /// There, of the section's greatest lift coefficient, where nearest to it.
  std::optional<double> share_of_limit;
  std::optional<double> equal_area;   ///< of its reference surface that lifts like the first craft [m²]
  std::string equal_area_refusal;     ///< if unset
  std::optional<TrimPoint> balanced;  ///< at the common speed
  HandlingFigures handling;           ///< there; without late downwash
  std::string refusal;                ///< if not balanced
  std::vector<TrimPoint> points;      ///< at speeds
  std::optional<SpeedMarks> marks;    ///< unset: no balance at any of the speeds
  std::optional<RangeStep> step;      ///< unset for the smallest size
  std::optional<TrackPlace> place;    ///< if a track is given
  std::optional<StabilizerSwap> swap; ///< for its stabilizer on the first craft, if a new family is given
  bool image_fails = false; ///< some of its figures are below the Froude number from which the image holds
};

/// Crafts side by side, in the order given.
struct Comparison {
  double angle = 0;                  ///< [rad] of the lift at equal angle
  std::vector<ComparedCraft> crafts; ///< one a ride
  bool complete = true; ///< false if cancelled; crafts not reached are missing, and steps, places and swaps
};

/// Lift of a craft at a speed [m/s] and angle of attack [rad], the wake laid along that stream unless the
/// ride has it laid otherwise [N].
double lift_at(const Ride&, double speed, double alpha, ThreadPool&);

/// Area of the reference surface [m²], all its lengths stretched alike about its own position and all else of
/// the craft held, at which the craft has a lift [N] at a speed and an angle of attack. Secants to 1e-9 of
/// the lift, each craft solved anew. Throws Error where there is none between a tenth and ten times the area
/// drawn, or a craft on the way is none.
double equal_lift_area(const Ride&, double lift, double speed, double alpha, ThreadPool&);

/// Sets the steps of crafts in rising order of reference area, none between crafts of equal_areas. Uneven:
/// more than uneven_step times the mean of all steps that are known, or less than its inverse, or the other
/// way.
void set_steps(std::span<ComparedCraft>);

/// Compares crafts: at least two, titles different. A craft that cannot be balanced, or what cannot be found
/// of it, does not end the others. Progress is by crafts. Throws Error for one craft, two of one title, no
/// speed, without an angle if the first craft has no balance at the common speed, and with a new family for a
/// craft without a stabilizer.
Comparison compare(std::span<const Ride>, const ComparisonChoice&, const RunControl&, ThreadPool&);

} // namespace vlm
