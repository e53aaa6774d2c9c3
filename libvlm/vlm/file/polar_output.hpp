#pragma once

#include <ostream>
#include <span>
#include <vector>

#include <vlm/file/study_head.hpp>
#include <vlm/force/derivatives.hpp>
#include <vlm/study/polar.hpp>

namespace vlm {

/// A polar as it is put out.
struct PolarResult {
  std::vector<Condition> conditions;   ///< all that were asked for
  std::vector<PolarPoint> points;      ///< as many as were finished
  StudySummary summary;                ///< what the solver did
  std::vector<Derivative> derivatives; ///< at the only condition; empty if not asked for
  /// The same conditions without the image of the still surface, below the Froude number that it holds from;
  /// else empty.
  std::vector<PolarPoint> without_image;
  std::vector<Derivative> derivatives_without_image; ///< likewise
};

/// Upper estimate of the drag of waves [N] of each point at the speed of the operation, which must be known.
std::vector<double> wave_drags(const Case&, const Lattice&, std::span<const PolarPoint>);

/// A table for a terminal, within table_width and table_lines: of many angles, some.
void write_polar_table(std::ostream&, const StudyHead&, const PolarResult&);

/// All points, with their span loading, and the outline of the craft.
void write_polar_json(std::ostream&, const StudyHead&, const PolarResult&);

/// All points under a line of names.
void write_polar_csv(std::ostream&, const StudyHead&, const PolarResult&);

} // namespace vlm
