#include <vlm/flow/still_part.hpp>

#include <algorithm>

#include <vlm/flow/eigen_index.hpp>
#include <vlm/flow/still_state.hpp>
#include <vlm/flow/symmetry.hpp>

namespace vlm {
namespace {

using Eigen::Index;

constexpr double exact = 1e-12;  // of the greatest circulation
constexpr Index most_seen = 256; // columns, so that memory stays bounded

bool same_row(const Lattice& a, const Lattice& b, std::size_t r) {
  const Row &p = a.rows[r], &q = b.rows[r];
  if (p.run != q.run || p.ends != q.ends || p.skin_path != q.skin_path || p.inner_point != q.inner_point ||
      p.skin_point != q.skin_point || p.sheet_point != q.sheet_point || p.sheet_arc != q.sheet_arc ||
      p.sheet_slope != q.sheet_slope)
    return false;
  const auto same = [](const auto& u, const auto& v, std::size_t first, std::size_t count) {
    const auto at = static_cast<std::ptrdiff_t>(first), end = static_cast<std::ptrdiff_t>(first + count);
    return std::equal(u.begin() + at, u.begin() + end, v.begin() + at);
  };
  const std::size_t nodes = (p.num_strips + 1) * p.nodes_per_edge(), panels = p.num_panels();
  return same(a.node_x, b.node_x, p.first_node, nodes) && same(a.node_y, b.node_y, p.first_node, nodes) &&
         same(a.node_z, b.node_z, p.first_node, nodes) && same(a.control, b.control, p.first_panel, panels) &&
         same(a.normal, b.normal, p.first_panel, panels) &&
         same(a.force_point, b.force_point, p.first_panel, panels);
}

// Whether panels and nodes have the same places in both, whatever those are.
bool same_layout(const Lattice& a, const Lattice& b) {
  if (a.rows.size() != b.rows.size() || a.spacing != b.spacing ||
      a.mirror.has_value() != b.mirror.has_value())
    return false;
  if (a.mirror && (a.mirror->point != b.mirror->point || a.mirror->normal != b.mirror->normal ||
                   a.mirror->sign != b.mirror->sign))
    return false;
  for (std::size_t r = 0; r < a.rows.size(); ++r) {
    const Row &p = a.rows[r], &q = b.rows[r];
    if (p.num_strips != q.num_strips || p.panels_per_strip != q.panels_per_strip || p.shell != q.shell ||
        p.first_panel != q.first_panel || p.first_node != q.first_node)
      return false;
  }
  return true;
}

// Some of the points, places among all that mirror each other as `mirrored` says, and circulations seen in
// the mirror; nothing without an image.
std::optional<MirroredPoints> half_of(const MirrorImage* image, const std::vector<std::size_t>& some,
                                      const std::vector<std::size_t>& mirrored, const Matrix& circulation) {
  if (image == nullptr)
    return std::nullopt;
  std::vector<std::size_t> place(mirrored.size(), some.size());
  for (std::size_t i = 0; i < some.size(); ++i)
    place[some[i]] = i;
  MirroredPoints half{{}, mirrored_circulation(*image, circulation)};
  for (std::size_t i = 0; i < some.size(); ++i)
    half.point.push_back(place[mirrored[some[i]]] < some.size() ? place[mirrored[some[i]]] : i);
  return half;
}

} // namespace

SomeRows some_rows(const Influence& influence, const std::vector<char>& left_out) {
  const Lattice& all = influence.lattice();
  Lattice some;
  some.spacing = all.spacing, some.displaced = all.displaced, some.mirror = all.mirror;
  std::vector<std::size_t> panels;
  for (std::size_t r = 0; r < all.rows.size(); ++r) {
    if (left_out[r])
      continue;
    const Row& row = all.rows[r];
    Row& own = some.rows.emplace_back(row);
    own.first_strip = some.strips.size(), own.first_panel = panels.size(),
    own.first_node = some.node_x.size();
    for (std::size_t j = 0; j < row.num_strips && !row.shell; ++j)
      some.strips.push_back(all.strips[row.first_strip + j]);
    for (std::size_t i = 0; i < (row.num_strips + 1) * row.nodes_per_edge(); ++i) {
      some.node_x.push_back(all.node_x[row.first_node + i]);
      some.node_y.push_back(all.node_y[row.first_node + i]);
      some.node_z.push_back(all.node_z[row.first_node + i]);
    }
    for (std::size_t p = row.first_panel; p < row.first_panel + row.num_panels(); ++p) {
      panels.push_back(p);
      some.control.push_back(all.control[p]);
    }
  }
  return {Influence(some, influence.wake_direction()), std::move(panels)};
}

StillPart::StillPart(const Lattice& lattice, const Lattice& other, const Vec3& wake_direction)
    : state_(std::make_unique<State>()) {
  State& s = *state_;
  s.lattice = lattice;
  s.direction = wake_direction;
  const bool alike = same_layout(lattice, other);
  s.shell = lattice.has_shell();
  for (std::size_t r = 0; r < lattice.rows.size(); ++r) {
    const bool still = alike && same_row(lattice, other, r);
    s.still.push_back(still), s.moved.push_back(!still);
    for (std::size_t p = 0; still && p < lattice.rows[r].num_panels(); ++p)
      s.panels.push_back(lattice.rows[r].first_panel + p);
  }
  if (2 * s.panels.size() < lattice.num_panels()) { // of fewer a fresh solve costs no more
    s.panels.clear();
    std::fill(s.still.begin(), s.still.end(), 0);
    std::fill(s.moved.begin(), s.moved.end(), 1);
  }
}

StillPart::~StillPart() = default;
StillPart::StillPart(StillPart&&) noexcept = default;
StillPart& StillPart::operator=(StillPart&&) noexcept = default;

bool StillPart::any() const {
  return !state_->panels.empty();
}

const std::vector<char>& StillPart::still_rows() const {
  return state_->still;
}

bool StillPart::fits(const Lattice& lattice, const Vec3& wake_direction) const {
  const State& s = *state_;
  if (!any() || wake_direction != s.direction || !same_layout(s.lattice, lattice))
    return false;
  for (std::size_t r = 0; r < s.still.size(); ++r)
    if (s.still[r] && !same_row(s.lattice, lattice, r))
      return false;
  // In a flow that mirrors itself the images of still rows must be still too.
  if (const auto image = mirror_image(lattice, wake_direction)) {
    std::vector<char> still(lattice.num_panels());
    for (const std::size_t p : s.panels)
      still[p] = 1;
    for (const std::size_t p : s.panels)
      if (!still[image->panel[p]])
        return false;
  }
  return true;
}

Eigen::MatrixXd StillPart::State::new_directions(const Eigen::MatrixXd& circulation) const {
  const double least = exact * circulation.cwiseAbs().maxCoeff();
  Eigen::MatrixXd more(circulation.rows(), 0);
  for (Index c = 0; c < circulation.cols(); ++c) {
    Eigen::VectorXd rest = circulation.col(c);
    for (int twice = 0; twice < 2; ++twice) { // as rounding wants
      rest -= seen * (seen.transpose() * rest);
      rest -= more * (more.transpose() * rest);
    }
    if (rest.cwiseAbs().maxCoeff() > least) {
      more.conservativeResize(Eigen::NoChange, more.cols() + 1);
      more.rightCols(1) = rest.normalized();
    }
  }
  return more;
}

void StillPart::State::keep(const Eigen::MatrixXd& directions, const Velocities& at_still_points) {
  const Velocities& v = at_still_points;
  const auto count = static_cast<Index>(v.x.rows);
  const Index before = seen.cols();
  seen.conservativeResize(Eigen::NoChange, before + directions.cols());
  seen.rightCols(directions.cols()) = directions;
  given.conservativeResize(Eigen::NoChange, before + directions.cols());
  for (Index c = 0; c < directions.cols(); ++c)
    for (Index i = 0; i < count; ++i) {
      const auto p = static_cast<std::size_t>(i), q = static_cast<std::size_t>(c);
      given(i, before + c) = v.x(p, q);
      given(count + i, before + c) = v.y(p, q);
      given(2 * count + i, before + c) = v.z(p, q);
    }
}

Velocities StillPart::velocities(const Influence& influence, std::span<const SurfacePoint> points,
                                 const Matrix& circulation, ThreadPool& pool, const MirrorImage* image,
                                 const std::vector<std::size_t>& mirrored) {
  State& s = *state_;
  const std::size_t panels = circulation.rows, columns = circulation.cols;
  std::vector<std::size_t> still_points, moved_points;
  for (std::size_t i = 0; i < points.size(); ++i)
    (points[i].row && s.still[*points[i].row] ? still_points : moved_points).push_back(i);
  const auto n = static_cast<Index>(s.panels.size()), count = static_cast<Index>(still_points.size()),
             k = static_cast<Index>(columns);
  Eigen::MatrixXd of_still(n, k);
  for (Index c = 0; c < k; ++c)
    for (Index i = 0; i < n; ++i)
      of_still(i, c) = circulation(s.panels[as_size(i)], as_size(c));

  if (s.given.rows() != 3 * count || s.seen.cols() > most_seen)
    s.seen.resize(n, 0), s.given.resize(3 * count, 0);
  if (const Eigen::MatrixXd more = s.new_directions(of_still); more.cols() > 0) {
    Matrix gamma(panels, as_size(more.cols()));
    for (Index c = 0; c < more.cols(); ++c)
      for (Index i = 0; i < n; ++i)
        gamma(s.panels[as_size(i)], as_size(c)) = more(i, c);
    std::vector<SurfacePoint> at;
    for (const std::size_t i : still_points)
      at.push_back(points[i]);
    const auto half = half_of(image, still_points, mirrored, gamma);
    s.keep(more, induced_velocities(influence, at, gamma, pool, true, &s.moved, half ? &*half : nullptr));
  }

  // Moved rows at all points, still rows at points of moved ones.
  Velocities result{{points.size(), columns}, {points.size(), columns}, {points.size(), columns}};
  std::vector<SurfacePoint> moved_at;
  for (const std::size_t i : moved_points)
    moved_at.push_back(points[i]);
  std::vector<SurfacePoint> still_at; // none of which is on a shell, which bears no loads here
  for (const std::size_t i : still_points)
    still_at.push_back({points[i].point, std::nullopt});
  const SomeRows moved = some_rows(influence, s.still);
  const auto of_moved_rows = [&](const Matrix& all) {
    Matrix some(moved.panels.size(), columns);
    for (std::size_t c = 0; c < columns; ++c)
      for (std::size_t p = 0; p < moved.panels.size(); ++p)
        some(p, c) = all(moved.panels[p], c);
    return some;
  };
  auto all_half = half_of(image, moved_points, mirrored, circulation),
       moved_half = half_of(image, still_points, mirrored, circulation);
  if (moved_half)
    moved_half->circulation = of_moved_rows(moved_half->circulation);
  const Velocities by_all = induced_velocities(influence, moved_at, circulation, pool, true, nullptr,
                                               all_half ? &*all_half : nullptr),
                   by_moved = induced_velocities(moved.influence, still_at, of_moved_rows(circulation), pool,
                                                 true, nullptr, moved_half ? &*moved_half : nullptr);
  const Eigen::MatrixXd kept = s.given * (s.seen.transpose() * of_still);
  for (std::size_t c = 0; c < columns; ++c) {
    for (std::size_t i = 0; i < moved_points.size(); ++i) {
      const std::size_t p = moved_points[i];
      result.x(p, c) = by_all.x(i, c), result.y(p, c) = by_all.y(i, c), result.z(p, c) = by_all.z(i, c);
    }
    for (std::size_t i = 0; i < still_points.size(); ++i) {
      const std::size_t p = still_points[i];
      const auto at = static_cast<Index>(i), col = static_cast<Index>(c);
      result.x(p, c) = by_moved.x(i, c) + kept(at, col);
      result.y(p, c) = by_moved.y(i, c) + kept(count + at, col);
      result.z(p, c) = by_moved.z(i, c) + kept(2 * count + at, col);
    }
  }
  return result;
}

} // namespace vlm
