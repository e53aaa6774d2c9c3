// Figures of a point of a placement study, as all its outputs have them.

#pragma once

#include <optional>
#include <span>

#include <vlm/study/placement_study.hpp>

namespace vlm {

/// A figure, with the names that it goes by.
struct PlacementFigure {
  const char* key;       ///< of JSON and CSV, with their unit: "load_station_mm"
  double scale;          ///< from SI to that unit
  const char* name;      ///< of the record: "load_station"
  const char* unit;      ///< of the record, SI
  const char* long_name; ///< of the record, a sentence
  /// The figure in SI, of a point that has a balance; surface: the placed one.
  std::optional<double> (*figure)(const PlacementPoint&, std::size_t surface);
};

/// All figures, in order of output.
std::span<const PlacementFigure> placement_figures();

/// A figure of a point in SI; unset where there is no balance.
std::optional<double> figure_of(const PlacementFigure&, const PlacementPoint&, std::size_t surface);

} // namespace vlm
