#pragma once

#include <numbers>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include <vlm/force/responses.hpp>
#include <vlm/lattice/lattice.hpp>
#include <vlm/ride/reach.hpp>

namespace vlm {

/// How much air may find its way down to a surface.
enum class Ventilation {
  none,     ///< nothing speaks for it
  possible, ///< within possible_depth_in_chords
  likely,   ///< within likely_depth_in_chords, or beyond mast_angle_limit
  certain,  ///< the surface is out of the water
};

/// "none", "possible", "likely" or "certain".
const char* name_of(Ventilation);

/// @name Limits of the warnings
/// All common practice, no source. Ventilation depends on speed, finish, waves and what the water did a
/// moment before, none of which these know.
///@{

/// Nearer to the still surface than so many of its own chords, a place that lifts toward it may draw air
/// down: its low pressure reaches about that far.
inline constexpr double possible_depth_in_chords = 1;
/// Nearer than this, the low pressure dents the surface and air is likely to follow.
inline constexpr double likely_depth_in_chords = 0.5;
/// Beyond this angle of the water to a mast's section where it pierces the surface [rad], 6 degrees, air is
/// likely to run down its low-pressure side: half of what a symmetric section stalls at.
inline constexpr double mast_angle_limit = std::numbers::pi / 30;

///@}

/// What a warning goes by.
enum class VentilationCriterion {
  breach,  ///< the surface stands out of the water
  suction, ///< it lifts toward the still surface, near it
  mast,    ///< the water meets the mast's section at an angle
};

/// The criterion as a sentence, with its limits and the words "common practice, no source".
std::string sentence(VentilationCriterion);

/// Air that may reach one surface.
struct VentilationWarning {
  std::size_t surface = 0;                                       ///< index in the craft
  VentilationCriterion criterion = VentilationCriterion::breach; ///< what it goes by
  Ventilation level = Ventilation::none;                         ///< possible or above
  Vec3 place;                                                    ///< where it is worst [m]
  double figure = 0; ///< what was held against the limit: depth [m] (breach), depth in chords (suction),
                     ///< angle [rad], water from starboard positive (mast)
};

/// What a strip bears, and how it lies to the still surface.
struct StripReach {
  std::size_t surface = 0;  ///< index in the craft
  double arc = 0;           ///< of the middle from the surface's first tip [m]
  double span_fraction = 0; ///< of the middle: −1 at the first tip to 1 at the last
  Vec3 leading_edge;        ///< in the middle [m]
  double chord = 0;         ///< [m]
  double depth = 0;         ///< of the less deep of leading and trailing edge, in the middle [m]
  double toward = 0; ///< share of the lifting side's direction that points at the still surface, −1 to 1
  double circulation = 0;                  ///< Γ/V [m]
  std::optional<double> level_circulation; ///< the same of the same strip without bank, at the same depth

  double lift_coefficient() const { return 2 * circulation / chord; } ///< local: 2Γ/(V c) [-]
};

/// The strips of a lattice made at the depth and bank of a reach, with its wake along the stream of the
/// reach's angle of attack. strip_circulation: [strips] at V = 1 m/s.
std::vector<StripReach> strips_in_reach(const Lattice&, const Reach&,
                                        std::span<const double> strip_circulation);

/// The strip next to a tip; nothing if the surface has none.
const StripReach* outermost_strip(const TipReach&, std::span<const StripReach>);

/// At most one warning a surface and criterion, the worst, in the order of the surfaces. strips: of
/// strips_in_reach, or none where no lattice could be made; then only a breach and the mast are told.
std::vector<VentilationWarning> ventilation_warnings(const Craft&, const Reach&, const Condition&,
                                                     std::span<const StripReach> strips);

/// The worst level of them.
Ventilation worst(std::span<const VentilationWarning>);

} // namespace vlm
