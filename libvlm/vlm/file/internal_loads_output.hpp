#pragma once

#include <ostream>
#include <vector>

#include <vlm/file/study_head.hpp>
#include <vlm/ride/internal_loads.hpp>

namespace vlm {

/// Internal loads at a load factor, as they are put out.
struct InternalLoadResult {
  double load_factor = 1;  ///< lift over weight that the condition was trimmed to
  Condition condition;     ///< trimmed, at that load factor
  double speed = 0;        ///< [m/s]
  std::vector<Beam> beams; ///< as internal_loads gives them
  StudySummary summary;    ///< what the solver did
};

/// A table for a terminal: of every part the greatest loads and those at some of the cuts; of two halves that
/// are alike, one. Ends with the caution, as the others hold it.
void write_internal_loads_table(std::ostream&, const StudyHead&, const InternalLoadResult&);

/// All cuts of all parts, and the greatest loads with their places.
void write_internal_loads_json(std::ostream&, const StudyHead&, const InternalLoadResult&);

/// A line a cut, under a line of names.
void write_internal_loads_csv(std::ostream&, const StudyHead&, const InternalLoadResult&);

} // namespace vlm
