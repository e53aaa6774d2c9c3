#pragma once

#include <ostream>
#include <vector>

#include <vlm/file/fields.hpp>
#include <vlm/file/study_head.hpp>
#include <vlm/study/drag_at_speeds.hpp>

namespace vlm {

/// The drag of a craft at several speeds, as it is put out.
struct SpeedResult {
  std::vector<SpeedPoint> points; ///< one a speed, as many as were finished
  StudySummary summary;           ///< what the solver did
};

/// Items of a breakdown, each with its share of the whole.
std::vector<Fields> drag_fields(const DragBreakdown&);

/// A table for a terminal: a line an item, newtons and percent for up to five of the speeds. The sources
/// follow.
void write_drag_table(std::ostream&, const StudyHead&, const SpeedResult&);

/// All speeds, with all items.
void write_drag_json(std::ostream&, const StudyHead&, const SpeedResult&);

/// A line an item and speed, under a line of names.
void write_drag_csv(std::ostream&, const StudyHead&, const SpeedResult&);

} // namespace vlm
