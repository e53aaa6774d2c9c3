#include <gtest/gtest.h>
#include <vlm/file/case.hpp>
#include <vlm/ride/incidence_fit.hpp>
#include <vlm/ride/mast_track.hpp>
#include <vlm/ride/handling.hpp>
#include "../support/wings.hpp"
namespace {
using namespace wings;
vlm::Ride ride(const std::string& name) {
  const auto c = vlm::read_case(VLM_CASES_DIR "/lake-rescue/" + name + ".toml");
  return vlm::make_ride(c.craft, c.lattice, c.wake, c.drag, *c.loading);
}
const std::vector<double> speeds{5.5, 6.5, 7.5};
std::vector<double> stations(const vlm::Ride& r) {
  std::vector<double> s;
  for (double v : speeds) s.push_back(vlm::trimmed_craft(r, v, pool()).state.load_station);
  return s;
}
void show(const vlm::Ride& r) {
  for (double v : speeds) {
    auto t = vlm::trimmed_craft(r, v, pool());
    auto b = vlm::balance(t.responses, {t.state.alpha});
    auto h = vlm::handling(r.craft, r.lattice, r.drag, r.loading, {v, t.state.alpha, t.state.load_station, t.responses.wake_angle}, pool());
    printf("  %g: station %.2f np %.2f hnp %.2f stiff %.1f deck %.1f margin %.4f drag %.3f alpha %.3f\n", v, 1e3 * t.state.load_station, 1e3 * *b.neutral_point, 1e3 * *h.figures.neutral_point, *h.figures.pitch_stiffness, *h.figures.deck_pitch_stiffness, *h.figures.static_margin, t.state.drag, t.state.alpha*57.29578);
  }
}
TEST(Probe, Track) {
  auto a = stations(ride("heron-720")), b = stations(ride("heron-880")), c = stations(ride("heron-1050"));
  auto g = stations(ride("grebe-700")), h = stations(ride("grebe-850")), i = stations(ride("grebe-1000"));
  auto p = [](const char* n, auto t) { printf("%s recommended %.2f worst %.2f\n", n, 1e3 * t.recommended, 1e3 * t.worst); };
  p("720 on 880", vlm::mast_track(0, b, a));
  p("1050 on 880", vlm::mast_track(0, b, c));
  p("g700 on g850", vlm::mast_track(0, h, g));
  p("g1000 on g850", vlm::mast_track(0, h, i));
  p("h880 on g850", vlm::mast_track(0, h, b));
}
TEST(Probe, Stab) {
  auto old = ride("grebe-850"), h = ride("heron-880");
  for (auto base : {old, h}) {
    const auto k = vlm::surface_index(old.craft, "stabilizer");
    auto A = base, B = base;
    A.craft.surfaces[k] = old.craft.surfaces[k];
    B.craft.surfaces[k] = h.craft.surfaces[k];
    puts("older"); show(A);
    puts("newer, same incidence"); show(B);
    double want = vlm::trimmed_craft(A, 5.5, pool()).state.load_station;
    std::vector<double> v{5.5};
    auto f = vlm::fit_incidence(B, k, v, want, -0.1, 0.1, pool());
    printf("incidence %.3f\n", f.incidence * 57.29578);
    B.craft.surfaces[k].incidence = f.incidence;
    puts("newer, re-set"); show(B);
  }
}
}
