#include <vlm/flow/hierarchical_system.hpp>

#include <algorithm>
#include <cmath>
#include <limits>
#include <vector>

#include <Eigen/Geometry>

#include <vlm/base/error.hpp>
#include <vlm/base/memory.hpp>
#include <vlm/flow/cross_approximation.hpp>
#include <vlm/flow/dense_kernel.hpp>
#include <vlm/flow/eigen_index.hpp>
#include <vlm/flow/minimal_residual.hpp>
#include <vlm/flow/preconditioner.hpp>

namespace vlm {
namespace {

using Eigen::Index;

// Error of a block in the Frobenius norm, times the longest chord. Smooth strengths G over a chord c bring
// about velocities of some G/c, so errors of some fifty blocks in a row are below 1e-7 of them even if all
// add up; circulations come out to 1e-9.
constexpr double block_tolerance = 1e-9;

// Clusters are far from each other at a distance of the smaller one's size over this: closer, more blocks are
// of low rank, but of a higher one.
constexpr double nearness = 2;

// Residual, as a share of the right side, at which the iteration stops, and above which a result is refused.
constexpr double residual_wanted = 1e-10, residual_allowed = 1e-9;
// The same for rows of the dense matrix.
constexpr double exact_residual_allowed = 3e-8;
constexpr int most_steps = 300, most_rounds = 4;

// One of so many blocks of low rank is made first, to estimate the memory that all will take.
constexpr std::size_t blocks_a_sample = 16;
constexpr Index rows_at_once = 16; // of blocks that are no use cut finer

bool is_far(const RingCluster& target, const Eigen::AlignedBox3d& source, double source_size) {
  const double smaller = std::min(target.targets.front().diagonal().norm(), source_size);
  return std::all_of(target.targets.begin(), target.targets.end(), [&](const Eigen::AlignedBox3d& box) {
    return nearness * box.exteriorDistance(source) >= smaller;
  });
}

} // namespace

struct HierarchicalSystem::State {
  using Block = MatrixBlock;

  RingBasis basis;
  std::vector<Block> blocks;
  Preconditioner precondition;
  double wanted_bytes = 0; // as estimated
  Index stretch = 0;       // rows that one pass of the product's loop works on
  std::vector<std::vector<const Block*>> blocks_of_stretch;

  State(const Influence& influence, const MirrorImage* mirror, const PartOfLattice& part)
      : basis(influence, mirror, part), precondition(basis) {}

  const RingCluster& cluster(int i) const { return basis.clusters()[static_cast<std::size_t>(i)]; }
  const WakeCluster& wakes(int i) const { return basis.wakes()[static_cast<std::size_t>(i)]; }

  bool are_far(const RingCluster& target, const RingCluster& source) const {
    return is_far(target, source.source, source.source.diagonal().norm());
  }
  bool are_far(const RingCluster& target, const WakeCluster& source) const {
    return basis.sees_lines(target, source) && is_far(target, source.source, source.width);
  }
  bool can_halve(const RingCluster&, const RingCluster& source) const { return source.child[0] >= 0; }
  bool can_halve(const RingCluster& target, const WakeCluster& source) const {
    return source.child[0] >= 0 &&
           basis.sees_lines(target, source); // a sheet's row costs the same for any part
  }
  const RingCluster& child(const RingCluster&, int i) const { return cluster(i); }
  const WakeCluster& child(const WakeCluster&, int i) const { return wakes(i); }
  static Block block(const RingCluster& target, const RingCluster& source) {
    return {Block::Kind::rings, &target,      &source,      nullptr,     false,
            target.first,       target.count, source.first, source.count};
  }
  static Block block(const RingCluster& target, const WakeCluster& source) {
    return {Block::Kind::wakes, &target,      nullptr,      &source,     false,
            target.first,       target.count, source.first, source.count};
  }

  // The larger of the two is halved until they are far from each other or cannot be halved.
  template <class Source>
  void pair_up(const RingCluster& target, const Source& source) {
    const bool far = are_far(target, source);
    const bool halves_target = target.child[0] >= 0, halves_source = can_halve(target, source);
    if (far || (!halves_target && !halves_source)) {
      blocks.push_back(block(target, source));
      blocks.back().far = far;
    } else if (halves_target && (!halves_source || target.count >= source.count)) {
      for (const int i : target.child)
        pair_up(cluster(i), source);
    } else {
      for (const int i : source.child)
        pair_up(target, child(source, i));
    }
  }

  // All entries of rings for the control points of a cluster.
  void add_rows(const RingCluster& target, const RingCluster& source) {
    for (Index i = 0; i < target.count; i += rows_at_once)
      blocks.push_back({Block::Kind::rings, &target, &source, nullptr, false, target.first + i,
                        std::min(rows_at_once, target.count - i), source.first, source.count});
  }

