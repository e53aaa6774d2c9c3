#pragma once

#include <optional>
#include <string>
#include <vector>

#include <vlm/file/case.hpp>
#include <vlm/file/fields.hpp>
#include <vlm/force/waves.hpp>
#include <vlm/lattice/lattice.hpp>
#include <vlm/study/polar.hpp>

namespace vlm {

/// What every output of a study says before its results. Refers to what it was made from.
struct StudyHead {
  std::string program;    ///< name of the one that ran
  const Case& input;      ///< as run, with what the command gave in place of the file's
  const Lattice& lattice; ///< of the craft
  /// [rad]; unset: the wake is laid along the stream of each angle of attack.
  std::optional<double> wake_angle;
  std::string wake_choice;             ///< what chose it: "the operating angle"
  std::optional<FuselageFigures> body; ///< of the craft
};

/// Froude numbers of a case at its depth and speed; unset if it lacks either.
std::optional<FroudeNumbers> froude_of(const Case&);

/// Name that the case gives a surface of the craft.
const std::string& surface_name(const StudyHead&, std::size_t surface);

/// Lines of the head of a table: title, sizes of the surfaces, reference, moment point, water, wake, lattice,
/// notes. Of many surfaces or notes, the first few.
std::vector<std::string> head_lines(const StudyHead&);

/// The same for JSON, and what the solver did. num_points_wanted: of the whole study.
Fields head_fields(const StudyHead&, const StudySummary&, std::size_t num_points_wanted);

/// A figure in the unit of the function's name. Degrees to 1e-10, so that 2 stays 2 on its way through
/// radians. What is unset stays so.
///@{
double in_degrees(double radians);
std::optional<double> in_degrees(const std::optional<double>& radians);
double in_mm(double metres);
std::optional<double> in_mm(const std::optional<double>& metres);
std::optional<double> in_percent(const std::optional<double>& fraction);
///@}

/// Near-field minus far-field induced drag, percent of the latter. Unset where there is no induced drag.
std::optional<double> near_field_difference_percent(const std::optional<double>& near_drag_excess,
                                                    const std::optional<double>& induced_drag_coefficient);

/// What tables put behind the name of a state where it is beyond a lift limit.
inline constexpr std::string_view limit_mark = "!";
/// The line that then says so below them.
inline constexpr std::string_view limit_warning =
    "warning: ! beyond a section's max_lift_coefficient: it would stall there, and figures do not hold";

/// limit_mark for a share that is beyond_lift_limit, else nothing.
std::string limit_mark_of(const std::optional<double>& share_of_limit);

/// What tables say of a craft at a speed [m/s] where its cavitation_number is below low_cavitation_number;
/// unset at other speeds.
std::optional<std::string> cavitation_warning(const Craft&, double speed);

/// Force [N] for a coefficient of 1 over the reference area, at the speed of the operation; unset if that is
/// not known.
std::optional<double> force_unit(const Case&);

} // namespace vlm
