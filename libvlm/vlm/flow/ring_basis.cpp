#include <vlm/flow/ring_basis.hpp>

#include <algorithm>
#include <cmath>
#include <limits>

#include <vlm/flow/flow_kernel.hpp>

namespace vlm {
namespace {

using Eigen::Index;

constexpr std::size_t smallest_cluster = 64; // rings; halves of more are worth a block of their own
constexpr std::size_t smallest_wake_cluster = 8;

} // namespace

RingBasis::RingBasis(const Influence& influence, const MirrorImage* mirror, const PartOfLattice& part)
    : influence_(influence.state()), mirror_(mirror), parity_(part.parity),
      row_of_(lattice().row_of_panels()) {
  const Vec3 aft = influence.wake_direction();
  const Eigen::Vector3d along(aft.x, aft.y, aft.z), across = along.unitOrthogonal();
  frame_.row(0) = across;
  frame_.row(1) = along.cross(across);
  frame_.row(2) = along;
  for (const Row& row : lattice().rows) {
    Nodes nodes;
    for (std::size_t k = 0; k < row.nodes_per_edge(); ++k)
      for (std::size_t e = 0; e <= row.num_strips; ++e) {
        const Vec3 p = lattice().node(row, e, k);
        nodes.x.push_back(p.x), nodes.y.push_back(p.y), nodes.z.push_back(p.z);
      }
    for (std::vector<double>* v : {&nodes.x, &nodes.y, &nodes.z})
      v->resize(v->size() + line_lanes);
    nodes_.push_back(std::move(nodes));
    at_.emplace_back(row.num_panels(), Index{-1});
  }
  auto panel = part.panel.begin();
  for (std::size_t r = 0; r < lattice().rows.size(); ++r) {
    const Row& row = lattice().rows[r];
    const auto first = panel;
    panel = std::lower_bound(panel, part.panel.end(), row.first_panel + row.num_panels());
    if (first == panel)
      continue;
    const std::size_t first_strip = (*first - row.first_panel) / row.panels_per_strip;
    const std::size_t strips = static_cast<std::size_t>(panel - first) / row.panels_per_strip;
    roots_.push_back(add_cluster({r, first_strip, first_strip + strips, 0, row.panels_per_strip}, part));
  }
  for (const int root : roots_) {
    const Cells& cells = clusters_[static_cast<std::size_t>(root)].cells;
    if (!lattice().rows[cells.row].shell) // whose legs cancel in the tail
      wake_roots_.push_back(add_wakes(cells.row, cells.first_strip, cells.last_strip));
  }
  for (const bool image : {false, true})
    for (const bool across_middle : {false, true})
      if ((!image || lattice().mirror) && (!across_middle || parity_ != 0))
        add_look(across_middle, image, parity_);
}

bool RingBasis::sees_lines(const RingCluster& target, const WakeCluster& source) const {
  return std::all_of(looks_.begin(), looks_.end(), [&](const Look& look) {
    return influence_.sees_lines(look.row[as_size(target.first)], source.row);
  });
}

double RingBasis::bytes() const {
  const std::size_t of_ring = sizeof(Index) + sizeof(std::size_t) + sizeof(Place) + sizeof(double) +
                              looks_.size() * (6 * sizeof(double) + sizeof(std::size_t)),
                    of_cluster = sizeof(RingCluster) + looks_.size() * sizeof(Eigen::AlignedBox3d);
  double sum = static_cast<double>(of_ring * order_.size() + of_cluster * clusters_.size());
  for (const Row& row : lattice().rows)
    sum += static_cast<double>(sizeof(Index) * row.num_panels() + sizeof(Vec3) * row.num_panels());
  return sum;
}

Eigen::Vector3d RingBasis::in_wake_frame(const Vec3& p) const {
  return frame_ * Eigen::Vector3d(p.x, p.y, p.z);
}

int RingBasis::add_cluster(const Cells& cells, const PartOfLattice& part) {
  const std::size_t index = clusters_.size();
  clusters_.emplace_back();
  const Row& row = lattice().rows[cells.row];
  RingCluster cluster;
  cluster.cells = cells;
  cluster.first = static_cast<Index>(order_.size());
  cluster.count = static_cast<Index>(cells.size());
  for (std::size_t e = cells.first_strip; e <= cells.last_strip; ++e)
    for (std::size_t k = cells.first_place; k <= cells.last_place; ++k)
      cluster.source.extend(in_wake_frame(lattice().node(row, e, k)));
  if (cells.size() <= smallest_cluster) {
    for (std::size_t k = cells.first_place; k < cells.last_place; ++k)
      for (std::size_t j = cells.first_strip; j < cells.last_strip; ++j) {
        const std::size_t place = j * row.panels_per_strip + k, panel = row.first_panel + place;
        at_[cells.row][place] = static_cast<Index>(order_.size());
        order_.push_back(std::lower_bound(part.panel.begin(), part.panel.end(), panel) - part.panel.begin());
        panel_.push_back(panel);
        place_.push_back({cells.row, j, k});
        weight_.push_back(parity_ != 0 && mirror_->panel[panel] == panel ? 0.5 : 1);
      }
  } else {
    const std::size_t strip = (cells.first_strip + cells.last_strip) / 2,
                      place = (cells.first_place + cells.last_place) / 2;
    const double span = norm(lattice().node(row, cells.last_strip, place) -
                             lattice().node(row, cells.first_strip, place)),
                 chord = norm(lattice().node(row, strip, cells.last_place) -
                              lattice().node(row, strip, cells.first_place));
    Cells fore = cells, aft = cells;
    if (cells.places() == 1 || (cells.strips() > 1 && span > chord))
      fore.last_strip = aft.first_strip = strip;
    else
      fore.last_place = aft.first_place = place;
    cluster.child[0] = add_cluster(fore, part);
    cluster.child[1] = add_cluster(aft, part);
  }
  clusters_[index] = cluster;
  return static_cast<int>(index);
}

int RingBasis::add_wakes(std::size_t r, std::size_t first_strip, std::size_t last_strip) {
  const std::size_t index = wakes_.size();
  wakes_.emplace_back();
  const Row& row = lattice().rows[r];
  WakeCluster cluster;
  cluster.row = r, cluster.first_strip = first_strip, cluster.last_strip = last_strip;
  cluster.first = static_cast<Index>(last_ring_.size());
  cluster.count = static_cast<Index>(last_strip - first_strip);
  for (std::size_t e = first_strip; e <= last_strip; ++e)
    cluster.source.extend(in_wake_frame(lattice().node(row, e, row.panels_per_strip)));
  for (const std::size_t end : {0, 1}) // whose leg follows the skin first
    if (end == 0 ? first_strip == 0 : last_strip == row.num_strips)
      for (const Vec3& p : row.skin_path[end])
        cluster.source.extend(in_wake_frame(p));
  cluster.width = cluster.source.diagonal().head<2>().norm();
  cluster.source.max().z() = std::numeric_limits<double>::max();
  if (last_strip - first_strip <= smallest_wake_cluster) {
    for (std::size_t j = first_strip; j < last_strip; ++j)
      last_ring_.push_back(at(r, j, row.panels_per_strip - 1));
  } else {
    const std::size_t middle = (first_strip + last_strip) / 2;
    cluster.child[0] = add_wakes(r, first_strip, middle);
    cluster.child[1] = add_wakes(r, middle, last_strip);
  }
  wakes_[index] = cluster;
  return static_cast<int>(index);
}

void RingBasis::add_look(bool across, bool image, double parity) {
  Look look;
  for (const std::size_t panel : panel_) {
    Vec3 at = lattice().control[panel], along = lattice().normal[panel];
    if (across)
      at.y = -at.y, along = parity * Vec3{along.x, -along.y, along.z};
    if (image)
      at = lattice().mirror->image(at),
      along = lattice().mirror->sign * lattice().mirror->image_direction(along);
    look.row.push_back(row_of_[across ? mirror_->panel[panel] : panel]);
    look.x.push_back(at.x), look.y.push_back(at.y), look.z.push_back(at.z);
    look.along_x.push_back(along.x), look.along_y.push_back(along.y), look.along_z.push_back(along.z);
  }
  for (RingCluster& c : clusters_) {
    Eigen::AlignedBox3d box;
    for (Index i = c.first; i < c.first + c.count; ++i)
      box.extend(in_wake_frame(look.point(as_size(i))));
    c.targets.push_back(box);
  }
  for (std::vector<double>* v : {&look.x, &look.y, &look.z, &look.along_x, &look.along_y, &look.along_z})
    v->resize(v->size() + line_lanes);
  looks_.push_back(std::move(look));
}

void RingBasis::ring_cells(Index target, const Cells& cells, double* entries) const {
  thread_local std::vector<double> scratch;
  const std::size_t edges = cells.strips() + 1, pitch = lattice().rows[cells.row].num_strips + 1;
  scratch.resize(std::max(scratch.size(), ring_scratch(edges)));
  std::fill_n(entries, cells.size(), 0.0);
  const std::size_t first = cells.first_place * pitch + cells.first_strip;
  const Nodes& nodes = nodes_[cells.row];
  const LineGrid grid{nodes.x.data() + first,
                      nodes.y.data() + first,
                      nodes.z.data() + first,
                      edges,
                      cells.places(),
                      pitch,
                      0,
                      false};
  const bool open = cells.last_place == lattice().rows[cells.row].panels_per_strip;
  for (const Look& look : looks_) {
    const std::size_t i = as_size(target);
    const double point[] = {look.x[i], look.y[i], look.z[i]},
                 along[] = {look.along_x[i], look.along_y[i], look.along_z[i]};
    flow_kernel().ring_row(grid, point, along, open, entries, scratch.data());
  }
}

void RingBasis::wake_cells(Index target, const Cells& cells, double* entries) const {
  std::fill_n(entries, cells.strips(), 0.0);
  const Row& row = lattice().rows[cells.row];
  for (const Look& look : looks_) {
    const Vec3 point = look.point(as_size(target)), along = look.along(as_size(target));
    if (influence_.sees_lines(look.row[as_size(target)], cells.row)) {
      double before = dot(influence_.trailing_leg(point, row, cells.first_strip), along);
      for (std::size_t j = cells.first_strip; j < cells.last_strip; ++j) {
        const double leg = dot(influence_.trailing_leg(point, row, j + 1), along);
        entries[j - cells.first_strip] += leg - before;
        before = leg;
      }
      continue;
    }
    thread_local std::vector<double> wash;
    wash.resize(row.num_strips);
    influence_.trailing_wash_row({point, along}, look.row[as_size(target)], cells.row, wash);
    for (std::size_t j = cells.first_strip; j < cells.last_strip; ++j)
      entries[j - cells.first_strip] += wash[j];
  }
}

void RingBasis::ring_row(Index target, const RingCluster& source, double* entries) const {
  if (sees_finely(target, source)) {
    thread_local std::vector<double> wash;
    const std::size_t panel = panel_[as_size(target)], row = source.cells.row;
    wash.resize(influence_.row_size);
    influence_.row_wash({lattice().control[panel], lattice().normal[panel]}, row_of_[panel], row,
                        &wash[influence_.place_in_row[lattice().rows[row].first_panel]]);
    rings_of(wash, source.first, source.count, entries);
    return;
  }
  thread_local std::vector<double> cells;
  cells.resize(std::max(cells.size(), source.cells.size()));
  ring_cells(target, source.cells, cells.data());
  for (Index q = 0; q < source.count; ++q) {
    const std::size_t i = as_size(source.first + q);
    entries[q] = weight_[i] * cells[(place_[i].place - source.cells.first_place) * source.cells.strips() +
                                    place_[i].strip - source.cells.first_strip];
  }
}

void RingBasis::wake_row(Index target, const WakeCluster& source, double* entries) const {
  wake_cells(target, {source.row, source.first_strip, source.last_strip, 0, 0}, entries);
  for (Index q = 0; q < source.count; ++q)
    entries[q] *= weight_[as_size(last_ring_[as_size(source.first + q)])];
}

void RingBasis::ring_column(const RingCluster& target, Index source, double* entries) const {
  const Place& at = place_[as_size(source)];
  const Row& row = lattice().rows[at.row];
  double corner[4][3];
  const Vec3 corners[] = {
      lattice().node(row, at.strip, at.place), lattice().node(row, at.strip + 1, at.place),
      lattice().node(row, at.strip + 1, at.place + 1), lattice().node(row, at.strip, at.place + 1)};
  for (std::size_t n = 0; n < 4; ++n)
    corner[n][0] = corners[n].x, corner[n][1] = corners[n].y, corner[n][2] = corners[n].z;
  std::fill_n(entries, target.count, 0.0);
  for (const Look& l : looks_) {
    const Index f = target.first;
    const RingPoints points{l.x.data() + f,       l.y.data() + f,       l.z.data() + f,
                            l.along_x.data() + f, l.along_y.data() + f, l.along_z.data() + f};
    flow_kernel().ring_column(corner, at.place + 1 == row.panels_per_strip, points, as_size(target.count),
                              entries);
  }
  for (Index n = 0; n < target.count; ++n)
    entries[n] *= weight_[as_size(source)];
}

void RingBasis::wake_column(const RingCluster& target, const WakeCluster& wakes, Index source,
                            double* entries) const {
  const std::size_t j = wakes.first_strip + as_size(source);
  const Row& row = lattice().rows[wakes.row];
  const double weight = weight_[as_size(last_ring_[as_size(wakes.first + source)])];
  for (Index n = 0; n < target.count; ++n) {
    entries[n] = 0;
    for (const Look& look : looks_) {
      const Vec3 point = look.point(as_size(target.first + n));
      entries[n] +=
          weight * dot(influence_.trailing_leg(point, row, j + 1) - influence_.trailing_leg(point, row, j),
                       look.along(as_size(target.first + n)));
    }
  }
}

void RingBasis::whole_row(Index target, double* entries) const {
  thread_local std::vector<double> wash;
  const std::size_t panel = panel_[as_size(target)];
  wash.resize(influence_.row_size);
  influence_.wash_row({lattice().control[panel], lattice().normal[panel]}, row_of_[panel], wash);
  rings_of(wash, 0, size(), entries);
}

void RingBasis::rings_of(const std::vector<double>& wash, Index first, Index count, double* entries) const {
  const std::vector<std::size_t>& in_row = influence_.place_in_row;
  const auto horseshoe = [&](std::size_t j) {
    const std::size_t image = parity_ == 0 ? j : mirror_->panel[j];
    return wash[in_row[j]] + (image == j ? 0 : parity_ * mirror_->sign[j] * wash[in_row[image]]);
  };
  // A ring is what its panel's horseshoe is more than the next behind it.
  for (Index q = 0; q < count; ++q) {
    const Place& at = place_[as_size(first + q)];
    const std::size_t j = panel_[as_size(first + q)];
    entries[q] =
        horseshoe(j) - (at.place + 1 < lattice().rows[at.row].panels_per_strip ? horseshoe(j + 1) : 0);
  }
}

void RingBasis::cells_row(Index target, const Cells& source, double* entries) const {
  ring_cells(target, source, entries);
  if (source.last_place == lattice().rows[source.row].panels_per_strip) {
    thread_local std::vector<double> wakes;
    wakes.resize(source.strips());
    wake_cells(target, source, wakes.data());
    double* last = entries + (source.places() - 1) * source.strips();
    for (std::size_t j = 0; j < source.strips(); ++j)
      last[j] += wakes[j];
  }
  for (std::size_t k = 0; k < source.places(); ++k)
    for (std::size_t j = 0; j < source.strips(); ++j)
      entries[k * source.strips() + j] *=
          weight_[as_size(at(source.row, source.first_strip + j, source.first_place + k))];
}

Eigen::MatrixXd RingBasis::carried_by_wakes(const Eigen::MatrixXd& rings) const {
  Eigen::MatrixXd result(num_wakes(), rings.cols());
  for (Index j = 0; j < num_wakes(); ++j)
    result.row(j) = rings.row(last_ring_[as_size(j)]);
  return result;
}

Eigen::MatrixXd RingBasis::in_order(const Eigen::MatrixXd& rows) const {
  Eigen::MatrixXd result(rows.rows(), rows.cols());
  for (Index i = 0; i < size(); ++i)
    result.row(i) = rows.row(order_[as_size(i)]);
  return result;
}

Eigen::MatrixXd RingBasis::circulation(const Eigen::MatrixXd& rings) const {
  Eigen::MatrixXd result(rings.rows(), rings.cols());
  for (Index i = 0; i < size(); ++i) {
    const Place& p = place_[as_size(i)];
    auto row = result.row(order_[as_size(i)]);
    row = rings.row(i);
    if (p.place > 0)
      row -= rings.row(at(p.row, p.strip, p.place - 1));
  }
  return result;
}

} // namespace vlm
