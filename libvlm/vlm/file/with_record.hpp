#pragma once

#include <filesystem>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include <vlm/base/run_control.hpp>
#include <vlm/base/thread_pool.hpp>
#include <vlm/file/case.hpp>
#include <vlm/file/placement_output.hpp>
#include <vlm/file/polar_output.hpp>
#include <vlm/file/record.hpp>
#include <vlm/file/trim_output.hpp>
#include <vlm/file/twist_output.hpp>
#include <vlm/force/responses.hpp>
#include <vlm/lattice/lattice.hpp>

namespace vlm {

// Studies with all that their outputs show, written to a record on the way. The case is as it is run: its
// operation, wake and lattice hold what was asked for in place of the file's. If a run that was killed had
// left its PATH.partial, the case gets a note of it. Errors are those of the studies and of RecordWriter.

/// The record that a study leaves.
struct RecordChoice {
  std::optional<std::filesystem::path> path; ///< unset: none
  std::string command;                       ///< what asked for it, for the reader
};

/// Starts the record that a study is to leave, before the study; null if none is wanted. Every study does it
/// here. If a run that was killed had left its PATH.partial, the case gets a note of it. wake_angle: as of
/// RecordWriter.
std::unique_ptr<RecordWriter> start_record(Case&, const Lattice&, std::optional<double> wake_angle,
                                           const RecordChoice&);

/// A polar to be made.
struct PolarChoice {
  std::vector<Condition> conditions; ///< at least one
  std::optional<double> wake_angle;  ///< [rad]; unset: laid anew along the stream of each condition
  bool derivatives = false;          ///< also the stability derivatives, at the middle angle
};

/// Half way between the first and the last angle of attack of a polar [rad]: there its record shows the
/// panels, and the wake lies if nothing else is said. Throws Error for no condition.
double middle_angle(const std::vector<Condition>&);

/// The polar and, below the Froude number from which the image of the still surface holds, that without it.
/// lattice: of the case.
PolarResult polar_with_record(Case&, const Lattice&, const PolarChoice&, const RecordChoice&,
                              const RunControl&, ThreadPool&);

/// The twist study, likewise. responses: twist_responses of the case and study.
TwistResult twist_study_with_record(Case&, const Responses&, const TwistStudy&, const TwistLimits&,
                                    const RecordChoice&, const RunControl&, ThreadPool&);

/// The placement study, likewise. lattice: of the case.
PlacementResult placement_study_with_record(Case&, const Lattice&, const Ride&, const PlacementStudy&,
                                            const PlacementLimits&, const RecordChoice&, const RunControl&,
                                            ThreadPool&);

/// Trims at speeds [m/s] and, if none was left out, the speeds that stand out.
TrimResult trim_with_marks(const Ride&, std::span<const double> speeds, const RunControl&, ThreadPool&);

} // namespace vlm
