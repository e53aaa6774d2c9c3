#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include <vlm/force/friction.hpp>
#include <vlm/force/responses.hpp>
#include <vlm/lattice/options.hpp>
#include <vlm/ride/loading.hpp>
#include <vlm/shape/craft.hpp>
#include <vlm/shape/twist_shape.hpp>
#include <vlm/study/operation.hpp>

namespace vlm {

/// Which water a case names. Craft::water has its figures, or what the case gives in their place.
struct WaterChoice {
  /// With salt or without.
  enum class Kind {
    fresh, ///< as fresh_water has it
    sea,   ///< as sea_water has it
  };
  Kind kind = Kind::fresh; ///< which of them
  double temperature = 20; ///< [°C]
  double salinity = 0;     ///< [g/kg], absolute; 0 if fresh

  friend bool operator==(const WaterChoice&, const WaterChoice&) = default;
};

/// "fresh" or "sea", as in a case file.
std::string name_of(WaterChoice::Kind);

/// All that a case file says.
struct Case {
  std::filesystem::path path;       ///< as given
  std::string text;                 ///< the file as read, byte for byte
  Craft craft;                      ///< checked
  WaterChoice water;                ///< which water it names
  bool boundary_is_written = false; ///< craft.still_surface.boundary is the file's word, not a default
  LatticeOptions lattice;           ///< counts for every surface
  WakeChoice wake;                  ///< for the studies
  std::optional<Loading> loading;   ///< if the file has a rider
  Operation operation;              ///< its mass: as written, or what the loading leaves the lift to carry
  DragChoice drag;                  ///< how friction is found
  std::vector<TwistShape> twist_shapes; ///< of the file, with names of their own
  std::vector<std::string> notes;       ///< what reading changed or assumed, one sentence each, for the user
};

/// Reads a case (TOML 1.0; docs/case.md). Throws Error: "FILE:LINE:COLUMN: KEY: found …, wanted …".
Case read_case(const std::filesystem::path&);

/// Angle of attack of the stream along which a wake lies in every study [rad], 0 along the body; unset if
/// each study chooses its own.
std::optional<double> given_angle(const WakeChoice&);

/// Panels that a case may have, its fuselage's included: more would take hours.
inline constexpr int most_panels = 50'000;

/// The same from a text already in memory; path: where it would stand, for errors and for the files that it
/// names, which are looked for beside it.
Case parse_case(std::string text, const std::filesystem::path& path);

} // namespace vlm
