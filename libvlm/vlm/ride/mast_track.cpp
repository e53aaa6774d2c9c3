#include <vlm/ride/mast_track.hpp>

#include <algorithm>
#include <cmath>
#include <string>

#include <vlm/base/error.hpp>

namespace vlm {

MastTrack mast_track(double reference_track, std::span<const double> reference_stations,
                     std::span<const double> stations) {
  if (stations.empty() || stations.size() != reference_stations.size())
    throw Error("load stations: found " + std::to_string(reference_stations.size()) + " and " +
                std::to_string(stations.size()) + ", wanted one of both crafts at each speed");
  MastTrack result;
  for (std::size_t i = 0; i < stations.size(); ++i) {
    result.positions.push_back(reference_track + reference_stations[i] - stations[i]);
    result.recommended += result.positions.back() / static_cast<double>(stations.size());
  }
  for (const double position : result.positions)
    result.worst = std::max(result.worst, std::abs(position - result.recommended));
  return result;
}

} // namespace vlm
