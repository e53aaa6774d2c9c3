#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <string>

#include <vlm/base/error.hpp>
#include <vlm/file/case.hpp>
#include <vlm/flow/still_part.hpp>
#include <vlm/force/responses.hpp>

#include "../support/wings.hpp"

namespace {

using namespace wings;

double greatest_of(const vlm::Matrix& m) {
  double most = 0;
  for (const double v : m.values)
    most = std::max(most, std::abs(v));
  return most;
}

double difference(const vlm::Matrix& a, const vlm::Matrix& b) {
  double most = 0;
  for (std::size_t i = 0; i < a.values.size(); ++i)
    most = std::max(most, std::abs(a.values[i] - b.values[i]));
  return most;
}

// Greatest difference over the greatest entry.
double apart(const vlm::Matrix& a, const vlm::Matrix& b) {
  return difference(a, b) / greatest_of(b);
}

vlm::Craft moved_by(vlm::Craft craft, std::size_t surface, const vlm::Vec3& by, double longer = 1) {
  vlm::Surface& s = craft.surfaces[surface];
  s.position += by;
  for (vlm::Station& station : s.stations)
    station.y *= longer, station.leading_edge *= longer, station.chord *= longer;
  return craft;
}

class Mover {
public:
  Mover(vlm::Craft craft, vlm::LatticeOptions options, std::size_t surface)
      : craft_(std::move(craft)), options_(std::move(options)), surface_(surface),
        still_(cut({}), cut({1e-4, 0, 0}), vlm::wake_along_stream(wake)) {}

  bool fits(const vlm::Vec3& by) const { return still_.fits(cut(by), vlm::wake_along_stream(wake)); }

  bool keeps_some() const { return still_.any(); }

  // How far circulations and loads of a craft moved so are from those of a fresh solve.
  void expect_as_fresh(const vlm::Vec3& by, double longer = 1, vlm::Motions motions = vlm::Motions::all) {
    const vlm::Craft moved = moved_by(craft_, surface_, by, longer);
    const vlm::Responses kept = vlm::make_responses(moved, options_, wake, {}, pool(), motions, &still_),
                         fresh = vlm::make_responses(moved, options_, wake, {}, pool(), motions);
    const std::string place = craft_.title + " at " + std::to_string(by.x) + ", " + std::to_string(by.z);
    EXPECT_LT(apart(kept.circulation, fresh.circulation), 1e-10) << place;
    for (const auto loads : {&vlm::SurfaceForms::force, &vlm::SurfaceForms::moment}) {
      const std::array<vlm::Matrix, 3>&of_kept = kept.craft.*loads, &of_fresh = fresh.craft.*loads;
      double greatest = 0;
      for (const vlm::Matrix& form : of_fresh)
        greatest = std::max(greatest, greatest_of(form));
      for (std::size_t axis = 0; axis < 3; ++axis) {
        // In plane a symmetric craft's side force, roll and yaw are nothing but rounding.
        const double scale = motions == vlm::Motions::all ? greatest_of(of_fresh[axis]) : greatest;
        EXPECT_LT(difference(of_kept[axis], of_fresh[axis]), 1e-10 * scale) << place;
      }
    }
    EXPECT_LT(apart(kept.craft.far_drag, fresh.craft.far_drag), 1e-10) << place;
  }

private:
  static constexpr double wake = 0.09;

  vlm::Lattice cut(const vlm::Vec3& by) const {
    return vlm::make_lattice(moved_by(craft_, surface_, by), options_, wake);
  }

