#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include <vlm/base/thread_pool.hpp>
#include <vlm/ride/trimmed_craft.hpp>

namespace vlm {

/// Index of the only surface beside the reference surface and the mast. Throws Error if there is not one.
std::size_t stabilizer_index(const Craft&);

/// A stabilizer and its panels.
struct Stabilizer {
  Surface surface;    ///< as drawn
  PanelCounts counts; ///< how it is cut
};

/// The stabilizer of a ride. Throws as stabilizer_index.
Stabilizer stabilizer_of(const Ride&);

/// The craft with another stabilizer where its own was: same position and name, incidence the other's.
/// Throws as stabilizer_index.
Ride with_stabilizer(const Ride&, const Stabilizer&);

/// What a stabilizer does to a craft at one speed.
struct Steadiness {
  double load_station = 0;  ///< that balances it [m]
  double neutral_point = 0; ///< in angle of attack, the wake held: x [m]
};

/// What the stabilizer of a ride does at a speed [m/s]. Throws Error without a neutral point, for what
/// check(craft) refuses, and what trimmed_craft throws.
Steadiness steadiness(const Ride&, double speed, ThreadPool&);

/// How much a stabilizer of another family must be changed to do what an old one does.
struct StabilizerFit {
  std::size_t member = 0;      ///< of the new family
  double area_scale = 1;       ///< area over the area as drawn; all lengths by its root
  double incidence_change = 0; ///< [rad], from the incidence as drawn
};

/// What a stabilizer as drawn misses: its figures less those wanted.
struct StabilizerMiss {
  std::size_t member = 0; ///< of the new family
  Steadiness by;          ///< [m]
};

/// What stands in for one old stabilizer.
struct StabilizerSwap {
  std::optional<StabilizerFit> fit;      ///< of all members, the one whose area changes least
  std::optional<StabilizerMiss> nearest; ///< as drawn: the least sum of squares of both misses
  std::string refusal;                   ///< why one of them is unset
};

/// For each old stabilizer, put on a craft, the member of a new family which in its place gives the same load
/// station and the same neutral point at a speed [m/s]. Two unknowns, the logarithm of the area and the
/// incidence, and two equations: Newton's method with slopes by differences, kept up by secants (Broyden
/// 1965), to a micrometre; each step is trimmed anew, wake and all. A scale beyond five or a fifth is
/// refused. Throws Error for an empty new family, and as stabilizer_index.
std::vector<StabilizerSwap> swap_stabilizers(const Ride&, std::span<const Stabilizer> old_family,
                                             std::span<const Stabilizer> new_family, double speed,
                                             ThreadPool&);

} // namespace vlm
