#pragma once

#include <optional>
#include <string>
#include <vector>

#include <vlm/base/run_control.hpp>
#include <vlm/base/thread_pool.hpp>
#include <vlm/ride/trimmed_craft.hpp>

namespace vlm {

/// What is kept of a trim at one speed.
struct SpeedFigures {
  double speed = 0;                           ///< [m/s]
  double alpha = 0;                           ///< [rad]
  double lift = 0, drag = 0, drive_force = 0; ///< [N]
  double load_station = 0;                    ///< [m]
  double power = 0;                           ///< drag times speed: what a drive gives along the travel [W]
  std::optional<double> share_of_limit; ///< of the section's greatest lift coefficient, where nearest to it
};

/// The figures of a trimmed craft.
SpeedFigures speed_figures(const Craft&, const TrimmedCraft&);

/// A speed that stands out, or why there is none.
struct SpeedMark {
  std::optional<SpeedFigures> at; ///< unset if there is none
  std::string refusal;            ///< why there is none; else empty
};

/// Speeds that stand out, each trimmed with a wake of its own.
struct SpeedMarks {
  SpeedMark take_off;    ///< the lift limit is reached on some strip: below, it stalls
  SpeedMark best_glide;  ///< greatest lift over drag
  SpeedMark least_power; ///< least drag times speed
  SpeedMark top;         ///< the greatest force or power of the drive is used up
  std::size_t num_factorisations = 0, num_solves = 0; ///< that finding them took
};

/// A marked speed, with its name in words and in files.
struct NamedSpeedMark {
  const char* in_words;        ///< "best glide"
  const char* name;            ///< of files: "best_glide"
  SpeedMark SpeedMarks::*mark; ///< the member that holds it
};

/// All of them, in order of output.
inline constexpr NamedSpeedMark named_speed_marks[]{{"take-off", "take_off", &SpeedMarks::take_off},
                                                    {"best glide", "best_glide", &SpeedMarks::best_glide},
                                                    {"least power", "least_power", &SpeedMarks::least_power},
                                                    {"top speed", "top_speed", &SpeedMarks::top}};

/// Seeks them, starting from trims at speeds in rising order, at least one. Best glide, least power and top
/// speed are sought from take-off, or half the lowest speed, to twice the greatest; to 1e-3 of a speed,
/// take-off and top speed to 1e-5. Parabolas through three points, secants. What cannot be found is refused,
/// and so is the rest when cancelled. Throws Error if no speed is known.
SpeedMarks speed_marks(const Ride&, const std::vector<SpeedFigures>& known, const RunControl&, ThreadPool&);

} // namespace vlm
