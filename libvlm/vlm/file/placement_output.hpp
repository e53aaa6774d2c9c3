#pragma once

#include <ostream>
#include <vector>

#include <vlm/file/study_head.hpp>
#include <vlm/study/placement_study.hpp>

namespace vlm {

/// A placement study as it is put out.
struct PlacementResult {
  PlacementStudy study;               ///< the grid
  PlacementLimits limits;             ///< of what may be chosen
  std::vector<PlacementPoint> points; ///< as many of the grid as were finished, in its order
  /// The same without the image of the still surface, below the Froude number that it holds from; else empty.
  std::vector<PlacementPoint> without_image;
  StudySummary summary; ///< what the solver did
};

/// A table for a terminal, within table_width and table_lines: a line a point, of longer studies some of
/// them, and the marked points.
void write_placement_table(std::ostream&, const StudyHead&, const PlacementResult&);

/// All points, and the marked ones.
void write_placement_json(std::ostream&, const StudyHead&, const PlacementResult&);

/// All points under a line of names.
void write_placement_csv(std::ostream&, const StudyHead&, const PlacementResult&);

} // namespace vlm
