#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include <vlm/base/error.hpp>
#include <vlm/lattice/spacing.hpp>

namespace {

constexpr double pi = std::numbers::pi;

std::string message(int strips, const std::vector<double>& corners,
                    vlm::Spacing rule = vlm::Spacing::semicircle) {
  try {
    vlm::span_spacing(rule, 1, corners, strips, "surface 'wing'");
  } catch (const vlm::Error& e) {
    return e.what();
  }
  return "";
}

// C. E. Lan, A quasi-vortex-lattice method in thin wing theory, J. Aircraft 11(9), 1974: with vortices and
// control points so placed, a flat plate of n panels has exactly the lift of thin-aerofoil theory, 2π, and
// its centre at a quarter chord.
TEST(ChordSpacing, FlatPlateOfAnyPanelCountIsExactInTwoDimensions) {
  for (int n = 1; n <= 5; ++n) {
    const vlm::ChordSpacing c = vlm::chord_spacing(vlm::Spacing::semicircle, n);
    // Thin-aerofoil vorticity 2·cot(θ/2) lumped on the points: Γ_k = 2 cot(θ_k/2)·(sin θ_k/2)·π/n. It cancels
    // unit downwash at every control point.
    double lift = 0, moment = 0;
    std::vector<double> gamma;
    for (int k = 1; k <= n; ++k) {
      const double theta = (2 * k - 1) * pi / (2 * n);
      gamma.push_back((1 + std::cos(theta)) * pi / n);
      lift += 2 * gamma.back();
      moment += 2 * gamma.back() * c.vortex[static_cast<std::size_t>(k - 1)];
    }
    for (const double control : c.control) {
      double wash = 0;
      for (std::size_t k = 0; k < gamma.size(); ++k)
        wash += gamma[k] / (2 * pi * (control - c.vortex[k]));
      EXPECT_NEAR(wash, 1, 1e-12) << n << " panels";
    }
    EXPECT_NEAR(lift, 2 * pi, 1e-12);
    EXPECT_NEAR(moment / lift, n == 1 ? 0.5 : 0.25, 1e-12);
  }
}

TEST(ChordSpacing, UniformPutsVortexAtAQuarterAndControlAtThreeQuarters) {
  const vlm::ChordSpacing c = vlm::chord_spacing(vlm::Spacing::uniform, 2);
  EXPECT_EQ(c.vortex, (std::vector<double>{0.125, 0.625}));
  EXPECT_EQ(c.control, (std::vector<double>{0.375, 0.875}));
}

TEST(SpanSpacing, WithoutCornersIsTheSemicircleRule) {
  const int m = 7;
  const vlm::SpanSpacing s = vlm::span_spacing(vlm::Spacing::semicircle, 2, {}, m, "surface 'wing'");
  ASSERT_EQ(s.edge.size(), 8U);
  for (int k = 1; k <= m + 1; ++k)
    EXPECT_NEAR(s.edge[static_cast<std::size_t>(k - 1)], 1 - std::cos((2 * k - 1) * pi / (2 * (m + 1))),
                1e-14);
  for (int k = 1; k <= m; ++k)
    EXPECT_NEAR(s.middle[static_cast<std::size_t>(k - 1)], 1 - std::cos(k * pi / (m + 1)), 1e-14);
}

TEST(SpanSpacing, EdgesLieOnEveryCornerAndStayInOrder) {
  for (const std::vector<double>& corners :
       {std::vector<double>{0.5}, {0.1}, {0.2, 0.8}, {0.2, 0.5, 0.8}, {0.03, 0.97}, {0.1, 0.15, 0.2, 0.6}})
    for (const int strips : {8, 20, 40})
      for (const vlm::Spacing rule : {vlm::Spacing::semicircle, vlm::Spacing::uniform}) {
        const vlm::SpanSpacing s = vlm::span_spacing(rule, 1, corners, strips, "surface 'wing'");
        EXPECT_EQ(s.edge.size(), static_cast<std::size_t>(strips) + 1);
        for (const double corner : corners)
          EXPECT_EQ(std::count(s.edge.begin(), s.edge.end(), corner), 1) << corner;
        for (std::size_t j = 0; j < s.middle.size(); ++j) {
          EXPECT_LT(s.edge[j], s.middle[j]);
          EXPECT_LT(s.middle[j], s.edge[j + 1]);
        }
        for (std::size_t i = 0; i + 1 < s.node.size(); ++i)
          EXPECT_LT(s.node[i], s.node[i + 1]);
      }
}

TEST(SpanSpacing, SymmetricCornersGiveSymmetricStrips) {
  for (const std::vector<double>& corners : {std::vector<double>{}, {0.5}, {0.3, 0.7}, {0.25, 0.5, 0.75}}) {
    const vlm::SpanSpacing s = vlm::span_spacing(vlm::Spacing::semicircle, 1, corners, 12, "surface 'wing'");
    for (std::size_t i = 0; i < s.edge.size(); ++i)
      EXPECT_NEAR(s.edge[i] + s.edge[s.edge.size() - 1 - i], 1, 1e-15);
  }
}

TEST(SpanSpacing, PairsOfCornersNearTheMiddleBothGetTheirEdge) {
  for (const double half : {0.001, 0.005, 0.02, 0.05, 0.1})
    for (const bool middle : {false, true})
      for (int strips = middle ? 4 : 3; strips <= 41; strips += middle ? 2 : 1)
        for (const vlm::Spacing rule : {vlm::Spacing::semicircle, vlm::Spacing::uniform}) {
          std::vector<double> corners{0.5 - half, 0.5 + half};
          if (middle)
            corners.insert(corners.begin() + 1, 0.5);
          const vlm::SpanSpacing s = vlm::span_spacing(rule, 1, corners, strips, "surface 'wing'");
          for (const double corner : corners)
            EXPECT_EQ(std::count(s.edge.begin(), s.edge.end(), corner), 1) << corner << ", " << strips;
          for (std::size_t i = 0; i < s.edge.size(); ++i)
            EXPECT_NEAR(s.edge[i] + s.edge[s.edge.size() - 1 - i], 1, 1e-14);
        }
}

TEST(SpanSpacing, CountsThatCannotBeLaidNameTheNearestThatCan) {
  EXPECT_EQ(message(9, {0.5}),
            "surface 'wing': 9 strips cannot be laid: a strip edge must lie on the kink or joint in the "
            "middle, so their number is even; the nearest count that can is 8 or 10");
  EXPECT_EQ(message(2, {0.2, 0.4}),
            "surface 'wing': 2 strips cannot be laid: kinks and joints cut the span into 3 stretches, "
            "each of which needs a strip; the nearest count that can is 3");
  EXPECT_EQ(message(3, {0.2, 0.5, 0.8}),
            "surface 'wing': 3 strips cannot be laid: kinks and joints cut the span into 4 "
            "stretches, each of which needs a strip; the nearest count that can is 4");
  for (const int strips : {2, 4, 20})
    EXPECT_EQ(message(strips, {0.5}), "");
  EXPECT_EQ(message(4, {0.2, 0.5, 0.8}), ""); // the count named above
  EXPECT_EQ(message(3, {0.2, 0.4}), "");
}

} // namespace
