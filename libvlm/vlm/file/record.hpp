#pragma once

#include <filesystem>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>

#include <vlm/file/case.hpp>
#include <vlm/file/comparison_output.hpp>
#include <vlm/file/internal_loads_output.hpp>
#include <vlm/file/placement_output.hpp>
#include <vlm/file/trim_output.hpp>
#include <vlm/force/derivatives.hpp>
#include <vlm/lattice/lattice.hpp>
#include <vlm/ride/handling.hpp>
#include <vlm/study/polar.hpp>
#include <vlm/study/reach_study.hpp>
#include <vlm/study/twist_study.hpp>

namespace vlm {

/// Layout of the records written, raised when a reader of the one before would fail (docs/record.md).
inline constexpr int record_version = 2;

/// SHA-256 of a text, 64 hexadecimal digits in lower case.
std::string sha256(std::string_view text);

/// Throws Error (input) for a path where RecordWriter puts no record: that of something other than a record
/// or an empty file, or in a folder that is missing. For asking before long work; RecordWriter asks by
/// itself.
void check_record_place(const std::filesystem::path&);

/// A record being made: one HDF5 file, laid out as docs/record.md says.
///
/// It claims PATH.partial at once, is written there as it comes, and gets its own name when closed. Without
/// that nothing is left of it, or PATH.partial if the run is killed, and an older record of that name is as
/// it was. All calls, those of the sinks too, must come from one thread at a time. Every call throws Error
/// (run) for a figure that is not finite; sinks also if the file cannot be written, on a full disk say.
class RecordWriter {
public:
  /// Starts a record. The case as it is run: its operation holds what the command gave in place of the
  /// file's. wake_angle [rad] of the stream along which the wake lies; unset if it is laid anew at each angle
  /// of attack. command: the command line, for the reader. Throws Error as
  /// check_record_place; Error (input) if another run is writing this record, Error (run) if PATH.partial
  /// cannot be created.
  RecordWriter(const std::filesystem::path&, const Case&, const Lattice&, std::optional<double> wake_angle,
               std::string_view command);

  ~RecordWriter();
  RecordWriter(const RecordWriter&) = delete;
  RecordWriter& operator=(const RecordWriter&) = delete;

  /// Set if a run that was killed had left its PATH.partial, which is replaced: a sentence for the user.
  const std::optional<std::string>& note() const;

  /// Adds the group /polar and returns the sink that fills it, for use before close. At most once.
  PolarSink polar_sink();

  /// Adds the group /twist for the grid of a study and returns the sink that fills it, for use before close.
  /// At most once.
  TwistSink twist_sink(const TwistStudy&);

  /// Adds circulation and pressure jump of the panels, for viewers, at one angle of attack [rad] and, of a
  /// twist study, one setting [rad]. At most once. panel_circulation: [panels] at V = 1 m/s, m²/s; stored at
  /// the speed of the operation if it has one.
  void write_panels(std::span<const double> panel_circulation, double alpha,
                    std::optional<double> incidence = std::nullopt,
                    std::optional<double> twist = std::nullopt);

  /// Adds the group /without_image: figures of the points of /polar without the image of the still surface,
  /// where it does not hold, and wave_drag [N] of them with it. At most once.
  void write_without_image(std::span<const PolarPoint> without, std::span<const double> wave_drag);

  /// Adds the group /derivatives: stability derivatives at one condition; and, unless they are empty,
  /// /derivatives_without_image: those without the image of the still surface. At most once.
  void write_derivatives(const std::vector<Derivative>&, const std::vector<Derivative>& without_image,
                         const Condition&);

  /// Adds the group /reach: the points of a study that were finished, in its order, one or more. Throws Error
  /// for none. At most once.
  void write_reach(const ReachStudy&, std::span<const ReachPoint>);

  /// Adds the group /internal_loads. At most once.
  void write_internal_loads(const InternalLoadResult&);

  /// Adds the group /trim: speeds, one or more, with what the study marked. At most once.
  void write_trim(const TrimResult&);

  /// Adds the group /placement: the points of a study that were finished, one or more. Throws Error for none.
  /// At most once.
  void write_placement(const PlacementResult&);

  /// Adds the group /comparison: crafts side by side, the first of which is the case of the record. Throws
  /// Error for none. At most once.
  void write_comparison(const ComparisonResult&);

  /// Adds the group /handling: figures of speeds, one or more. At most once.
  void write_handling(std::span<const HandlingPoint>);

  /// Writes the record and puts it in place of an older one. complete: false if the study was cancelled. The
  /// last call. Throws Error (run) if the file cannot be written, on a full disk say; the older record is
  /// then as it was.
  void close(bool complete);

private:
  struct State;
  std::unique_ptr<State> state_;
};

} // namespace vlm
