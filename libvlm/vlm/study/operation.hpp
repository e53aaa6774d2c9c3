#pragma once

#include <optional>

#include <vlm/base/gravity.hpp>
#include <vlm/shape/craft.hpp>

namespace vlm {

/// The condition that a study is made at; what is unset must come with the command.
struct Operation {
  std::optional<double> speed;            ///< [m/s]
  std::optional<double> mass;             ///< carried by the lift [kg]
  std::optional<double> lift_coefficient; ///< [-]; excludes mass
};

/// Lift coefficient of an operation: as given, or weight over dynamic pressure and reference area.
/// Throws Error saying what is missing, and for a speed not above 0.
double lift_coefficient(const Operation&, const Craft&);

} // namespace vlm
