// The hierarchical system against the dense one, and the parts that it is made of.

#include <array>
#include <cmath>
#include <random>
#include <string>
#include <vector>

#include <gtest/gtest.h>

#include <vlm/base/memory.hpp>
#include <vlm/flow/cross_approximation.hpp>
#include <vlm/flow/flow_kernel.hpp>
#include <vlm/flow/influence.hpp>
#include <vlm/flow/minimal_residual.hpp>
#include <vlm/flow/system.hpp>

#include "../support/errors.hpp"
#include "../support/systems.hpp"
#include "../support/wings.hpp"

namespace {

using namespace wings;
using Eigen::Index;
using Eigen::MatrixXd;
using systems::Difference;
using systems::difference;
using vlm::SystemSize;
using vlm::Vec3;

// Of 1/(x − y) between two intervals apart: Cauchy's matrix, of singular values that fall geometrically.
vlm::EntrySource cauchy(Index rows, Index cols) {
  const auto entry = [=](Index i, Index j) {
    return 1 / (3 + static_cast<double>(j) / static_cast<double>(cols) -
                static_cast<double>(i) / static_cast<double>(rows));
  };
  return {rows, cols,
          [=](Index i, double* out) {
            for (Index j = 0; j < cols; ++j)
              out[j] = entry(i, j);
          },
          [=](Index j, double* out) {
            for (Index i = 0; i < rows; ++i)
              out[i] = entry(i, j);
          }};
}

MatrixXd product(const vlm::LowRank& a) {
  return a.left * a.right.transpose() + (a.small_left * a.small_right.transpose()).cast<double>();
}

TEST(CrossApproximation, HoldsItsTolerance) {
  const vlm::EntrySource source = cauchy(150, 90);
  MatrixXd whole(150, 90);
  for (Index j = 0; j < 90; ++j)
    source.column(j, whole.col(j).data());
  for (const double tolerance : {1e-2, 1e-5, 1e-8, 1e-11}) {
    const vlm::LowRank found = cross_approximation(source, tolerance);
    ASSERT_EQ(found.left.rows(), 150);
    EXPECT_LT((product(found) - whole).norm(), tolerance);
    EXPECT_LT(found.left.cols() + found.small_left.cols(), 15);
    if (tolerance < 1e-6) { // large terms in double, others in single precision
      EXPECT_GT(found.left.cols(), 0);
      EXPECT_GT(found.small_left.cols(), 0);
    }
  }
}

TEST(CrossApproximation, TakesNothingForWhatTheToleranceCovers) {
  const vlm::LowRank found = cross_approximation(cauchy(50, 40), 1e3);
  EXPECT_EQ(found.bytes(), 0U);
  EXPECT_EQ(product(found).rows(), 50);
  EXPECT_EQ(product(found).norm(), 0);
}

// Rows that the first pivots do not see are found by those picked at random.
TEST(CrossApproximation, DoesNotStopAtWhatItsFirstPivotsSee) {
  const Index n = 64;
  const auto entry = [](Index i, Index j) { return (i < 32) == (j < 32) ? 1.0 : 0.0; };
  const vlm::EntrySource source{n, n,
                                [=](Index i, double* out) {
                                  for (Index j = 0; j < n; ++j)
                                    out[j] = entry(i, j);
                                },
                                [=](Index j, double* out) {
                                  for (Index i = 0; i < n; ++i)
                                    out[i] = entry(i, j);
                                }};
  const MatrixXd found = product(cross_approximation(source, 1e-10));
  ASSERT_EQ(found.rows(), n);
  EXPECT_NEAR(found(0, 0), 1, 1e-9);
  EXPECT_NEAR(found(63, 63), 1, 1e-9);
  EXPECT_NEAR(found(0, 63), 0, 1e-9);
}

TEST(CrossApproximation, GivesUpWhereTheMatrixTakesLess) {
  std::mt19937 random(1);
  std::uniform_real_distribution<double> any(-1, 1);
  MatrixXd a(40, 40);
  for (double& value : a.reshaped())
    value = any(random);
  const vlm::EntrySource source{
      40, 40, [&](Index i, double* out) { Eigen::Map<Eigen::RowVectorXd>(out, 40) = a.row(i); },
      [&](Index j, double* out) { Eigen::Map<Eigen::VectorXd>(out, 40) = a.col(j); }};
  EXPECT_EQ(cross_approximation(source, 1e-10).left.rows(), 0);
}

TEST(MinimalResidual, SolvesColumnsToWhatIsAllowed) {
  std::mt19937 random(2);
  std::uniform_real_distribution<double> any(-1, 1);
  MatrixXd a(80, 80), right(80, 3);
  for (double& value : a.reshaped())
    value = any(random);
  for (Index i = 0; i < 80; ++i)
    a(i, i) += 20.0 + static_cast<double>(i);
  for (double& value : right.reshaped())
    value = any(random);
  right.col(1).setZero();
  const Eigen::RowVectorXd allowed = Eigen::RowVectorXd::Constant(3, 1e-11);
  const auto multiply = [&](const MatrixXd& x) { return MatrixXd(a * x); };
  const auto diagonal = [&](const MatrixXd& x) {
    return Eigen::MatrixXf((a.diagonal().asDiagonal().inverse() * x).cast<float>());
  };
  const MatrixXd x = vlm::minimal_residual(multiply, diagonal, right, allowed, 80);
  EXPECT_LT((right - a * x).colwise().norm().maxCoeff(), 1.1e-11);
  EXPECT_EQ(x.col(1).norm(), 0);
  // Cut short, it comes as near as it can.
  const MatrixXd early = vlm::minimal_residual(multiply, diagonal, right, allowed, 3);
  EXPECT_GT((right - a * early).norm(), 1e-6);
  EXPECT_LT((right - a * early).norm(), 0.1 * right.norm());
}

// Rings by row and by column, each kernel, against the four sides by themselves.
TEST(RingKernels, AreTheSumOfTheirSides) {
  const std::size_t edges = 6, places = 3;
  std::vector<double> x, y, z;
  for (std::size_t k = 0; k <= places; ++k)
    for (std::size_t e = 0; e < edges; ++e) {
      const double s = static_cast<double>(e), c = static_cast<double>(k);
      x.push_back(0.3 * c + 0.1 * s), y.push_back(0.4 * s), z.push_back(0.05 * c * s);
    }
  for (std::vector<double>* v : {&x, &y, &z})
    v->resize(v->size() + vlm::line_lanes);
  const auto node = [&](std::size_t e, std::size_t k) {
    return Vec3{x[k * edges + e], y[k * edges + e], z[k * edges + e]};
  };
  std::vector<Vec3> points{{0.2, 0.9, 0.3}, {-4, 2, 1}, {9, -3, 0.1}, {0.35, 0.61, -0.02}, {0.5, 1, 7}};
  const Vec3 along{0.36, -0.48, 0.8};
  std::vector<double> component[6];
  for (const Vec3& p : points) {
    const double values[] = {p.x, p.y, p.z, along.x, along.y, along.z};
    for (std::size_t i = 0; i < 6; ++i)
      component[i].push_back(values[i]);
  }
  for (std::vector<double>& c : component)
    c.resize(c.size() + vlm::line_lanes);
  for (const char* name : {"portable", "avx2", "avx512"}) {
    const vlm::FlowKernel* kernel = vlm::find_flow_kernel(name);
    if (kernel == nullptr)
      continue;
    for (const bool open : {false, true}) {
      const vlm::LineGrid grid{x.data(), y.data(), z.data(), edges, places, edges, 0, false};
      std::vector<double> scratch(vlm::ring_scratch(edges));
      for (std::size_t p = 0; p < points.size(); ++p) {
        std::vector<double> row((edges - 1) * places, 1); // it adds
        const double at[] = {points[p].x, points[p].y, points[p].z}, d[] = {along.x, along.y, along.z};
        kernel->ring_row(grid, at, d, open, row.data(), scratch.data());
        for (std::size_t k = 0; k < places; ++k)
          for (std::size_t j = 0; j + 1 < edges; ++j) {
            const Vec3 corner[] = {node(j, k), node(j + 1, k), node(j + 1, k + 1), node(j, k + 1)};
            double corners[4][3], sum = 0;
            for (std::size_t n = 0; n < 4; ++n) {
              corners[n][0] = corner[n].x, corners[n][1] = corner[n].y, corners[n][2] = corner[n].z;
              if (n != 2 || !open || k + 1 < places)
                sum +=
                    dot(vlm::segment_velocity(points[p] - corner[n], points[p] - corner[(n + 1) % 4]), along);
            }
            EXPECT_NEAR(row[k * (edges - 1) + j], 1 + sum, 1e-13) << name;
            std::vector<double> column(points.size(), 1);
            kernel->ring_column(corners, open && k + 1 == places,
                                {component[0].data(), component[1].data(), component[2].data(),
                                 component[3].data(), component[4].data(), component[5].data()},
                                points.size(), column.data());
            EXPECT_NEAR(column[p], 1 + sum, 1e-13) << name;
          }
      }
    }
  }
}

TEST(HierarchicalSystem, GivesTheCirculationsAndForcesOfTheDense) {
  const auto agree = [](const vlm::Craft& craft, const vlm::LatticeOptions& options, SystemSize size) {
    const Difference d = difference(craft, options, size);
    EXPECT_LT(d.circulation, 1e-8);
    EXPECT_LT(d.force, 1e-8);
  };
  vlm::Surface rear = tapered(4, 0.6, 0.2, "rear");
  rear.position = {4, 0, 0.3};
  rear.incidence = -0.03;
  const vlm::Craft two = craft_of({tapered(5, 0.5, 0.3, "front"), rear});
  agree(two, counts({{40, 10}, {24, 8}}), SystemSize::least);
  agree(two, counts({{40, 10}, {24, 8}}), SystemSize::full);
  agree(craft_of({rectangle(6)}), counts({{45, 9}}), SystemSize::least); // a strip in the middle
  vlm::LatticeOptions uniform = counts({{40, 8}});
  uniform.spacing = vlm::Spacing::uniform;
  agree(craft_of({rectangle(6)}), uniform, SystemSize::least);
  // Two wings that mirror each other without being joined see each other's wakes as sheets.
  vlm::Surface port = tapered(3, 0.5, 0.2, "port"), starboard = tapered(3, 0.5, 0.2, "starboard");
  port.position = {0, -2, 0}, starboard.position = {0, 2, 0};
  agree(craft_of({port, starboard}), counts({{40, 8}, {40, 8}}), SystemSize::least);
}

TEST(HierarchicalSystem, GivesTheCirculationsOfTheDenseForWingsCloseTogether) {
  for (const double gap : {0.01, 0.05}) {
    vlm::Surface above = rectangle(4, "above");
    above.position = {0, 0, gap};
    for (const SystemSize size : {SystemSize::least, SystemSize::full}) {
      const Difference d = difference(craft_of({rectangle(4), above}), counts({{40, 12}, {40, 12}}), size);
      EXPECT_LT(d.circulation, 1e-8);
      EXPECT_LT(d.force, 1e-8);
    }
  }
}

// Fuselage, mast and still surface; roots on the skin and carried through it; and a wall.
TEST(HierarchicalSystem, GivesTheCirculationsOfTheDenseForAWholeCraft) {
  vlm::LatticeOptions options = counts({{32, 8}, {12, 6}, {12, 6}});
  options.body = {16, 12};
  for (vlm::Craft craft : {craft_with_all(), craft_with_carried_roots()})
    for (const SystemSize size : {SystemSize::least, SystemSize::full}) {
      const Difference d = difference(craft, options, size);
      EXPECT_LT(d.circulation, 1e-8);
      EXPECT_LT(d.force, 1e-8);
    }
  vlm::Craft over_wall = craft_of({tapered(5, 0.5, 0.3)});
  over_wall.still_surface = {vlm::Boundary::wall, {}, 0.8, 0};
  EXPECT_LT(difference(over_wall, counts({{40, 10}}), SystemSize::least).circulation, 1e-8);
}

TEST(HierarchicalSystem, IsTakenForManyPanelsUnlessToldOtherwise) {
  const vlm::Craft craft = craft_of({rectangle(6)});
  vlm::LatticeOptions options = counts({{60, 50}});
  EXPECT_EQ(vlm::system_kind(vlm::make_lattice(craft, options)), vlm::SystemKind::dense);
  options.system = vlm::SystemKind::hierarchical;
  EXPECT_EQ(vlm::system_kind(vlm::make_lattice(craft, options)), vlm::SystemKind::hierarchical);
  options = counts({{62, 50}});
  EXPECT_EQ(vlm::system_kind(vlm::make_lattice(craft, options)), vlm::SystemKind::hierarchical);
  options.system = vlm::SystemKind::dense;
  EXPECT_EQ(vlm::system_kind(vlm::make_lattice(craft, options)), vlm::SystemKind::dense);
}

// Two panels with one control point between them that ask for different velocities there.
TEST(HierarchicalSystem, SaysThatNoSolutionIsFound) {
  vlm::LatticeOptions options = counts({{40, 8}});
  options.system = vlm::SystemKind::hierarchical;
  vlm::Lattice lattice = vlm::make_lattice(craft_of({rectangle(6)}), options);
  lattice.control[204] = lattice.control[44];
  lattice.slope[204] += 0.1;
  const vlm::Cause cause{{1, 0, 0.1}, {}, {}, {}};
  const std::string text = errors::error_of([&] {
    vlm::FlowSystem(lattice, {1, 0, 0}, pool(), SystemSize::full).solve({&cause, 1}, &pool());
  });
  EXPECT_NE(text.find("two surfaces lie in each other"), std::string::npos) << text;
}

TEST(Memory, RefusesMoreThanIsFree) {
  EXPECT_NO_THROW(vlm::check_memory(10, 800));
  const std::string text = errors::error_of([] { vlm::check_memory(1000000, 8e15); });
  EXPECT_EQ(
      text.rfind("the lattice has 1000000 unknowns, which take 8000000000000000 bytes; this machine has ", 0),
      0U)
      << text;
  EXPECT_NE(text.find(" free: use fewer strips or panels per strip"), std::string::npos) << text;
}

} // namespace
