#pragma once

#include <ostream>
#include <vector>

#include <vlm/file/study_head.hpp>
#include <vlm/study/reach_study.hpp>

namespace vlm {

/// The reach of a craft to the still surface over a grid of depths and banks, as it is put out.
struct ReachResult {
  ReachStudy study;               ///< the grid
  std::vector<ReachPoint> points; ///< as handed to the sink, one or more
  StudySummary summary;           ///< what the solver did
};

/// A table for a terminal: a line a depth and bank, of many some: how deep the tips lie, what the strip next
/// to the first of them to come out bears, and whether air may be drawn down. What comes out first, the
/// criteria of the warnings and what is not in the figures follow.
void write_reach_table(std::ostream&, const StudyHead&, const ReachResult&);

/// All points, with all tips, surfaces, strips and warnings.
void write_reach_json(std::ostream&, const StudyHead&, const ReachResult&);

/// A line a tip and point, under a line of names.
void write_reach_csv(std::ostream&, const StudyHead&, const ReachResult&);

} // namespace vlm
