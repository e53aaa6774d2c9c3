#include <vlm/lattice/shell.hpp>

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include <vlm/base/error.hpp>
#include <vlm/shape/millimetres.hpp>

namespace vlm {
namespace {

using std::numbers::pi;

enum class Side { top, bottom, starboard, port };

Side side_of(const Skin& skin, const RootEdge& root) {
  double y = 0;
  for (const Vec3& p : root.points)
    y = std::abs(p.y) > std::abs(y) ? p.y : y;
  const Vec3& last = root.points.back();
  if (y == 0)
    return last.z > skin.centre(last.x) ? Side::top : Side::bottom;
  return y > 0 ? Side::starboard : Side::port;
}

// The angle φ, in [−π/2, π/2], of the meridian through the roots on one side: through each over its chord,
// held ahead of the first and behind the last, turning smoothly from one to the next.
class SideMeridian {
public:
  SideMeridian(const Skin& skin, const std::vector<RootEdge>& roots, Side side) : skin_(skin) {
    for (const RootEdge& root : roots)
      if (side_of(skin, root) == side)
        roots_.push_back(&root);
    std::sort(roots_.begin(), roots_.end(),
              [](const RootEdge* a, const RootEdge* b) { return a->points.front().x < b->points.front().x; });
    for (std::size_t i = 0; i + 1 < roots_.size(); ++i)
      if (roots_[i + 1]->points.front().x <= roots_[i]->points.back().x)
        throw Error("two surfaces meet the fuselage on one side over the same length, from x = " +
                    millimetres(roots_[i + 1]->points.front().x) + " mm: put one root behind the other");
  }

  double angle(double x) const {
    const RootEdge* ahead = nullptr;
    for (const RootEdge* root : roots_) {
      const double from = root->points.front().x, to = root->points.back().x;
      if (x < from) {
        if (ahead == nullptr)
          return on_root(*root, from);
        const double start = ahead->points.back().x, u = (x - start) / (from - start);
        return on_root(*ahead, start) + u * u * (3 - 2 * u) * (on_root(*root, from) - on_root(*ahead, start));
      }
      if (x <= to)
        return on_root(*root, x);
      ahead = root;
    }
    return ahead == nullptr ? 0 : on_root(*ahead, ahead->points.back().x);
  }

private:
  double on_root(const RootEdge& root, double x) const {
    const double on_body = std::clamp(x, skin_.nose() + margin(), skin_.tail() - margin());
    const std::vector<Vec3>& p = root.points;
    std::size_t i = 0;
    while (i + 2 < p.size() && p[i + 1].x < x)
      ++i;
    const double u = std::clamp((x - p[i].x) / (p[i + 1].x - p[i].x), 0.0, 1.0);
    const double z = p[i].z + u * (p[i + 1].z - p[i].z), centre = skin_.centre(on_body),
                 most = highest_root * skin_.half_height(on_body);
    return skin_.angle_at(on_body, std::clamp(z, centre - most, centre + most));
  }
  double margin() const { return 1e-6 * (skin_.tail() - skin_.nose()); }

  const Skin& skin_;
  std::vector<const RootEdge*> roots_;
};

// Angles of all meridians at x: from the bottom by port, top and starboard to the bottom again, so that bound
// segments run to starboard over the top and lift outward. Even steps from one quarter's meridian to the
// next.
class Meridians {
public:
  Meridians(const Skin& skin, const std::vector<RootEdge>& roots, int around)
      : starboard_(skin, roots, Side::starboard), port_(skin, roots, Side::port), quarter_(around / 4) {}