  void lay_out() {
    for (const int t : basis.roots()) {
      const RingCluster& target = cluster(t);
      if (basis.wants_whole_rows(target)) {
        for (Index i = 0; i < target.count; i += rows_at_once)
          blocks.push_back({Block::Kind::whole_rows, &target, nullptr, nullptr, false, target.first + i,
                            std::min(rows_at_once, target.count - i), 0, basis.size()});
        continue;
      }
      for (const int source : basis.roots())
        if (basis.sees_finely(target, cluster(source)))
          add_rows(target, cluster(source));
        else
          pair_up(target, cluster(source));
      for (const int source : basis.wake_roots())
        pair_up(target, wakes(source));
    }
  }

  void fill(Block& b, double tolerance) const {
    EntrySource entries{b.rows, b.columns, {}, {}};
    switch (b.kind) {
    case Block::Kind::rings:
      entries.row = [&](Index i, double* out) { basis.ring_row(b.first_row + i, *b.rings, out); };
      entries.column = [&](Index j, double* out) { basis.ring_column(*b.target, b.first_column + j, out); };
      break;
    case Block::Kind::wakes:
      entries.row = [&](Index i, double* out) { basis.wake_row(b.first_row + i, *b.wakes, out); };
      entries.column = [&](Index j, double* out) { basis.wake_column(*b.target, *b.wakes, j, out); };
      break;
    case Block::Kind::whole_rows:
      entries.row = [&](Index i, double* out) { basis.whole_row(b.first_row + i, out); };
      break;
    }
    b.made = true;
    if (b.far)
      b.low_rank = cross_approximation(entries, tolerance);
    if (b.far && b.low_rank.left.rows() > 0)
      return;
    b.whole.resize(b.rows, b.columns);
    Eigen::VectorXd row(b.columns);
    for (Index i = 0; i < b.rows; ++i) {
      entries.row(i, row.data());
      b.whole.row(i) = row;
    }
  }

  // Bytes that all blocks will take, from those of low rank that are made first.
  double estimate(const std::vector<Block*>& far) const {
    double bytes = static_cast<double>(sizeof(Block) * blocks.size()) + basis.bytes();
    for (const Block& b : blocks)
      if (!b.far)
        bytes += sizeof(double) * b.entries();
    for (std::size_t i = 0; i < far.size(); ++i)
      bytes += far[i / blocks_a_sample * blocks_a_sample]->bytes() * far[i]->entries() /
               far[i / blocks_a_sample * blocks_a_sample]->entries();
    return bytes;
  }

  void make_blocks(double tolerance, ThreadPool& pool) {
    std::vector<Block*> far;
    for (Block& b : blocks)
      if (b.far)
        far.push_back(&b);
    std::stable_sort(far.begin(), far.end(),
                     [](const Block* a, const Block* b) { return a->entries() > b->entries(); });
    pool.for_each((far.size() + blocks_a_sample - 1) / blocks_a_sample,
                  [&](std::size_t i) { fill(*far[i * blocks_a_sample], tolerance); });
    wanted_bytes = estimate(far) + precondition.estimated_bytes(blocks);
    check_memory(as_size(basis.size()), wanted_bytes);
    pool.for_each(blocks.size(), [&](std::size_t i) {
      if (!blocks[i].made)
        fill(blocks[i], tolerance);
    });
    precondition.make(blocks, pool);

    stretch = std::max<Index>(64, basis.size() / 64);
    blocks_of_stretch.resize(as_size((basis.size() + stretch - 1) / stretch));
    for (const Block& b : blocks)
      for (Index s = b.first_row / stretch; s * stretch < b.first_row + b.rows; ++s)
        blocks_of_stretch[as_size(s)].push_back(&b);
  }

