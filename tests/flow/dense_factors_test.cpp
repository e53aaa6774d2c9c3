// Dense factorisation.

#include <cmath>
#include <random>
#include <vector>

#include <gtest/gtest.h>

#include <vlm/flow/dense_factors.hpp>

#include "../support/wings.hpp"

namespace {

using vlm::DenseFactors;

void factorise_alone(DenseFactors& f) {
  vlm::factorise({&f, 1}, wings::pool());
}

std::vector<double> random_square(std::size_t size, unsigned seed) {
  std::mt19937 random(seed);
  std::uniform_real_distribution<double> any(-1, 1);
  std::vector<double> a(size * size);
  for (double& value : a)
    value = any(random);
  return a;
}

TEST(DenseFactors, SolveToRounding) {
  for (const std::size_t n : {1, 2, 9, 130, 300}) {
    std::vector<double> a = random_square(n, 3), x(2 * n);
    for (std::size_t i = 0; i < x.size(); ++i)
      x[i] = 1 + std::sin(static_cast<double>(i));
    const std::vector<double> original = a, right = x;
    DenseFactors f{a.data(), n};
    factorise_alone(f);
    EXPECT_FALSE(singular(f));
    solve(f, x.data(), 2);
    // Backward error: with partial pivoting some units of rounding a row (Wilkinson 1963, from memory).
    for (std::size_t c = 0; c < 2; ++c) {
      double greatest = 0, residual = 0;
      for (std::size_t i = 0; i < n; ++i)
        greatest = std::max(greatest, std::abs(x[c * n + i]));
      for (std::size_t i = 0; i < n; ++i) {
        double sum = -right[c * n + i];
        for (std::size_t j = 0; j < n; ++j)
          sum += original[j * n + i] * x[c * n + j];
        residual = std::max(residual, std::abs(sum));
      }
      const double unknowns = static_cast<double>(n);
      EXPECT_LT(residual, 1e-15 * (unknowns + 10) * greatest) << n;
    }
  }
}

// The inverse of the matrix of min(i, j), counted from 1, has 2 on its diagonal, 1 in the last place, and −1
// beside it.
TEST(DenseFactors, InvertTheMatrixOfLesserIndices) {
  const std::size_t n = 100, column = 40;
  std::vector<double> a(n * n), x(n);
  for (std::size_t j = 0; j < n; ++j)
    for (std::size_t i = 0; i < n; ++i)
      a[j * n + i] = static_cast<double>(std::min(i, j) + 1);
  x[column] = 1;
  DenseFactors f{a.data(), n};
  factorise_alone(f);
  solve(f, x.data(), 1);
  for (std::size_t i = 0; i < n; ++i)
    EXPECT_NEAR(x[i], i == column ? 2 : i + 1 == column || i == column + 1 ? -1 : 0, 1e-12);
}

TEST(DenseFactors, AreTheSameBitsForAnyNumberOfThreadsAndCompany) {
  const std::size_t n = 450;
  const std::vector<double> a = random_square(n, 5);
  std::vector<double> alone = a;
  DenseFactors one{alone.data(), n};
  factorise_alone(one);
  for (const int threads : {1, 2, 3}) {
    vlm::ThreadPool pool(threads);
    std::vector<double> first = a, second = random_square(200, 6);
    DenseFactors both[] = {{first.data(), n}, {second.data(), 200}};
    vlm::factorise(both, pool);
    EXPECT_EQ(first, alone) << threads;
    EXPECT_EQ(both[0].swaps, one.swaps) << threads;
  }
}

TEST(DenseFactors, SayWhatIsSingular) {
  const std::size_t n = 70;
  std::vector<double> unit(n * n), twice = random_square(n, 7), none(n * n);
  for (std::size_t i = 0; i < n; ++i) {
    unit[(n - 1 - i) * n + i] = 1; // the other diagonal: no pivot stands where it is wanted
    twice[i * n + 5] = twice[i * n + 6];
  }
  DenseFactors f{unit.data(), n}, g{twice.data(), n}, h{none.data(), n};
  for (DenseFactors* each : {&f, &g, &h})
    factorise_alone(*each);
  EXPECT_FALSE(singular(f));
  EXPECT_TRUE(singular(g));
  EXPECT_TRUE(singular(h));
}

} // namespace