  std::vector<double> at(double x) const {
    const std::array<double, 5> main{1.5 * pi, pi - port_.angle(x), 0.5 * pi, starboard_.angle(x), -0.5 * pi};
    std::vector<double> angles;
    for (std::size_t q = 0; q < 4; ++q)
      for (int i = 0; i < quarter_; ++i)
        angles.push_back(main[q] + (main[q + 1] - main[q]) * i / quarter_);
    angles.push_back(main[4]);
    return angles;
  }

private:
  SideMeridian starboard_, port_;
  int quarter_;
};

// The middle plane's meridians stay in it.
Vec3 skin_point(const Skin& skin, double x, double phi, bool in_middle_plane) {
  Vec3 p = skin.point(x, phi > pi ? phi - 2 * pi : phi);
  if (in_middle_plane)
    p.y = 0;
  return p;
}

} // namespace

void add_shell(Lattice& lattice, const Skin& skin, const BodyCounts& counts,
               const std::vector<RootEdge>& roots) {
  const double nose = skin.nose(), length = skin.tail() - nose;
  const auto along = [&](double theta) { return nose + 0.5 * length * (1 - std::cos(theta)); };
  const Meridians meridians(skin, roots, counts.around);
  const auto n = static_cast<std::size_t>(counts.rings), m = static_cast<std::size_t>(counts.around);
  const Vec3 tail{skin.tail(), 0, skin.centre(skin.tail())};

  Row row;
  row.shell = true;
  row.run = lattice.rows.size();
  row.first_strip = lattice.strips.size();
  row.num_strips = m;
  row.first_panel = lattice.num_panels();
  row.panels_per_strip = n;
  row.first_node = lattice.node_x.size();

  std::vector<std::vector<Vec3>> ring;
  for (int k = 1; k <= counts.rings; ++k) {
    const double x = along((2 * k - 1) * pi / (2 * counts.rings));
    const std::vector<double> phi = meridians.at(x);
    ring.emplace_back();
    for (std::size_t e = 0; e <= m; ++e)
      ring.back().push_back(skin_point(skin, x, phi[e], e % (m / 2) == 0));
  }
  for (std::size_t e = 0; e <= m; ++e)
    for (std::size_t k = 0; k <= n; ++k) {
      const Vec3 p = k < n ? ring[k][e] : tail;
      lattice.node_x.push_back(p.x);
      lattice.node_y.push_back(p.y);
      lattice.node_z.push_back(p.z);
    }
  // Control points between the rings; the last would be the tail point itself, where the skin has no normal,
  // and is taken a quarter of a step ahead of it.
  std::vector<double> control_x;
  std::vector<std::vector<double>> control_phi;
  for (int k = 1; k <= counts.rings; ++k) {
    control_x.push_back(along(k < counts.rings ? k * pi / counts.rings : pi - pi / (4 * counts.rings)));
    control_phi.push_back(meridians.at(control_x.back()));
  }
  for (std::size_t j = 0; j < m; ++j)
    for (std::size_t k = 0; k < n; ++k) {
      double middle = 0.5 * (control_phi[k][j] + control_phi[k][j + 1]);
      middle = middle > pi ? middle - 2 * pi : middle;
      lattice.control.push_back(skin.point(control_x[k], middle));
      lattice.normal.push_back(skin.normal(control_x[k], middle));
      lattice.slope.push_back(0);
      lattice.force_point.push_back(0.5 * (ring[k][j] + ring[k][j + 1]));
    }
  lattice.rows.push_back(std::move(row));

  for (int k = 0; k < counts.rings; ++k) {
    const double from = along(k * pi / counts.rings), to = along((k + 1) * pi / counts.rings);
    lattice.sources.push_back({{from, 0, skin.centre(from)},
                               {to, 0, skin.centre(to)},
                               (k + 1 == counts.rings ? 0 : skin.area(to)) - (k == 0 ? 0 : skin.area(from))});
  }
}

std::vector<Vec3> path_to_tail(const Lattice& lattice, const Skin& skin, const Row& shell,
                               const RootEdge& root) {
  const std::size_t quarter = shell.num_strips / 4;
  const Side side = side_of(skin, root);
  const std::size_t edge = side == Side::bottom ? 0
                           : side == Side::port ? quarter
                           : side == Side::top  ? 2 * quarter
                                                : 3 * quarter;
  std::vector<Vec3> path;
  for (std::size_t k = 0; k < shell.nodes_per_edge(); ++k) {
    const Vec3 p = lattice.node(shell, edge, k);
    if (p.x > root.points.back().x + 1e-6 * (skin.tail() - skin.nose()))
      path.push_back(p);
  }
  return path;
}

} // namespace vlm
