// Dense factorisation.

#include <cmath>
#include <random>
#include <vector>

#include <Eigen/LU>
#include <gtest/gtest.h>

#include <vlm/flow/dense_factors.hpp>
#include <vlm/flow/lu_kernel.hpp>

#include "../support/wings.hpp"

namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using vlm::DenseFactors;

MatrixXd random_square(Index size, unsigned seed) {
  std::mt19937 random(seed);
  std::uniform_real_distribution<double> any(-1, 1);
  return MatrixXd::NullaryExpr(size, size, [&] { return any(random); });
}

// Residual of the solutions by a kernel over the greatest unknown.
template <class Real>
double residual(Index n, void (*factorise)(Real*, std::size_t, std::size_t, std::size_t, int*),
                void (*solve)(const Real*, std::size_t, const int*, Real*, std::size_t)) {
  using Matrix = Eigen::Matrix<Real, Eigen::Dynamic, Eigen::Dynamic>;
  const Matrix a = random_square(n, 3).cast<Real>();
  const Matrix right =
      Matrix::NullaryExpr(n, 2, [](Index i, Index j) { return static_cast<Real>(1 + std::sin(i + 2 * j)); });
  Matrix factors = a, x = right;
  std::vector<int> swaps(static_cast<std::size_t>(n));
  factorise(factors.data(), swaps.size(), swaps.size(), swaps.size(), swaps.data());
  solve(factors.data(), swaps.size(), swaps.data(), x.data(), 2);
  const MatrixXd left = a.template cast<double>() * x.template cast<double>() - right.template cast<double>();
  return left.cwiseAbs().maxCoeff() / static_cast<double>(x.cwiseAbs().maxCoeff());
}

// Backward error: with partial pivoting some units of rounding a row (Wilkinson 1963, from memory).
TEST(LuKernels, SolveToRounding) {
  int kernels = 0;
  for (const char* name : {"portable", "avx2"}) {
    const vlm::LuKernel* kernel = vlm::find_lu_kernel(name);
    if (kernel == nullptr)
      continue; // not on this processor
    ++kernels;
    EXPECT_STREQ(kernel->name, name);
    for (const Index n : {1, 2, 9, 130, 300}) {
      const double rows = static_cast<double>(n + 10);
      EXPECT_LT(residual(n, kernel->factorise, kernel->solve), 1e-15 * rows) << name << n;
      EXPECT_LT(residual(n, kernel->factorise_single, kernel->solve_single), 5e-7 * rows) << name << n;
    }
  }
  EXPECT_GE(kernels, 1);
  EXPECT_EQ(vlm::find_lu_kernel("none"), nullptr);
}

// The inverse of the matrix of min(i, j), counted from 1, has 2 on its diagonal, 1 in the last place, and −1
// beside it.
TEST(DenseFactors, InvertTheMatrixOfLesserIndices) {
  const Index n = 100, column = 40;
  const MatrixXd a =
      MatrixXd::NullaryExpr(n, n, [](Index i, Index j) { return static_cast<double>(std::min(i, j) + 1); });
  const DenseFactors<double> f = vlm::factorised(a);
  const MatrixXd x = vlm::solve(f, MatrixXd::Identity(n, n).col(column));
  for (Index i = 0; i < n; ++i)
    EXPECT_NEAR(x(i, 0), i == column ? 2 : i + 1 == column || i == column + 1 ? -1 : 0, 1e-12);
}

DenseFactors<double> unfactorised(const MatrixXd& matrix) {
  DenseFactors<double> f{{matrix.rows(), matrix.cols()}};
  f.values.map() = matrix;
  return f;
}

// Factors of one matrix alone.
DenseFactors<double> factorised_on(vlm::ThreadPool& pool, const MatrixXd& matrix) {
  DenseFactors<double> f = unfactorised(matrix);
  DenseFactors<double>* const alone[] = {&f};
  vlm::factorise(alone, pool);
  return f;
}

