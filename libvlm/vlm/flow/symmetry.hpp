#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include <vlm/base/matrix.hpp>
#include <vlm/lattice/lattice.hpp>

namespace vlm {

/// Which panel mirrors which about y = 0.
struct MirrorImage {
  std::vector<std::size_t> panel; ///< [panels]
  std::vector<double> sign; ///< circulation of the image of a unit circulation in the mirrored flow, +1 or −1
};

/// The mirror image of a lattice in itself, or nothing if it has none to 1e-9 of its size.
std::optional<MirrorImage> mirror_image(const Lattice&);

/// The same if the wake, along a unit vector, and the still surface mirror themselves too: then the whole
/// flow does.
std::optional<MirrorImage> mirror_image(const Lattice&, const Vec3& wake_direction);

/// Circulations [panels × columns] as the mirror shows them: of each panel's image, by its sign.
Matrix mirrored_circulation(const MirrorImage&, const Matrix&);

} // namespace vlm
