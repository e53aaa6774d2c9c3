// What the iteration for a hierarchical system begins each step with, against the matrix as a whole.

#include <algorithm>
#include <optional>
#include <utility>
#include <vector>

#include <Eigen/Core>
#include <gtest/gtest.h>

#include <vlm/flow/influence.hpp>
#include <vlm/flow/minimal_residual.hpp>
#include <vlm/flow/preconditioner.hpp>
#include <vlm/flow/symmetry.hpp>

#include "../support/wings.hpp"

namespace {

using namespace wings;
using Eigen::Index;
using Eigen::MatrixXd;
using vlm::MatrixBlock;

// The matrix of a craft's lattice, or of its half of a parity: whole, and by blocks from row to row of
// panels, some rows at a time, with its wakes apart. Those of surfaces for each other are of low rank, that
// is of as many terms as they have columns.
struct Blocks {
  vlm::Lattice lattice;
  vlm::Influence influence{lattice, {1, 0, 0}};
  std::optional<vlm::MirrorImage> mirror;
  vlm::PartOfLattice part;
  vlm::RingBasis basis;
  std::vector<MatrixBlock> blocks;
  MatrixXd whole{basis.size(), basis.size()};

  Blocks(const vlm::Craft& craft, const vlm::LatticeOptions& options, double parity = 0)
      : lattice(vlm::make_lattice(craft, options)), mirror(vlm::mirror_image(lattice)),
        part(part_of(lattice, mirror, parity)), basis(influence, mirror ? &*mirror : nullptr, part) {
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

  static vlm::PartOfLattice part_of(const vlm::Lattice& lattice,
                                    const std::optional<vlm::MirrorImage>& mirror, double parity) {
    vlm::PartOfLattice part{parity, {}};
    for (std::size_t i = 0; i < lattice.num_panels(); ++i)
      if (parity == 0 || i < mirror->panel[i] || (i == mirror->panel[i] && mirror->sign[i] == parity))
        part.panel.push_back(i);
    return part;
  }

  void add(const MatrixBlock& all) {
    constexpr Index rows_at_once = 16;
    for (Index first = 0; first < all.rows; first += all.far ? all.rows : rows_at_once) {
      MatrixBlock b = all;
      b.first_row += first;
      b.rows = all.far ? all.rows : std::min(rows_at_once, all.rows - first);
      add_piece(b);
    }
  }

  void add_piece(MatrixBlock& b) {
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

  vlm::Preconditioner preconditioner() const {
    vlm::Preconditioner made(basis);
    made.make(blocks, pool());
    return made;
  }

  // How far it is from giving back strengths from what they bring about, as a share of them.
  double error() const {
    const vlm::Preconditioner precondition = preconditioner();
    const MatrixXd x = same_all_over_groups(), right = whole * x;
    const MatrixXd found = precondition(right, &pool()).cast<double>();
    EXPECT_EQ(found, precondition(right, nullptr).cast<double>());
    return (found - x).norm() / x.norm();
  }

  // Steps of the iteration until ten digits are right, with the same wanted of all rings.
  int steps() const {
    const vlm::Preconditioner precondition = preconditioner();
    const MatrixXd right = MatrixXd::Ones(basis.size(), 1);
    int count = 0;
    const MatrixXd x =
        vlm::minimal_residual([&](const MatrixXd& v) { return MatrixXd(whole * v); },
                              [&](const MatrixXd& v) {
                                ++count;
                                return precondition(v, &pool());
                              },
                              right, Eigen::RowVectorXd::Constant(1, 1e-10 * right.norm()), 100);
    EXPECT_LT((right - whole * x).norm(), 1e-8 * right.norm());
    return count;
  }
};

vlm::Surface above(double height) {
  vlm::Surface s = rectangle(4, "above");
  s.position = {0, 0, height};
  return s;
}

TEST(Preconditioner, GivesBackStrengthsThatAreTheSameAllOverGroups) {
  const vlm::Craft craft = craft_of({tapered(5, 0.5, 0.3)});
  EXPECT_LT(Blocks(craft, counts({{40, 16}})).error(), 1e-5);
  EXPECT_LT(Blocks(craft_of({rectangle(5)}), counts({{41, 16}}), 1).error(), 1e-5); // a strip in the middle
  EXPECT_LT(Blocks(craft, counts({{40, 16}}), -1).error(), 1e-5);
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

TEST(Preconditioner, KeepsTheIterationShort) {
  EXPECT_LE(Blocks(craft_of({tapered(5, 0.5, 0.3)}), counts({{60, 24}})).steps(), 13);
  EXPECT_LE(Blocks(craft_of({rectangle(5)}), counts({{61, 24}}), 1).steps(), 13);
  vlm::LatticeOptions options = counts({{32, 8}, {12, 6}, {12, 6}});
  options.body = {16, 12};
  EXPECT_LE(Blocks(craft_with_all(), options).steps(), 18);
  // Close together no coarse lattice is better than one.
  EXPECT_LE(Blocks(craft_of({rectangle(4), above(0.01)}), counts({{40, 12}, {40, 12}})).steps(), 14);
}

} // namespace
