#pragma once

#include <optional>
#include <ostream>
#include <string_view>
#include <vector>

#include <vlm/file/study_head.hpp>
#include <vlm/ride/incidence_fit.hpp>
#include <vlm/study/trim_study.hpp>

namespace vlm {

/// What goes with every trim, and ends the tables of polars and studies too.
inline constexpr std::string_view trim_caution =
    "Linear estimates for still water without air drag; no substitute for graduated on-water testing.";

/// An incidence sought for a load station, as it is put out.
struct FittedIncidence {
  std::size_t surface = 0;    ///< index in the craft
  double wanted = 0;          ///< load station [m]
  double low = 0, high = 0;   ///< bounds of the incidence [rad]
  std::vector<double> speeds; ///< [m/s] it was sought over
  IncidenceFit fit;           ///< what was found
};

/// The balance of a craft at several speeds, as it is put out. head.input.loading is set.
struct TrimResult {
  std::vector<TrimPoint> points;         ///< one a speed, as many as were finished
  std::size_t num_wanted = 0;            ///< speeds asked for
  std::optional<SpeedMarks> marks;       ///< unset: not sought
  std::optional<FittedIncidence> fitted; ///< unset: not sought
  StudySummary summary;                  ///< what the solver did
};

/// A table for a terminal: a line a figure, a column a speed, of up to six of the speeds; the marked speeds
/// follow.
void write_trim_table(std::ostream&, const StudyHead&, const TrimResult&);

/// All speeds with all figures, marked speeds and fitted incidence.
void write_trim_json(std::ostream&, const StudyHead&, const TrimResult&);

/// A line a speed, under a line of names.
void write_trim_csv(std::ostream&, const StudyHead&, const TrimResult&);

} // namespace vlm