  vlm::Craft craft_;
  vlm::LatticeOptions options_;
  std::size_t surface_;
  vlm::StillPart still_;
};

TEST(StillPart, GivesWhatAFreshSolveGivesOnEachCaseOfTheDemo) {
  for (const char* name : {"grebe-700", "grebe-850", "grebe-1000", "heron-720", "heron-880", "heron-1050"}) {
    vlm::Case c = vlm::read_case(std::string(VLM_CASES_DIR "/lake-rescue/") + name + ".toml");
    c.craft.fuselage.reset();
    Mover mover(c.craft, c.lattice, 1);
    EXPECT_TRUE(mover.keeps_some()) << name;
    mover.expect_as_fresh({});
    mover.expect_as_fresh({0.06, 0, 0});
    mover.expect_as_fresh({-0.03, 0, 0.012}, 1.1);
    mover.expect_as_fresh({0.061, 0, 0.001});
  }
}

// The symmetric half first, then both.
TEST(StillPart, GivesTheSameInPlaneAndThenInAllMotions) {
  vlm::Case c = vlm::read_case(VLM_CASES_DIR "/lake-rescue/heron-880.toml");
  c.craft.fuselage.reset();
  Mover mover(c.craft, c.lattice, 1);
  mover.expect_as_fresh({}, 1, vlm::Motions::in_plane);
  mover.expect_as_fresh({0.06, 0, 0}, 1, vlm::Motions::in_plane);
  mover.expect_as_fresh({0.06, 0, 0});
  mover.expect_as_fresh({-0.03, 0, 0.012}, 1.1, vlm::Motions::in_plane);
}

// Two fins that mirror each other, one of which moves: as drawn the craft is its own mirror image, though the
// other fin counts as still.
TEST(StillPart, LeavesAMirroredCraftWithOneSideMovedToAFreshSolve) {
  std::vector<vlm::Surface> surfaces{tapered(7, 0.5, 0.1, "wing")};
  for (const double side : {-1.0, 1.0}) {
    surfaces.push_back(from_stations("fin" + std::to_string(side), {{0, 0.1, 0, 0.4, 0, flat_section()},
                                                                    {0, 1.1, 0.1, 0.3, 0, flat_section()}}));
    surfaces.back().position = {3, side, 0.2};
  }
  for (const std::size_t moved : {1, 2}) {
    Mover mover(craft_of(surfaces), counts({{16, 4}, {4, 3}, {4, 3}}), moved);
    EXPECT_TRUE(mover.keeps_some());
    EXPECT_FALSE(mover.fits({}));
    EXPECT_TRUE(mover.fits({0.05, 0, 0}));
    for (const double aft : {0.0, 0.0, 0.05, 0.0, 0.1})
      mover.expect_as_fresh({aft, 0, 0});
  }
}

TEST(StillPart, KeepsNothingOfACallThatIsRefused) {
  vlm::Surface wing = tapered(7, 0.5);
  wing.position = {0, 0, 2}; // clear of the body
  vlm::Craft craft = craft_of({wing});
  craft.fuselage = body(-1, 5, 0.4, 0.4, 1, 1);
  const vlm::Lattice lattice = vlm::make_lattice(craft, counts({{8, 3}}));
  const vlm::Influence influence(lattice, {1, 0, 0});
  const vlm::Vec3 above{0.3, 0.2, 2.5};
  const std::vector<vlm::SurfacePoint> on_wing{{above, 0}, {above + vlm::Vec3{0, 1, 0}, 0}},
      on_shell{{above, 0}, {{0, 0, 0.4}, lattice.rows.size() - 1}};
  vlm::Matrix circulation(lattice.num_panels(), 2);
  for (std::size_t i = 0; i < circulation.values.size(); ++i)
    circulation.values[i] = std::sin(static_cast<double>(i));
  vlm::StillPart still(lattice, lattice, {1, 0, 0}), fresh(lattice, lattice, {1, 0, 0});
  EXPECT_THROW(still.velocities(influence, on_shell, circulation, pool(), nullptr, {}), vlm::Error);
  const vlm::Velocities a = still.velocities(influence, on_wing, circulation, pool(), nullptr, {}),
                        b = fresh.velocities(influence, on_wing, circulation, pool(), nullptr, {});
  EXPECT_GT(greatest_of(b.z), 0.01);
  for (const auto axis : {&vlm::Velocities::x, &vlm::Velocities::y, &vlm::Velocities::z})
    EXPECT_EQ((a.*axis).values, (b.*axis).values);
}

// No row moves at all.
TEST(StillPart, MayBeAll) {
  const vlm::Craft craft = craft_of({tapered(7, 0.5)});
  const vlm::Lattice lattice = vlm::make_lattice(craft, counts({{16, 4}}), 0.05);
  vlm::StillPart still(lattice, lattice, vlm::wake_along_stream(0.05));
  EXPECT_TRUE(still.any());
  const vlm::Responses fresh = vlm::make_responses(craft, counts({{16, 4}}), 0.05, {}, pool());
  for (int twice = 0; twice < 2; ++twice) {
    const vlm::Responses kept =
        vlm::make_responses(craft, counts({{16, 4}}), 0.05, {}, pool(), vlm::Motions::in_plane, &still);
    EXPECT_LT(apart(kept.craft.force[2], fresh.craft.force[2]), 1e-12);
  }
}

TEST(StillPart, KeepsNothingWhereRootsMoveOnAFuselage) {
  const vlm::Case c = vlm::read_case(VLM_CASES_DIR "/lake-rescue/heron-880.toml");
  const auto cut = [&](double aft) {
    return vlm::make_lattice(moved_by(c.craft, 1, {aft, 0, 0}), c.lattice, 0);
  };
  const vlm::StillPart still(cut(0), cut(-0.01), {1, 0, 0});
  EXPECT_FALSE(still.any()); // the mast alone would be too little
  Mover mover(c.craft, c.lattice, 1);
  mover.expect_as_fresh({-0.02, 0, 0});
}

TEST(StillPart, KeepsAFuselageThatTheMovedSurfaceIsClearOf) {
  const vlm::Craft craft = craft_with_all(); // its tail, surface 1, is clear above
  Mover mover(craft, counts_with_all(), 1);
  EXPECT_TRUE(mover.keeps_some());
  mover.expect_as_fresh({0.3, 0, 0.1});
  mover.expect_as_fresh({-0.2, 0, 0.3}, 0.9);
}

// So close that one surface after the other in turn does not settle, and the Schur complement must do it.
TEST(StillPart, SolvesSurfacesCloseToEachOther) {
  vlm::Surface low = tapered(7, 0.5, 0.1, "low"), high = tapered(7, 0.5, 0.1, "high");
  high.position = {0.2, 0, 0.08};
  const vlm::Craft craft = craft_of({low, high});
  Mover mover(craft, counts({{16, 4}, {16, 4}}), 1);
  EXPECT_TRUE(mover.keeps_some());
  mover.expect_as_fresh({-0.18, 0, -0.02});
  mover.expect_as_fresh({0.1, 0, 0.02});
}

TEST(StillPart, FitsNoOtherWakeAndNoOtherCounts) {
  const vlm::Craft craft =
      craft_of({tapered(7, 0.5), moved_by(craft_of({tapered(3, 0.5, 0, "rear")}), 0, {4, 0, 0}).surfaces[0]});
  const auto cut = [&](const vlm::Vec3& by, int strips) {
    return vlm::make_lattice(moved_by(craft, 1, by), counts({{8, 2}, {strips, 2}}));
  };
  const vlm::StillPart still(cut({}, 6), cut({0.1, 0, 0}, 6), {1, 0, 0});
  EXPECT_EQ(still.still_rows(), (std::vector<char>{1, 0}));
  EXPECT_TRUE(still.fits(cut({0.2, 0, 0.3}, 6), {1, 0, 0}));
  EXPECT_FALSE(still.fits(cut({0.2, 0, 0.3}, 6), vlm::wake_along_stream(0.01)));
  EXPECT_FALSE(still.fits(cut({0.2, 0, 0.3}, 8), {1, 0, 0}));
  EXPECT_FALSE(
      still.fits(vlm::make_lattice(moved_by(craft, 0, {0.1, 0, 0}), counts({{8, 2}, {6, 2}})), {1, 0, 0}));
}

} // namespace
