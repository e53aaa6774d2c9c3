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
  HardestStrip hardest;
  std::size_t surface = 0; ///< index in the craft
  double y = 0;            ///< [m]
};

/// The balance of a craft at one speed.
struct TrimPoint {
  double speed = 0;    ///< [m/s]
  std::string refusal; ///< why there is no balance; the rest is then unset
  TrimState state;
  double wake_angle = 0; ///< [rad]
  std::optional<double> lift_to_drag, front_foot_share;
  std::vector<PartTrim> parts; ///< in the order of part_names
  PlacedStrip greatest_lift;   ///< greatest local lift coefficient
  std::optional<PlacedStrip> nearest_limit;
  SpeedFigures figures;
  std::vector<double> strip_circulation; ///< [strips] at V = 1 m/s, m²/s

  // Below the Froude number from which the image of a free still surface holds:
  std::optional<TrimState> without_image; ///< the balance without it, if there is one
  std::optional<double> waves_at_most;    ///< wave_drag [N]

  bool solved() const { return refusal.empty(); }
};

/// Takes points as they are done.
using TrimSink = std::function<void(const TrimPoint&)>;

/// Balances a craft at speeds [m/s], each with its own wake. A speed at which it cannot be balanced does not
/// end the others.
StudySummary trim_at_speeds(const Ride&, std::span<const double> speeds, const TrimSink&, const RunControl&,
                            ThreadPool&);

/// Figures of the points that are solved, in rising order of speed: what speed_marks starts from.
std::vector<SpeedFigures> solved_figures(std::span<const TrimPoint>);

} // namespace vlm
