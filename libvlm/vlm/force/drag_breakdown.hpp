#pragma once

#include <optional>
#include <vector>

#include <vlm/force/parasite_drag.hpp>
#include <vlm/force/polar_point.hpp>

namespace vlm {

/// All drag of a craft at one speed, by part and cause.
struct DragBreakdown {
  /// Induced drag of each part first, then tilt of the lift, waves, profile and parasite drag.
  std::vector<DragItem> items;
  double total = 0;                   ///< [N]
  double lift = 0;                    ///< [N]
  std::optional<double> lift_to_drag; ///< unset without drag
};

/// Drag of a point of a polar at a speed [m/s]: induced drag of the far field; near a free still surface what
/// still_surface_drag has beyond the image, of each surface that it knows; and parasite_drag with the local
/// lift coefficients of the point. lattice: that of the point. body: body_figures of the craft. Throws as
/// these two.
DragBreakdown drag_breakdown(const Craft&, const Lattice&, const std::optional<FuselageFigures>& body,
                             const DragChoice&, const PolarPoint&, double speed);

} // namespace vlm
