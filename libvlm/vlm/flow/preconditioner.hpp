// What makes the iteration for a hierarchical system short.

#pragma once

#include <functional>
#include <span>
#include <vector>

#include <vlm/base/thread_pool.hpp>
#include <vlm/flow/dense_factors.hpp>
#include <vlm/flow/matrix_block.hpp>

namespace vlm {

/// Calls body(i) for each i in [0, count), by the threads of the pool or, if there is none, by this one.
inline void for_each(ThreadPool* pool, std::size_t count, const std::function<void(std::size_t)>& body) {
  if (pool != nullptr)
    pool->for_each(count, body);
  else
    for (std::size_t i = 0; i < count; ++i)
      body(i);
}

/// Two steps: strengths that are the same all over a group of neighbouring rings, so that the mean of what is
/// asked for comes out right in each group, a coarse lattice below the fine one; then, of what they leave,
/// the rings of each group by themselves, those around it included and what comes out at its own kept.
/// Overlapping Schwarz with a coarse level (Smith, Bjørstad & Gropp, Domain Decomposition, 1996, ch. 2; from
/// memory). Not part of the coarse lattice are shells, for closed ones of equal rings give nothing, and
/// groups close to another surface, which would feel the edges between them.
class Preconditioner {
public:
  /// Lays out groups. The basis must outlast this.
  explicit Preconditioner(const RingBasis&);

  /// Bytes that it will take with these blocks.
  double estimated_bytes(std::span<const MatrixBlock>) const;

  /// Factorises all groups and the coarse lattice, by blocks that are made.
  void make(std::span<const MatrixBlock>, ThreadPool&);

  /// What right sides [size × columns] want, about.
  Eigen::MatrixXf operator()(const Eigen::MatrixXd& right, ThreadPool*) const;

  /// A ring in the middle of each group.
  std::vector<Eigen::Index> middles() const;

private:
  // Rings that follow each other, with those around them.
  struct Group {
    const RingCluster* core;
    Eigen::Index coarse; // its place in the coarse lattice; −1: none
    std::vector<Eigen::Index> member = {};
    std::vector<Eigen::Index> own = {}; // places in member
    DenseFactors<float> factors = {};
    std::vector<Eigen::Index> near = {}; // places in the coarse lattice that its rings see one by one
    Eigen::MatrixXf by_near = {};        // [rings × near]
  };
  // Sums over columns that belong to one place of the coarse lattice.
  struct Sums {
    std::vector<Eigen::Index> place;
    Eigen::MatrixXd sum; // [rows × place]
  };
  // Rows that a group and a block have in common.
  struct RowsInBlock {
    Eigen::Index in_group, in_block, count; // the first, and how many
  };

  bool is_close_to_other_surface(const RingCluster&) const;
  Cells widened(Cells) const;
  void factorise_group(Group&) const;
  template <class Columns>
  Sums summed(const MatrixBlock&, const Columns&) const;
  static RowsInBlock rows_in(const Group&, const MatrixBlock&);
  std::vector<std::vector<std::size_t>> blocks_of_groups(std::span<const MatrixBlock>) const;
  // What its rings see by whole blocks of strength 1 all over each group of `near`, which is found: [rings ×
  // near].
  Eigen::MatrixXd seen_near(Group&, std::span<const MatrixBlock>,
                            const std::vector<std::size_t>& of_group) const;
  void make_coarse(std::span<const MatrixBlock>, ThreadPool&);

  const RingBasis& basis_;
  std::vector<Group> groups_;
  Eigen::Index num_coarse_ = 0;
  std::vector<Eigen::Index> coarse_of_ring_, coarse_of_wake_; // −1: none
  // A column a group: mean wash there of strength 1 in those that it does not see ring by ring.
  Eigen::MatrixXf far_;
  DenseFactors<double> factors_; // of the mean wash in a group of strength 1 in each
};

} // namespace vlm
