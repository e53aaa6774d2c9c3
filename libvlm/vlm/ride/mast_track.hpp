#pragma once

#include <span>
#include <vector>

namespace vlm {

/// Where the mast of a craft must stand in the board's track so that the rider stands where they did on a
/// reference craft.
struct MastTrack {
  std::vector<double> positions; ///< one a speed [m], counted as the reference's
  double recommended = 0;        ///< their mean: the least squares of what the rider must move
  double worst = 0;              ///< greatest distance of a position from it [m]
};

/// Places in the track for the load stations of a craft and of the reference. reference_track: of the
/// reference's mast axis, aft of any mark on the board [m]. Load stations [m] of both at the same speeds,
/// along the deck aft of each one's own mast axis: the rider's place on the board is track plus station, so
/// the other's track is what keeps that sum. Throws Error for none, or unequal numbers.
MastTrack mast_track(double reference_track, std::span<const double> reference_stations,
                     std::span<const double> stations);

} // namespace vlm
