#include <vlm/flow/preconditioner.hpp>

#include <algorithm>
#include <cmath>

#include <Eigen/Geometry>

#include <vlm/flow/eigen_index.hpp>

namespace vlm {
namespace {

using Eigen::Index;

// Rings in a group, and the share of its strips and places that it reaches over each of its sides by.
constexpr Index group_size = 64;
constexpr double group_overlap = 0.125;

// Distance of a group's control points from the rings of another surface's group, over the size of that,
// below which the coarse lattice leaves it out. Measured with two wings above each other: from 0.1 of their
// chord on the coarse lattice takes no more steps than none, at 0.05 half as many more, at 0.01 three times
// as many.
constexpr double close = 0.1;

} // namespace

Preconditioner::Preconditioner(const RingBasis& basis) : basis_(basis) {
  std::vector<int> open = basis.roots();
  while (!open.empty()) {
    const RingCluster& c = basis.clusters()[as_size(open.back())];
    open.pop_back();
    if (c.count > group_size && c.child[0] >= 0 && !basis.wants_whole_rows(c))
      open.insert(open.end(), c.child.begin(), c.child.end());
    else
      groups_.push_back({&c, -1});
  }
  for (Group& g : groups_)
    if (!basis.wants_whole_rows(*g.core) && !is_close_to_other_surface(*g.core))
      g.coarse = num_coarse_++;
  coarse_of_ring_.resize(as_size(basis.size()));
  for (const Group& g : groups_)
    std::fill_n(coarse_of_ring_.begin() + g.core->first, g.core->count, g.coarse);
  for (const Index ring : basis.last_rings())
    coarse_of_wake_.push_back(coarse_of_ring_[as_size(ring)]);
}

bool Preconditioner::is_close_to_other_surface(const RingCluster& c) const {
  return std::any_of(groups_.begin(), groups_.end(), [&](const Group& other) {
    const RingCluster& o = *other.core;
    return o.cells.row != c.cells.row && !basis_.wants_whole_rows(o) &&
           std::any_of(c.targets.begin(), c.targets.end(), [&](const Eigen::AlignedBox3d& box) {
             return box.exteriorDistance(o.source) < close * o.source.diagonal().norm();
           });
  });
}

double Preconditioner::estimated_bytes(std::span<const MatrixBlock> blocks) const {
  double bytes = static_cast<double>(sizeof(float) + sizeof(double)) * std::pow(num_coarse_, 2);
  for (const Group& g : groups_)
    bytes += sizeof(float) * std::pow(static_cast<double>(widened(g.core->cells).size()), 2);
  for (const MatrixBlock& b : blocks)
    if (!b.far)
      bytes += sizeof(float) * b.entries() / static_cast<double>(group_size);
  return bytes;
}

Preconditioner::RowsInBlock Preconditioner::rows_in(const Group& group, const MatrixBlock& b) {
  const Index first = std::max(group.core->first, b.first_row),
              last = std::min(group.core->first + group.core->count, b.first_row + b.rows);
  return {first - group.core->first, first - b.first_row, last - first};
}

void Preconditioner::make(std::span<const MatrixBlock> blocks, ThreadPool& pool) {
  pool.for_each(groups_.size(), [&](std::size_t i) { factorise_group(groups_[i]); });
  make_coarse(blocks, pool);
}

Cells Preconditioner::widened(Cells cells) const {
  const Row& row = basis_.lattice().rows[cells.row];
  const auto more = [](std::size_t n) {
    return static_cast<std::size_t>(std::ceil(group_overlap * static_cast<double>(n)));
  };
  const std::size_t places = more(cells.places());
  for (std::size_t n = more(cells.strips()); n > 0; --n) {
    if (cells.first_strip > 0 && basis_.at(cells.row, cells.first_strip - 1, 0) >= 0)
      --cells.first_strip;
    if (cells.last_strip < row.num_strips && basis_.at(cells.row, cells.last_strip, 0) >= 0)
      ++cells.last_strip;
  }
  cells.first_place -= std::min(places, cells.first_place);
  cells.last_place = std::min(row.panels_per_strip, cells.last_place + places);
  return cells;
}

void Preconditioner::factorise_group(Group& group) const {
  const Cells& core = group.core->cells;
  const Cells wide = widened(core);
  for (std::size_t k = wide.first_place; k < wide.last_place; ++k)
    for (std::size_t j = wide.first_strip; j < wide.last_strip; ++j) {
      if (k >= core.first_place && k < core.last_place && j >= core.first_strip && j < core.last_strip)
        group.own.push_back(static_cast<Index>(group.member.size()));
      group.member.push_back(basis_.at(core.row, j, k));
    }
  const auto size = static_cast<Index>(group.member.size());
  const bool whole_rows = basis_.wants_whole_rows(*group.core);
  Eigen::MatrixXf matrix(size, size);
  Eigen::VectorXd row(whole_rows ? basis_.size() : size);
  for (Index i = 0; i < size; ++i) {
    const Index target = group.member[as_size(i)];
    if (whole_rows) {
      basis_.whole_row(target, row.data());
      for (Index j = 0; j < size; ++j)
        matrix(i, j) = static_cast<float>(row[group.member[as_size(j)]]);
    } else {
      basis_.cells_row(target, wide, row.data());
      matrix.row(i) = row.cast<float>();
    }
  }
  group.factors = factorised(matrix);
}

template <class Columns>
Preconditioner::Sums Preconditioner::summed(const MatrixBlock& b, const Columns& columns) const {
  const std::vector<Index>& places = b.kind == MatrixBlock::Kind::wakes ? coarse_of_wake_ : coarse_of_ring_;
  Sums sums;
  std::vector<Index> into; // place in sums of each column
  for (Index j = 0; j < columns.cols(); ++j) {
    const Index place = places[as_size(b.first_column + j)];
    if (place >= 0 && (sums.place.empty() || sums.place.back() != place))
      sums.place.push_back(place);
    into.push_back(place < 0 ? -1 : static_cast<Index>(sums.place.size()) - 1);
  }
  sums.sum.setZero(columns.rows(), static_cast<Index>(sums.place.size()));
  for (Index j = 0; j < columns.cols(); ++j)
    if (into[as_size(j)] >= 0)
      sums.sum.col(into[as_size(j)]) += columns.col(j).template cast<double>();
  return sums;
}

std::vector<std::vector<std::size_t>>
Preconditioner::blocks_of_groups(std::span<const MatrixBlock> blocks) const {
  std::vector<std::size_t> group_of_ring(as_size(basis_.size()));
  for (std::size_t g = 0; g < groups_.size(); ++g)
    std::fill_n(group_of_ring.begin() + groups_[g].core->first, groups_[g].core->count, g);
  std::vector<std::vector<std::size_t>> found(groups_.size());
  for (std::size_t i = 0; i < blocks.size(); ++i)
    for (Index row = blocks[i].first_row; row < blocks[i].first_row + blocks[i].rows;) {
      const std::size_t g = group_of_ring[as_size(row)];
      found[g].push_back(i);
      row = groups_[g].core->first + groups_[g].core->count;
    }
  return found;
}

Eigen::MatrixXd Preconditioner::seen_near(Group& group, std::span<const MatrixBlock> blocks,
                                          const std::vector<std::size_t>& of_group) const {
  Eigen::MatrixXd near(group.core->count, 0);
  std::vector<Index> column_of(as_size(num_coarse_), -1);
  for (const std::size_t i : of_group) {
    if (!blocks[i].is_whole())
      continue;
    const RowsInBlock rows = rows_in(group, blocks[i]);
    const Sums sums = summed(blocks[i], blocks[i].whole.middleRows(rows.in_block, rows.count));
    for (std::size_t p = 0; p < sums.place.size(); ++p) {
      Index& column = column_of[as_size(sums.place[p])];
      if (column < 0) {
        column = near.cols();
        group.near.push_back(sums.place[p]);
        near.conservativeResize(Eigen::NoChange, column + 1);
        near.col(column).setZero();
      }
      near.col(column).segment(rows.in_group, rows.count) += sums.sum.col(static_cast<Index>(p));
    }
  }
  return near;
}

void Preconditioner::make_coarse(std::span<const MatrixBlock> blocks, ThreadPool& pool) {
  std::vector<Sums> right(blocks.size()), small_right(blocks.size()); // of blocks of low rank
  pool.for_each(blocks.size(), [&](std::size_t i) {
    if (blocks[i].is_whole())
      return;
    right[i] = summed(blocks[i], blocks[i].low_rank.right.transpose());
    small_right[i] = summed(blocks[i], blocks[i].low_rank.small_right.transpose());
  });
  const std::vector<std::vector<std::size_t>> of_groups = blocks_of_groups(blocks);
  far_.resize(num_coarse_, num_coarse_);
  factors_.values = AlignedMatrix<double>(num_coarse_, num_coarse_);
  pool.for_each(groups_.size(), [&](std::size_t g) {
    Group& group = groups_[g];
    const Eigen::MatrixXd near = seen_near(group, blocks, of_groups[g]);
    group.by_near = near.cast<float>();
    if (group.coarse < 0)
      return;
    Eigen::RowVectorXd mean = Eigen::RowVectorXd::Zero(num_coarse_);
    const auto add = [&](const auto& left, const Sums& sums) {
      const Eigen::RowVectorXd of_block = left.template cast<double>().colwise().sum() * sums.sum;
      for (std::size_t p = 0; p < sums.place.size(); ++p)
        mean[sums.place[p]] += of_block[static_cast<Index>(p)] / static_cast<double>(group.core->count);
    };
    for (const std::size_t i : of_groups[g])
      if (const LowRank& low = blocks[i].low_rank; !blocks[i].is_whole()) {
        const RowsInBlock rows = rows_in(group, blocks[i]);
        add(low.left.middleRows(rows.in_block, rows.count), right[i]);
        add(low.small_left.middleRows(rows.in_block, rows.count), small_right[i]);
      }
    far_.col(group.coarse) = mean.cast<float>();
    for (std::size_t p = 0; p < group.near.size(); ++p)
      mean[group.near[p]] += near.col(static_cast<Index>(p)).mean();
    factors_.values.map().row(group.coarse) = mean;
  });
  DenseFactors<double>* const factors[] = {&factors_};
  factorise(factors, pool);
}

Eigen::MatrixXf Preconditioner::operator()(const Eigen::MatrixXd& right, ThreadPool* pool) const {
  Eigen::MatrixXd means(num_coarse_, right.cols());
  for_each(pool, groups_.size(), [&](std::size_t i) {
    if (const Group& g = groups_[i]; g.coarse >= 0)
      means.row(g.coarse) = right.middleRows(g.core->first, g.core->count).colwise().mean();
  });
  const Eigen::MatrixXf strength = vlm::solve(factors_, means).cast<float>();
  Eigen::MatrixXf left(right.rows(), right.cols()), result(right.rows(), right.cols());
  for_each(pool, groups_.size(), [&](std::size_t i) {
    const Group& g = groups_[i];
    auto own = left.middleRows(g.core->first, g.core->count);
    own = right.middleRows(g.core->first, g.core->count).cast<float>();
    for (std::size_t p = 0; p < g.near.size(); ++p)
      own.noalias() -= g.by_near.col(static_cast<Index>(p)) * strength.row(g.near[p]);
    if (g.coarse >= 0)
      own.rowwise() -= Eigen::RowVectorXf(far_.col(g.coarse).transpose() * strength);
  });
  for_each(pool, groups_.size(), [&](std::size_t i) {
    const Group& group = groups_[i];
    Eigen::MatrixXf at_members(static_cast<Index>(group.member.size()), right.cols());
    for (Index m = 0; m < at_members.rows(); ++m)
      at_members.row(m) = left.row(group.member[as_size(m)]);
    const Eigen::MatrixXf solved = vlm::solve(group.factors, at_members);
    for (const Index m : group.own) {
      auto row = result.row(group.member[as_size(m)]);
      row = solved.row(m);
      if (group.coarse >= 0)
        row += strength.row(group.coarse);
    }
  });
  return result;
}

std::vector<Index> Preconditioner::middles() const {
  std::vector<Index> found;
  for (const Group& g : groups_)
    found.push_back(g.core->first + g.core->count / 2);
  return found;
}

} // namespace vlm
