#pragma once

#include <cstddef>
#include <functional>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include <vlm/base/run_control.hpp>
#include <vlm/base/thread_pool.hpp>
#include <vlm/ride/handling.hpp>
#include <vlm/ride/trimmed_craft.hpp>
#include <vlm/study/polar.hpp>
#include <vlm/study/trim_study.hpp>

namespace vlm {

/// Where a surface is put and how large it is, as changes of what is drawn.
struct Placement {
  double aft = 0;  ///< moved aft [m]
  double up = 0;   ///< moved up [m]
  double area = 1; ///< projected area over that drawn; all lengths alike, about the surface's position
};

/// The craft with one surface put elsewhere, moved rigidly. Throws Error for a surface that the craft has not
/// or that is joined to another, for an area not above 0, and for one that lies wholly ahead of the
/// fuselage's nose or behind its tail; the rest that check(craft) looks at is left to make_lattice.
Craft placed(const Craft&, std::size_t surface, const Placement&);

/// A grid of places, sizes and incidences of one surface. Every craft of it is under way at one speed, its
/// wake along one stream.
struct PlacementStudy {
  std::size_t surface = 0;           ///< index in the craft
  std::vector<double> aft{0}, up{0}; ///< [m], of Placement
  std::vector<double> area{1};       ///< likewise
  std::vector<double> incidences;    ///< [rad], on the fuselage, in place of the craft's
  double speed = 0;                  ///< [m/s]
  double wake_angle = 0;             ///< [rad] of the stream along which all wakes lie
  std::optional<double> lift;        ///< to carry [N]; unset: trimmed under the ride's loading

  /// Points of the grid.
  std::size_t num_points() const { return aft.size() * up.size() * area.size() * incidences.size(); }
};

/// One point of the grid. Without a balance it is refused; what follows the refusal then counts for nothing.
struct PlacementPoint {
  Placement placement;             ///< of the surface
  double incidence = 0;            ///< of the surface [rad]
  std::string refusal;             ///< why there is no balance; empty where there is
  std::optional<bool> on_fuselage; ///< whether the surface meets its skin; unset without one
  std::optional<double> volume; ///< area × arm over reference area × chord, see tail_volume; unset for the
                                ///< reference surface itself
  TrimState state;              ///< the balance; carrying a lift: angle, lift and drag alone
  double induced_drag = 0;      ///< far field [N]
  std::optional<double> lift_to_drag;       ///< unset without drag
  std::optional<double> front_foot_share;   ///< of the load on the feet; unset without a stance
  std::optional<double> centre_of_lift;     ///< x [m]
  HandlingFigures handling;                 ///< of the balance; carrying a lift: about the centre of lift
  std::vector<PartTrim> parts;              ///< in the order of part_names
  double surface_local_lift = 0;            ///< greatest local lift coefficient of the placed surface
  PlacedStrip greatest_lift;                ///< that of all strips
  std::optional<PlacedStrip> nearest_limit; ///< nearest to the section's greatest; unset if none is known

  /// Whether there is a balance.
  bool solved() const { return refusal.empty(); }
};

/// Takes points as they are done: incidence runs fastest, then area, then up, then aft.
using PlacementSink = std::function<void(const PlacementPoint&)>;

/// Area of a surface times its arm over reference area and chord [-], common practice for sizing a
/// stabilizer: the arm runs from the quarter point of the reference surface's mean chord to that of the
/// surface's, aft positive.
double tail_volume(const Craft&, std::size_t surface);

/// The angle [rad] of the stream along which the craft of a ride has its wake as drawn: that given; else that
/// at which it is trimmed at a speed [m/s] or, if a lift [N] is given, carries it.
OperatingWake wake_as_drawn(const Ride&, double speed, std::optional<double> lift, ThreadPool&);

/// Goes through the grid. Each place is cut, solved for all motions and, with the incidence as a
/// superposition, trimmed; a place that cannot be, or has no balance, does not end the others. Carrying a
/// lift, the craft has the angle of attack that gives it, and static margin and stiffness are those of
/// HandlingFigures with the line of the load through the centre of lift, which stands for the centre of
/// mass. The ride's wake and, carrying a lift, its loading do not enter. Throws Error for an empty grid, a
/// surface that the craft has not and a speed not above 0.
StudySummary run_placement_study(const Ride&, const PlacementStudy&, const PlacementSink&, const RunControl&,
                                 ThreadPool&);

/// The same without the image of the still surface, where results are given so, too (needs_bracket);
/// else empty, or if cancelled. Tells no progress.
std::vector<PlacementPoint> placement_study_without_image(const Ride&, const PlacementStudy&,
                                                          const RunControl&, ThreadPool&);

/// What a point must keep to be chosen. What is unset is no limit.
struct PlacementLimits {
  std::optional<double> centre_from, centre_to;   ///< of the centre of lift, x [m]
  std::optional<double> station_from, station_to; ///< of the load station [m]
  std::optional<double> least_margin;             ///< of the static margin [-]

  /// Whether there is one.
  bool any() const { return centre_from || centre_to || station_from || station_to || least_margin; }
};

/// Whether a point keeps the limits. A point without a balance, and an undefined figure, break them.
bool keeps(const PlacementLimits&, const PlacementPoint&);

/// Indices of the points of least drag; unset where there is none.
struct PlacementMarks {
  std::optional<std::size_t> least_drag;    ///< of all
  std::optional<std::size_t> within_limits; ///< of those that keep the limits; unset without limits, too
  bool on_border = false;                   ///< the least drag lies on the border of a finished grid
};

/// The marks of the points of a study that were finished.
PlacementMarks placement_marks(const PlacementStudy&, std::span<const PlacementPoint>,
                               const PlacementLimits&);

} // namespace vlm
