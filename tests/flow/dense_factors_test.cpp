// Dense factorisation.

#include <cmath>
#include <random>
#include <vector>

#include <Eigen/LU>
#include <gtest/gtest.h>

#include <vlm/flow/dense_factors.hpp>
#include <vlm/flow/dense_kernel.hpp>

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
TEST(DenseKernels, SolveToRounding) {
  int kernels = 0;
  for (const char* name : {"portable", "avx2", "avx512"}) {
    const vlm::DenseKernel* kernel = vlm::find_dense_kernel(name);
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
  EXPECT_EQ(vlm::find_dense_kernel("none"), nullptr);
}

std::size_t size_of(Index i) {
  return static_cast<std::size_t>(i);
}

// Of a part of a matrix with several columns and with one, against sums one by one.
template <class Real>
void expect_products(double rounding,
                     void (*add)(const Real*, std::size_t, std::size_t, std::size_t, const Real*, std::size_t,
                                 std::size_t, Real*, std::size_t),
                     void (*transposed)(const Real*, std::size_t, std::size_t, const Real*, std::size_t,
                                        std::size_t, Real*)) {
  using Matrix = Eigen::Matrix<Real, Eigen::Dynamic, Eigen::Dynamic>;
  const Index stride = 40, rows = 37, columns = 11;
  const Matrix a = random_square(stride, 5).cast<Real>(), x = random_square(stride, 6).cast<Real>();
  for (const Index count : {1, 3}) {
    Matrix y = Matrix::Constant(stride, count, 2), z(stride, count);
    add(a.data() + 1, size_of(rows), size_of(columns), size_of(stride), x.data() + 2, size_of(stride),
        size_of(count), y.data() + 3, size_of(stride));
    transposed(a.data(), size_of(stride), size_of(columns), x.data(), size_of(stride), size_of(count),
               z.data());
    for (Index c = 0; c < count; ++c) {
      for (Index i = 0; i < rows; ++i) {
        double sum = 2;
        for (Index k = 0; k < columns; ++k)
          sum += static_cast<double>(a(1 + i, k)) * static_cast<double>(x(2 + k, c));
        EXPECT_NEAR(static_cast<double>(y(3 + i, c)), sum, rounding);
      }
      for (Index k = 0; k < columns; ++k) {
        double sum = 0;
        for (Index i = 0; i < stride; ++i)
          sum += static_cast<double>(a(i, k)) * static_cast<double>(x(i, c));
        EXPECT_NEAR(static_cast<double>(z(c * columns + k)), sum, rounding);
      }
    }
    EXPECT_EQ(y(2, 0), 2); // beside the part
  }
}

// Terms of 1, 1/10, 1/100 and so on come to as many as the tolerance leaves, most of them small.
void expect_cut(const vlm::DenseKernel& kernel) {
  const Index rows = 50, columns = 30, rank = 12;
  const MatrixXd u = random_square(rows, 7).leftCols(rank).colwise().normalized(),
                 v = random_square(columns, 8).leftCols(rank).colwise().normalized();
  MatrixXd left = u, right = v;
  for (Index k = 0; k < rank; ++k)
    left.col(k) *= std::pow(10, -k);
  const MatrixXd whole = left * right.transpose();
  const double tolerance = 2e-8, small = 2e-3;
  const vlm::KeptTerms terms =
      kernel.cut(left.data(), size_of(rows), right.data(), size_of(columns), size_of(rank), tolerance, small);
  const auto error = [&](std::size_t count) {
    const auto n = static_cast<Index>(count);
    return (whole - left.leftCols(n) * right.leftCols(n).transpose()).norm();
  };
  EXPECT_LT(error(terms.all), tolerance);
  EXPECT_GT(error(terms.all - 1), 0.2 * tolerance);
  EXPECT_LT(error(terms.large), small + tolerance);
  EXPECT_GT(error(terms.large - 1), 0.2 * small);
  EXPECT_NEAR(static_cast<double>(terms.all), 8, 1);
  EXPECT_NEAR(static_cast<double>(terms.large), 3, 1);
}

TEST(DenseKernels, MultiplyAndCutWhatIsOfLowRank) {
  int kernels = 0;
  for (const char* name : {"portable", "avx2", "avx512"})
    if (const vlm::DenseKernel* kernel = vlm::find_dense_kernel(name)) {
      SCOPED_TRACE(name);
      ++kernels;
      expect_products(1e-14, kernel->add_product, kernel->transposed_product);
      expect_products(1e-5, kernel->add_product_single, kernel->transposed_product_single);
      expect_cut(*kernel);
    }
  EXPECT_GE(kernels, 1);
}

TEST(DenseKernels, GiveTheSameBitsWhereverMemoryIs) {
  const MatrixXd a = random_square(40, 9), x = random_square(40, 10);
  // A copy that begins so many values behind the start of its memory.
  const auto moved = [](const MatrixXd& values, Index by) {
    Eigen::VectorXd copy(values.size() + by);
    copy.tail(values.size()) = values.reshaped();
    return copy;
  };
  for (const char* name : {"portable", "avx2", "avx512"})
    if (const vlm::DenseKernel* kernel = vlm::find_dense_kernel(name))
      for (const Index n : {2, 3, 5, 9, 20, 40})
        for (const Index count : {1, 2}) {
          std::vector<Eigen::VectorXd> first;
          for (const Index by : {0, 1, 2, 3, 5, 7}) {
            const Index other_by = (by + 3) % 8;
            const Eigen::VectorXd matrix = moved(a, by), right = moved(x, other_by);
            Eigen::VectorXd y = moved(MatrixXd::Ones(n, count), by), z = moved(MatrixXd::Zero(n, count), by),
                            left = moved(a.topLeftCorner(n, n), by), other = moved(x.topLeftCorner(n, n), by);
            kernel->add_product(matrix.data() + by, size_of(n), size_of(n), 40, right.data() + other_by, 40,
                                size_of(count), y.data() + by, size_of(n));
            kernel->transposed_product(matrix.data() + by, size_of(n), size_of(n), right.data() + other_by,
                                       40, size_of(count), z.data() + by);
            kernel->cut(left.data() + by, size_of(n), other.data() + by, size_of(n), size_of(n), 1e-9, 1e-3);
            std::vector<Eigen::VectorXd> now;
            for (const Eigen::VectorXd& v : {y, z, left, other})
              now.emplace_back(v.tail(v.size() - by));
            if (first.empty())
              first = now;
            EXPECT_EQ(first, now) << name << n << by;
          }
        }
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