  Eigen::MatrixXd multiply(const Eigen::MatrixXd& x, ThreadPool* pool) const {
    const DenseKernel& kernel = dense_kernel();
    const std::size_t count = as_size(x.cols());
    const Eigen::MatrixXd of_wakes = basis.carried_by_wakes(x);
    const auto strengths = [&](const Block& b) {
      return (b.kind == Block::Kind::wakes ? of_wakes : x).middleRows(b.first_column, b.columns);
    };
    std::vector<Eigen::MatrixXd> inner(blocks.size());
    std::vector<Eigen::MatrixXf> small_inner(blocks.size());
    for_each(pool, blocks.size(), [&](std::size_t i) {
      const Block& b = blocks[i];
      if (b.is_whole())
        return;
      const auto of_block = strengths(b);
      const LowRank& low = b.low_rank;
      inner[i].resize(low.right.cols(), x.cols());
      kernel.transposed_product(low.right.data(), as_size(b.columns), as_size(low.right.cols()),
                                of_block.data(), as_size(of_block.outerStride()), count, inner[i].data());
      if (low.small_right.cols() == 0)
        return;
      const Eigen::MatrixXf single = of_block.cast<float>();
      small_inner[i].resize(low.small_right.cols(), x.cols());
      kernel.transposed_product_single(low.small_right.data(), as_size(b.columns),
                                       as_size(low.small_right.cols()), single.data(), as_size(b.columns),
                                       count, small_inner[i].data());
    });
    Eigen::MatrixXd y = Eigen::MatrixXd::Zero(x.rows(), x.cols());
    for_each(pool, blocks_of_stretch.size(), [&](std::size_t s) {
      const Index from = static_cast<Index>(s) * stretch, to = std::min(x.rows(), from + stretch);
      for (const Block* b : blocks_of_stretch[s]) {
        const auto i = static_cast<std::size_t>(b - blocks.data());
        const Index first = std::max(from, b->first_row), rows = std::min(to, b->first_row + b->rows) - first,
                    in_block = first - b->first_row;
        const auto add = [&](const Eigen::MatrixXd& left, const auto& right) {
          kernel.add_product(left.data() + in_block, as_size(rows), as_size(left.cols()),
                             as_size(left.rows()), right.data(), as_size(right.outerStride()), count,
                             y.data() + first, as_size(y.rows()));
        };
        if (b->is_whole()) {
          add(b->whole, strengths(*b));
          continue;
        }
        add(b->low_rank.left, inner[i]);
        const Eigen::MatrixXf& left = b->low_rank.small_left;
        if (left.cols() == 0)
          continue;
        Eigen::MatrixXf small = Eigen::MatrixXf::Zero(rows, x.cols());
        kernel.add_product_single(left.data() + in_block, as_size(rows), as_size(left.cols()),
                                  as_size(left.rows()), small_inner[i].data(), as_size(left.cols()), count,
                                  small.data(), as_size(rows));
        y.middleRows(first, rows) += small.cast<double>();
      }
    });
    return y;
  }

  // Of one row of the dense matrix in each group, as a share of the largest entry of the right side; infinite
  // if one is no number.
  double exact_residual(const Eigen::MatrixXd& rings, const Eigen::MatrixXd& right, ThreadPool* pool) const {
    const Eigen::RowVectorXd scale = right.cwiseAbs().colwise().maxCoeff();
    const std::vector<Index> targets = precondition.middles();
    std::vector<double> worst(targets.size());
    for_each(pool, targets.size(), [&](std::size_t g) {
      const Index target = targets[g];
      Eigen::RowVectorXd row(basis.size());
      basis.whole_row(target, row.data());
      const Eigen::RowVectorXd residual = right.row(target) - row * rings;
      for (Index c = 0; c < residual.cols(); ++c)
        if (!std::isfinite(residual[c]))
          worst[g] = std::numeric_limits<double>::infinity();
        else if (scale[c] > 0)
          worst[g] = std::max(worst[g], std::abs(residual[c]) / scale[c]);
    });
    return *std::max_element(worst.begin(), worst.end());
  }
};

HierarchicalSystem::HierarchicalSystem(const Influence& influence, const MirrorImage* mirror,
                                       const PartOfLattice& part, ThreadPool& pool)
    : state_(std::make_unique<State>(influence, mirror, part)) {
  double chord = 0;
  for (const Strip& strip : influence.lattice().strips)
    chord = std::max(chord, strip.chord);
  if (chord == 0) // a body alone
    chord = influence.lattice().node_x.back() - influence.lattice().node_x.front();
  state_->lay_out();
  state_->make_blocks(block_tolerance / chord, pool);
}

HierarchicalSystem::~HierarchicalSystem() = default;
HierarchicalSystem::HierarchicalSystem(HierarchicalSystem&&) noexcept = default;

Eigen::MatrixXd HierarchicalSystem::solve(const Eigen::MatrixXd& right, ThreadPool* pool) const {
  const State& s = *state_;
  const Eigen::MatrixXd ordered = s.basis.in_order(right);
  const Eigen::RowVectorXd wanted = residual_wanted * ordered.colwise().norm();
  Eigen::MatrixXd rings = Eigen::MatrixXd::Zero(ordered.rows(), ordered.cols()), residual = ordered;
  const auto reached = [&](double times) {
    return (residual.colwise().norm().array() <= times * wanted.array()).all();
  };
  // Rounding of small terms shows in the residual of the first round where strengths cancel; the next takes
  // it away.
  for (int round = 0; round < most_rounds && !reached(1); ++round) {
    rings += minimal_residual([&](const Eigen::MatrixXd& x) { return s.multiply(x, pool); },
                              [&](const Eigen::MatrixXd& x) { return s.precondition(x, pool); }, residual,
                              wanted, most_steps);
    residual = ordered - s.multiply(rings, pool);
  }
  if (!reached(residual_allowed / residual_wanted) ||
      !(s.exact_residual(rings, ordered, pool) <= exact_residual_allowed))
    throw Error("the circulations of this lattice are not found by iteration: it is singular, as where two "
                "surfaces lie in each other, or needs the dense system, system = \"dense\" under [lattice]",
                ErrorKind::run);
  return s.basis.circulation(rings);
}

double HierarchicalSystem::estimated_bytes() const {
  return state_->wanted_bytes;
}

} // namespace vlm
