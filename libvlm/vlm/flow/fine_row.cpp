#include <vlm/flow/fine_row.hpp>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace vlm {
namespace {

constexpr std::size_t fine_lines = 8; // a panel

} // namespace

FineRow fine_row(const Lattice& lattice, const Row& row) {
  const std::size_t n = row.panels_per_strip, lines = fine_lines * n;
  const double pi = std::numbers::pi;
  const auto angle = [pi](std::size_t i, std::size_t count) {
    return (2 * static_cast<double>(i) + 1) * pi / (2 * static_cast<double>(count));
  };
  FineRow fine;
  fine.lines = lines;
  fine.share = Matrix(lines, n);
  // 1 + 2 Σ cos mα cos mβ for m from 1 to n − 1, by Dirichlet's kernel: Σ cos mx is known, and cos mα cos mβ
  // half the sum of two such terms. No line lies on a panel's vortex, so that x is never 0.
  const auto dirichlet = [n](double x) {
    return 0.5 * std::sin((static_cast<double>(n) - 0.5) * x) / std::sin(0.5 * x); // ½ + Σ cos mx
  };
  for (std::size_t i = 0; i < lines; ++i)
    for (std::size_t k = 0; k < n; ++k) {
      const double alpha = angle(i, lines), beta = angle(k, n);
      fine.share(i, k) = (dirichlet(alpha - beta) + dirichlet(alpha + beta)) / static_cast<double>(lines);
    }
  const auto fraction = [&](std::size_t i, std::size_t count) {
    return i == count ? 1 : 0.5 * (1 - std::cos(angle(i, count)));
  };
  double chord = 0;
  for (std::size_t e = 0; e <= row.num_strips; ++e) {
    const std::size_t first = row.first_node + e * row.nodes_per_edge();
    const auto along = [&](const std::vector<double>& node, std::size_t k, double u) {
      return node[first + k] + u * (node[first + k + 1] - node[first + k]);
    };
    for (std::size_t i = 0, k = 0; i <= lines; ++i) {
      const double x = fraction(i, lines);
      while (k + 1 < n && fraction(k + 1, n) < x)
        ++k;
      const double u = (x - fraction(k, n)) / (fraction(k + 1, n) - fraction(k, n));
      fine.x.push_back(along(lattice.node_x, k, u));
      fine.y.push_back(along(lattice.node_y, k, u));
      fine.z.push_back(along(lattice.node_z, k, u));
    }
    const std::size_t last = fine.x.size() - 1, front = last - lines;
    chord = std::max(chord, norm(Vec3{fine.x[last] - fine.x[front], fine.y[last] - fine.y[front],
                                      fine.z[last] - fine.z[front]}));
  }
  if (!row.shell)
    fine.core = chord * pi / (2 * static_cast<double>(lines)); // the widest gap between lines
  return fine;
}

} // namespace vlm