// Sizes beside those at which a matrix is cut into one panel more. Products with a few vectors; the bound of
// the error: as of the kernels.
TEST(DenseFactors, MultiplyToTheMatrixWithRowsExchanged) {
  for (const Index n : {1, 2, 8, 9, 16, 17, 191, 192, 193, 255, 256, 257, 401}) {
    const MatrixXd a = random_square(n, 4), some = random_square(n, 5).leftCols(std::min<Index>(n, 3));
    const DenseFactors<double> f = factorised_on(wings::pool(), a);
    MatrixXd product = a * some;
    for (Index i = 0; i < n; ++i)
      product.row(i).swap(product.row(f.swaps[static_cast<std::size_t>(i)]));
    const MatrixXd lower = f.values.map().triangularView<Eigen::UnitLower>(),
                   upper = f.values.map().triangularView<Eigen::Upper>();
    EXPECT_LT((product - lower * (upper * some)).cwiseAbs().maxCoeff(), 1e-15 * static_cast<double>(n + 10))
        << n;
    EXPECT_LE(lower.cwiseAbs().maxCoeff(), 1) << n; // the pivot is the greatest
  }
}

TEST(DenseFactors, ExchangeRowsAsEigenDoes) {
  const Index n = 257;
  const MatrixXd a = random_square(n, 4);
  Eigen::VectorXi rows = Eigen::VectorXi::LinSpaced(n, 0, n - 1);
  const Eigen::VectorXi by_eigen = a.partialPivLu().permutationP() * rows;
  for (Index i = 0; const int with : factorised_on(wings::pool(), a).swaps)
    std::swap(rows[i++], rows[with]);
  EXPECT_EQ(rows, by_eigen);
}

TEST(DenseFactors, AreTheSameBitsForAnyNumberOfThreadsAndCompany) {
  const MatrixXd a = random_square(451, 5), right = random_square(451, 8).leftCols(3);
  const DenseFactors<double> one = factorised_on(wings::pool(), a);
  EXPECT_FALSE(singular(one));
  const MatrixXd x = vlm::solve(one, right);
  EXPECT_LT((a * x - right).cwiseAbs().maxCoeff(), 1e-15 * 461 * x.cwiseAbs().maxCoeff());
  std::vector<std::vector<double>> in_the_way; // so that memory is free elsewhere
  for (const int threads : {1, 2, 3}) {
    in_the_way.emplace_back(static_cast<std::size_t>(1001 + 2 * threads));
    vlm::ThreadPool pool(threads);
    DenseFactors<double> first = unfactorised(a), second = unfactorised(random_square(200, 6));
    DenseFactors<double>* const all[] = {&first, &second};
    vlm::factorise(all, pool);
    EXPECT_EQ(first.values.map(), one.values.map()) << threads;
    EXPECT_EQ(factorised_on(pool, a).values.map(), one.values.map()) << threads;
    EXPECT_EQ(first.swaps, one.swaps) << threads;
    EXPECT_EQ(vlm::solve(first, right), x) << threads;
  }
}

TEST(DenseFactors, SayWhatIsSingular) {
  vlm::ThreadPool pool(2);
  for (const Index n : {70, 250}) { // one panel, several
    const MatrixXd other_diagonal =
        MatrixXd::Identity(n, n).rowwise().reverse(); // no pivot stands in its place
    MatrixXd twice = random_square(n, 7), no_number = random_square(n, 7);
    twice.row(5) = twice.row(n - 6);
    no_number(n - 9, 3) = std::nan("");
    EXPECT_FALSE(singular(factorised_on(pool, other_diagonal))) << n;
    EXPECT_TRUE(singular(factorised_on(pool, twice))) << n;
    EXPECT_TRUE(singular(factorised_on(pool, no_number))) << n;
    EXPECT_TRUE(singular(factorised_on(pool, MatrixXd::Zero(n, n)))) << n;
    EXPECT_TRUE(singular(vlm::factorised(twice))) << n;
  }
  EXPECT_FALSE(singular(factorised_on(pool, MatrixXd())));
  EXPECT_FALSE(singular(vlm::factorised(MatrixXd())));
}

} // namespace
