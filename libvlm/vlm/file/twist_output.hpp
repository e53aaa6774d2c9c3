#pragma once

#include <ostream>
#include <vector>

#include <vlm/file/study_head.hpp>
#include <vlm/study/twist_study.hpp>

namespace vlm {

/// A twist study as it is put out.
struct TwistResult {
  TwistStudy study;   ///< the grid
  TwistLimits limits; ///< of what may be ridden
  TwistPoints points; ///< as many of the grid as were finished, in its order
  /// The same without the image of the still surface, below the Froude number that it holds from; else empty.
  TwistPoints without_image;
  StudySummary summary; ///< what the solver did
};

/// Indices of the points that outputs mark; unset where there is none.
struct TwistMarks {
  std::optional<std::size_t> least_drag;    ///< of all
  std::optional<std::size_t> within_limits; ///< of those that keep the limits; unset without limits, too
  std::optional<std::size_t> nearest;       ///< if none keeps them: breaks them by the least length
  bool on_border = false;                   ///< the least drag lies on the border of a finished grid
};

/// The marks of a study. The reference's chord makes lengths of static margins.
TwistMarks twist_marks(const TwistResult&, const Reference&);

/// A table for a terminal, within table_width and table_lines: a coarse map of induced drag, and the marked
/// points.
void write_twist_table(std::ostream&, const StudyHead&, const TwistResult&);

/// All points, and the marked ones.
void write_twist_json(std::ostream&, const StudyHead&, const TwistResult&);

/// All points under a line of names.
void write_twist_csv(std::ostream&, const StudyHead&, const TwistResult&);

} // namespace vlm
