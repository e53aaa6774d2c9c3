#include <vlm/flow/symmetry.hpp>

#include <algorithm>
#include <cmath>

namespace vlm {
namespace {

bool mirrored_points(const Vec3& a, const Vec3& b, double tolerance) {
  return std::abs(a.x - b.x) <= tolerance && std::abs(a.y + b.y) <= tolerance &&
         std::abs(a.z - b.z) <= tolerance;
}

// Whether row b is row a mirrored, strips matched in the same order or in the opposite one.
bool mirrored_rows(const Lattice& lattice, const Row& a, const Row& b, bool same_order, double tolerance) {
  if (a.num_strips != b.num_strips || a.panels_per_strip != b.panels_per_strip)
    return false;
  for (std::size_t e = 0; e <= a.num_strips; ++e)
    for (std::size_t k = 0; k < a.nodes_per_edge(); ++k)
      if (!mirrored_points(lattice.node(a, e, k), lattice.node(b, same_order ? e : a.num_strips - e, k),
                           tolerance))
        return false;
  for (std::size_t j = 0; j < a.num_strips; ++j)
    for (std::size_t k = 0; k < a.panels_per_strip; ++k) {
      const std::size_t p = a.first_panel + j * a.panels_per_strip + k;
      const std::size_t q = b.first_panel + (same_order ? j : a.num_strips - 1 - j) * a.panels_per_strip + k;
      const double sign = same_order ? -1 : 1;
      if (!mirrored_points(lattice.control[p], lattice.control[q], tolerance) ||
          !mirrored_points(lattice.normal[p], sign * lattice.normal[q], 1e-9))
        return false;
    }
  return true;
}

} // namespace

std::optional<MirrorImage> mirror_image(const Lattice& lattice) {
  double size = 0;
  for (std::size_t i = 0; i < lattice.node_x.size(); ++i)
    size = std::max(
        {size, std::abs(lattice.node_x[i]), std::abs(lattice.node_y[i]), std::abs(lattice.node_z[i])});
  MirrorImage image;
  image.panel.resize(lattice.num_panels());
  image.sign.resize(lattice.num_panels());
  for (const Row& a : lattice.rows) {
    const Row* match = nullptr;
    bool same_order = false;
    for (const Row& b : lattice.rows)
      for (const bool order : {false, true})
        if (match == nullptr && a.shell == b.shell && mirrored_rows(lattice, a, b, order, 1e-9 * size)) {
          match = &b;
          same_order = order;
        }
    if (match == nullptr)
      return std::nullopt;
    const std::size_t n = a.panels_per_strip;
    for (std::size_t p = 0; p < a.num_panels(); ++p) {
      const std::size_t strip = p / n, image_strip = same_order ? strip : a.num_strips - 1 - strip;
      image.panel[a.first_panel + p] = match->first_panel + image_strip * n + p % n;
      // A vortex across the mirror plane is its own image; one in that plane is mirrored into its opposite.
      image.sign[a.first_panel + p] = same_order ? -1 : 1;
    }
  }
  return image;
}

std::optional<MirrorImage> mirror_image(const Lattice& lattice, const Vec3& wake_direction) {
  if (wake_direction.y != 0 || (lattice.mirror && lattice.mirror->normal.y != 0))
    return std::nullopt;
  return mirror_image(lattice);
}

Matrix mirrored_circulation(const MirrorImage& image, const Matrix& circulation) {
  Matrix mirrored(circulation.rows, circulation.cols);
  for (std::size_t c = 0; c < circulation.cols; ++c)
    for (std::size_t p = 0; p < circulation.rows; ++p)
      mirrored(p, c) = image.sign[p] * circulation(image.panel[p], c);
  return mirrored;
}

} // namespace vlm
