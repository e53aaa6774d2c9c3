#pragma once

#include <ostream>
#include <string>
#include <vector>

#include <vlm/file/fields.hpp>
#include <vlm/file/study_head.hpp>
#include <vlm/ride/handling.hpp>

namespace vlm {

/// How a craft handles at several speeds, as it is put out.
struct HandlingResult {
  std::vector<HandlingPoint> points; ///< one a speed, as many as were finished
  std::size_t num_wanted = 0;        ///< speeds asked for
  StudySummary summary;              ///< what the solver did
};

/// Handling of one speed for JSON: its figures with their changes per metre of depth, and its modes.
Fields handling_fields(const Handling&);

/// A table for a terminal: a line a figure, a column a speed, of up to four of the speeds; of the middle one
/// of these also the changes with depth and, fastest first, as many modes as there is room for.
void write_handling_table(std::ostream&, const StudyHead&, const HandlingResult&);

/// All speeds with all figures and modes.
void write_handling_json(std::ostream&, const StudyHead&, const HandlingResult&);

/// A line a figure and a line a mode of each speed, under a line of names.
void write_handling_csv(std::ostream&, const StudyHead&, const HandlingResult&);

} // namespace vlm
