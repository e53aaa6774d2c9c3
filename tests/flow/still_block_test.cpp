// Systems of which one block is inverted already, against the whole.

#include <memory>
#include <random>
#include <string>

#include <gtest/gtest.h>

#include <vlm/flow/still_block.hpp>

#include "../support/errors.hpp"

namespace {

using Eigen::Index;
using Eigen::MatrixXd;

MatrixXd random_matrix(Index rows, Index cols, unsigned seed) {
  std::mt19937 random(seed);
  std::uniform_real_distribution<double> any(-1, 1);
  MatrixXd a(rows, cols);
  for (double& value : a.reshaped())
    value = any(random);
  return a;
}

vlm::StillBlock block_of(const MatrixXd& whole, Index still) {
  vlm::ThreadPool pool(2);
  const Index moved = whole.rows() - still;
  vlm::StillBlock block{std::make_shared<vlm::StillBlock::Rows>(
                            vlm::inverse(vlm::factorised(MatrixXd(whole.topLeftCorner(still, still))), pool)),
                        whole.topRightCorner(still, moved), whole.bottomLeftCorner(moved, still),
                        whole.bottomRightCorner(moved, moved)};
  block.factorise();
  return block;
}

// Weakly coupled, where the blocks take turns; strongly, where that does not settle; with nothing moved or
// nothing still.
TEST(StillBlock, SolvesWhatTheWholeDoes) {
  for (const double coupling : {0.01, 3.0})
    for (const Index still : {0, 1, 20, 29, 30}) {
      MatrixXd whole = coupling * random_matrix(30, 30, 4);
      whole.topLeftCorner(still, still) = random_matrix(still, still, 5);
      whole.bottomRightCorner(30 - still, 30 - still) = random_matrix(30 - still, 30 - still, 6);
      const MatrixXd right = random_matrix(30, 2, 7), x = block_of(whole, still).solve(right);
      EXPECT_LT((whole * x - right).cwiseAbs().maxCoeff(), 1e-10 * x.cwiseAbs().maxCoeff()) << still;
    }
}

// Both blocks are regular, the whole is not.
TEST(StillBlock, RefusesWhatTheCouplingMakesSingular) {
  MatrixXd whole = MatrixXd::Identity(4, 4);
  whole.topRightCorner(2, 2).setIdentity();
  whole.bottomLeftCorner(2, 2).setIdentity();
  const std::string said = errors::error_of([&] { block_of(whole, 2).solve(random_matrix(4, 1, 1)); });
  EXPECT_NE(said.find("singular"), std::string::npos) << said;
}

} // namespace
