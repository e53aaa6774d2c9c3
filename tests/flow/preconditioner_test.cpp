// What the iteration for a hierarchical system begins each step with, against the matrix as a whole.

#include <numeric>
#include <vector>

#include <Eigen/Core>
#include <gtest/gtest.h>

#include <vlm/flow/influence.hpp>
#include <vlm/flow/preconditioner.hpp>

#include "../support/wings.hpp"

namespace {

using namespace wings;
using Eigen::Index;
using Eigen::MatrixXd;
using vlm::MatrixBlock;

// The matrix of a craft's lattice at full size: whole, and by blocks from row to row of panels, with its
// wakes apart. Those of surfaces for each other are of low rank, that is of as many terms as they have
// columns.
struct Blocks {
  vlm::Lattice lattice;
  vlm::Influence influence{lattice, {1, 0, 0}};
  vlm::PartOfLattice part = all_of(lattice);
  vlm::RingBasis basis{influence, nullptr, part};
  std::vector<MatrixBlock> blocks;
  MatrixXd whole{basis.size(), basis.size()};

  Blocks(const vlm::Craft& craft, const vlm::LatticeOptions& options)
      : lattice(vlm::make_lattice(craft, options)) {
    using enum MatrixBlock::Kind;
    for (const int t : basis.roots()) {
      const vlm::RingCluster& target = basis.clusters()[static_cast<std::size_t>(t)];
      if (basis.wants_whole_rows(target)) {
        add({whole_rows, &target, nullptr, nullptr, false, target.first, target.count, 0, basis.size()});
        continue;
      }
      for (const int s : basis.roots()) {
        const vlm::RingCluster& source = basis.clusters()[static_cast<std::size_t>(s)];
        add({rings, &target, &source, nullptr, s != t, target.first, target.count, source.first,
             source.count});
      }
      for (const int w : basis.wake_roots()) {
        const vlm::WakeCluster& source = basis.wakes()[static_cast<std::size_t>(w)];
        add({wakes, &target, nullptr, &source, false, target.first, target.count, source.first,
             source.count});
      }
    }
    Eigen::VectorXd row(basis.size());
    for (Index i = 0; i < basis.size(); ++i) {
      basis.whole_row(i, row.data());
      whole.row(i) = row;
    }
  }

  static vlm::PartOfLattice all_of(const vlm::Lattice& lattice) {
    vlm::PartOfLattice part;
    part.panel.resize(lattice.num_panels());
    std::iota(part.panel.begin(), part.panel.end(), 0);
    return part;
  }

  void add(MatrixBlock b) {
    MatrixXd entries(b.rows, b.columns);
    Eigen::VectorXd row(b.columns);
    for (Index i = 0; i < b.rows; ++i) {
      const Index target = b.first_row + i;
      if (b.kind == MatrixBlock::Kind::rings)
        basis.ring_row(target, *b.rings, row.data());
      else if (b.kind == MatrixBlock::Kind::wakes)
        basis.wake_row(target, *b.wakes, row.data());
      else
        basis.whole_row(target, row.data());
      entries.row(i) = row;
    }
    if (b.far) { // some of the terms in single precision
      const Index large = b.columns / 2, small = b.columns - large;
      const MatrixXd one = MatrixXd::Identity(b.columns, b.columns);
      b.low_rank = {entries.leftCols(large), one.leftCols(large), entries.rightCols(small).cast<float>(),
                    one.rightCols(small).cast<float>()};
    } else {
      b.whole = entries;
    }
    blocks.push_back(std::move(b));
  }

  // Strengths that change from group to group; none on shells.
  MatrixXd same_all_over_groups() const {
    MatrixXd x = MatrixXd::Zero(basis.size(), 2);
    for (const vlm::RingCluster& c : basis.clusters())
      if (c.child[0] < 0 && !basis.wants_whole_rows(c))
        x.middleRows(c.first, c.count).rowwise() += Eigen::RowVector2d(
            1 + 0.3 * static_cast<double>(c.first % 5), -0.01 * static_cast<double>(c.first));
    return x;
  }

  // How far it is from giving back strengths from what they bring about, as a share of them.
  double error() {
    vlm::Preconditioner preconditioner(basis);
    preconditioner.make(blocks, pool());
    const MatrixXd x = same_all_over_groups();
    const MatrixXd found = preconditioner(whole * x, &pool()).cast<double>();
    EXPECT_EQ(found, preconditioner(whole * x, nullptr).cast<double>());
    return (found - x).norm() / x.norm();
  }
};

TEST(Preconditioner, GivesBackStrengthsThatAreTheSameAllOverGroups) {
  EXPECT_LT(Blocks(craft_of({tapered(5, 0.5, 0.3)}), counts({{40, 16}})).error(), 1e-5);
}

// What comes from far away is taken to be the same all over a group.
TEST(Preconditioner, SeesOtherSurfacesByTheirMeanInEachGroup) {
  vlm::Surface rear = tapered(4, 0.6, 0.2, "rear");
  rear.position = {1.2, 0, 0.15};
  EXPECT_LT(Blocks(craft_of({tapered(5, 0.5, 0.3, "front"), rear}), counts({{40, 16}, {24, 12}})).error(),
            0.06);
  vlm::LatticeOptions options = counts({{32, 8}, {12, 6}, {12, 6}});
  options.body = {16, 12};
  EXPECT_LT(Blocks(craft_with_all(), options).error(), 0.014);
}

} // namespace
