#pragma once

#include <ostream>
#include <vector>

#include <vlm/file/study_head.hpp>
#include <vlm/study/twist_study.hpp>

namespace vlm {

/// A twist study as it is put out.
struct TwistResult {
  TwistStudy study;
  TwistLimits limits;
  std::vector<TwistPoint> points; ///< as many of the grid as were finished, in its order
  /// The same without the image of the still surface, below the Froude number that it holds from; else empty.
  std::vector<TwistPoint> without_image;
  StudySummary summary;
};

/// Indices of the points that outputs mark; unset where there is none.
struct TwistMarks {
  std::optional<std::size_t> least_drag;
  std::optional<std::size_t>
      within_limits; ///< of least drag among those that keep the limits; only if there are any
  std::optional<std::size_t>
      nearest;            ///< to keeping the limits, if none does: breaks them by the least length
  bool on_border = false; ///< the least drag lies on the border of a finished grid
};

TwistMarks twist_marks(const TwistResult&, const Reference&);

/// A table for a terminal, within table_width and table_lines: a coarse map of induced drag, and the marked
/// points.
void write_twist_table(std::ostream&, const StudyHead&, const TwistResult&);

/// All points, and the marked ones.
void write_twist_json(std::ostream&, const StudyHead&, const TwistResult&);

/// All points under a line of names.
void write_twist_csv(std::ostream&, const StudyHead&, const TwistResult&);

} // namespace vlm
