#pragma once

#include <functional>
#include <string>
#include <vector>

#include <vlm/ride/ventilation.hpp>
#include <vlm/study/polar.hpp>

namespace vlm {

/// A grid of depths and banks at which a craft is held in one condition.
struct ReachStudy {
  Condition condition;        ///< held at all of them: the craft is not trimmed anew
  std::vector<double> depths; ///< of the origin [m], above 0
  std::vector<double> banks;  ///< [rad], below 80 degrees to either side; starboard down positive
};

/// A craft at one depth and bank.
struct ReachPoint {
  Reach reach;                              ///< its geometry
  std::vector<StripReach> strips;           ///< of the lattice made there; empty if it is refused
  std::vector<VentilationWarning> warnings; ///< at most one a surface and criterion
  std::string refusal; ///< why there is no load: something stands out of the water, say; empty if there is
};

/// Takes finished points: all banks of the first depth, then of the next.
using ReachSink = std::function<void(const ReachPoint&)>;

/// Goes through a grid. Each point is a lattice and a factorisation of its own, banked ones of full size,
/// with still surface and wake along the stream at the condition's angle of attack; strips are set beside the
/// same without bank at the same depth. A point that cannot be solved does not end the others. Throws Error
/// for no depth or bank, or one out of the range above, and for what check(craft) refuses.
StudySummary run_reach_study(const Craft&, const LatticeOptions&, const ReachStudy&, const ReachSink&,
                             const RunControl&, ThreadPool&);

} // namespace vlm
