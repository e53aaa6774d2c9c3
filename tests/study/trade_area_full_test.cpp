// What is said in the trade of boards whose wings and stabilizers are changed, held against the demonstration
// range: common practice, no source. The shapes are our own and were drawn before anything was measured.

#include <gtest/gtest.h>

#include <utility>

#include <vlm/file/case.hpp>
#include <vlm/ride/incidence_fit.hpp>
#include <vlm/ride/mast_track.hpp>

#include "../support/angles.hpp"
#include "../support/wings.hpp"

namespace {

using namespace wings;
using angles::degree;

constexpr double millimetre = 1e-3;

// At all of them the image of the still surface holds, and all crafts of the range fly. Patrol, and faster.
const std::vector<double> speeds = {5.5, 6.5, 7.5};

vlm::Ride ride(const std::string& name) {
  const vlm::Case c = vlm::read_case(VLM_CASES_DIR "/lake-rescue/" + name + ".toml");
  return vlm::make_ride(c.craft, c.lattice, c.wake, c.drag, *c.loading);
}

// Of a craft at those speeds [m].
struct Places {
  std::vector<double> load_stations, neutral_points;
};

Places places(const vlm::Ride& ride) {
  Places all;
  for (const double speed : speeds) {
    const vlm::TrimmedCraft t = vlm::trimmed_craft(ride, speed, pool());
    all.load_stations.push_back(t.state.load_station);
    all.neutral_points.push_back(vlm::balance(t.responses, {t.state.alpha}).neutral_point.value());
  }
  return all;
}

// Common practice, no source: who changes to the next size of a range moves the mast in the board's track by
// two centimetres at most, to stand where they stood.
TEST(TradeChecks, NeighboursOfARangeAreRiddenWithinTwoCentimetresOfTheTrack) {
  for (const auto& [reference, other] :
       std::vector<std::pair<const char*, const char*>>{{"heron-880", "heron-720"},   // found 5.0 mm aft
                                                        {"heron-880", "heron-1050"},  // 3.1 mm forward
                                                        {"grebe-850", "grebe-700"},   // 4.3 mm aft
                                                        {"grebe-850", "grebe-1000"}}) // 3.2 mm forward
  {
    const vlm::MastTrack track =
        vlm::mast_track(0, places(ride(reference)).load_stations, places(ride(other)).load_stations);
    EXPECT_LT(std::abs(track.recommended), 20 * millimetre) << other;
    for (const double position : track.positions)
      EXPECT_LT(std::abs(position), 20 * millimetre) << other;
  }
}

// Common practice, no source: a stabilizer with more twist and about 3 % less area replaces an older one; its
// incidence is set anew, and the rider stands where they stood on a craft as stiff as before.
TEST(TradeChecks, AStabilizerOfMoreTwistReplacesAnOlderOneThatIsThreePercentLarger) {
  const vlm::Ride older = ride("grebe-850");
  const std::size_t stabilizer = vlm::surface_index(older.craft, "stabilizer");
  vlm::Ride newer = older;
  newer.craft.surfaces[stabilizer] = ride("heron-880").craft.surfaces[stabilizer];
  EXPECT_NEAR(vlm::outline_figures(newer.craft.surfaces[stabilizer]).area /
                  vlm::outline_figures(older.craft.surfaces[stabilizer]).area,
              0.97, 0.002);

  const Places before = places(older);
  const double patrol = speeds.front();
  const vlm::IncidenceFit fit = vlm::fit_incidence(
      newer, stabilizer, {&patrol, 1}, before.load_stations.front(), -5 * degree, 5 * degree, pool());
  ASSERT_FALSE(fit.at_bound);
  EXPECT_NEAR(fit.incidence / degree, -0.466, 0.01); // from −0.4: the more twist, the lower the incidence
  newer.craft.surfaces[stabilizer].incidence = fit.incidence;
  const Places after = places(newer);
  EXPECT_NEAR(after.load_stations[0], before.load_stations[0], 1e-6); // as fitted
  for (std::size_t k = 0; k < speeds.size(); ++k) {                   // at most 2.0 mm and 1.5 mm
    EXPECT_NEAR(after.load_stations[k], before.load_stations[k], 4 * millimetre) << speeds[k];
    EXPECT_NEAR(after.neutral_points[k], before.neutral_points[k], 4 * millimetre) << speeds[k];
  }
}

} // namespace
