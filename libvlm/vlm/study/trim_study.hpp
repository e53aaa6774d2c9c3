#pragma once

#include <functional>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include <vlm/base/run_control.hpp>
#include <vlm/ride/speeds.hpp>
#include <vlm/study/polar.hpp>

namespace vlm {

/// What one part has of a trimmed craft's loads.
struct PartTrim {
  double lift = 0;                  ///< near field, across the stream [N]
  double drag = 0;                  ///< all items that name it first [N]
  std::optional<double> drag_share; ///< of all drag
};

/// A strip, placed for a reader.
struct PlacedStrip {
  HardestStrip hardest;    ///< the strip
  std::size_t surface = 0; ///< index in the craft
  double y = 0;            ///< of its middle [m]
};

/// Loads of the parts of a trimmed craft, in the order of part_names.
std::vector<PartTrim> parts_of(const Ride&, const TrimmedCraft&);

/// Where a strip of a lattice is.
PlacedStrip placed_strip(const Lattice&, const HardestStrip&);

/// The balance of a craft at one speed.
struct TrimPoint {
  double speed = 0;                         ///< [m/s]
  std::string refusal;                      ///< why there is no balance; the rest is then unset
  TrimState state;                          ///< the balance
  double wake_angle = 0;                    ///< [rad] of the stream along which the wake lies
  std::optional<double> lift_to_drag;       ///< unset without drag
  std::optional<double> front_foot_share;   ///< of the load on the feet; unset without a stance
  std::vector<PartTrim> parts;              ///< in the order of part_names
  PlacedStrip greatest_lift;                ///< greatest local lift coefficient
  std::optional<PlacedStrip> nearest_limit; ///< nearest to the section's greatest; unset if none is known
  SpeedFigures figures;                     ///< the same balance in short, for speed_marks
  std::vector<double> strip_circulation;    ///< [strips] at V = 1 m/s, m²/s

  /// Where needs_bracket: the balance without the image, if there is one.
  std::optional<TrimState> without_image;
  std::optional<double> two_dimensional_waves; ///< where needs_bracket: two_dimensional_wave_drag [N]

  /// Whether there is a balance.
  bool solved() const { return refusal.empty(); }
};

/// Takes points as they are done.
using TrimSink = std::function<void(const TrimPoint&)>;

/// Balances a craft at speeds [m/s], each with a wake of its own unless the ride has it laid otherwise. A
/// speed at which it cannot be balanced does not end the others.
StudySummary trim_at_speeds(const Ride&, std::span<const double> speeds, const TrimSink&, const RunControl&,
                            ThreadPool&);

/// Figures of the points that are solved, in rising order of speed: what speed_marks starts from.
std::vector<SpeedFigures> solved_figures(std::span<const TrimPoint>);

} // namespace vlm
