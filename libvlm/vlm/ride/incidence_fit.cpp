#include <vlm/ride/incidence_fit.hpp>

#include <algorithm>
#include <cmath>

#include <vlm/base/error.hpp>

namespace vlm {

IncidenceFit fit_incidence(const Ride& ride, std::size_t surface, std::span<const double> speeds,
                           double wanted, double low, double high, ThreadPool& pool) {
  if (speeds.empty())
    throw Error("speeds: found none, wanted at least one to fit the incidence over");
  if (!(low < high))
    throw Error("bounds of the incidence: found the lower one not below the upper one, wanted it so");
  const double drawn = ride.craft.surfaces.at(surface).incidence, density = ride.craft.water.density;
  const TurnShape turn{surface, std::nullopt};
  IncidenceFit fit;
  double amplitude = std::clamp(drawn, low, high) - drawn;
  std::vector<double> guesses(speeds.size(), 0.05);
  for (int laid = 0; laid < 12; ++laid) {
    std::vector<TrimmedCraft> crafts;
    for (std::size_t k = 0; k < speeds.size(); ++k) {
      crafts.push_back(trimmed_craft(ride, speeds[k], pool, guesses[k], {&turn, 1}, {&amplitude, 1}));
      guesses[k] = crafts.back().state.alpha;
      fit.num_factorisations += crafts.back().num_factorisations;
      fit.num_solves += crafts.back().num_solves;
    }
    const double before = amplitude;
    // At these wakes: a station is nearly straight in incidence, so few steps do.
    std::vector<TrimState> states;
    for (const TrimmedCraft& t : crafts)
      states.push_back(t.state);
    for (int i = 0; i < 20; ++i) {
      double gradient = 0, curvature = 0;
      for (std::size_t k = 0; k < crafts.size(); ++k) {
        const TrimmedCraft& t = crafts[k];
        const TrimSlope slope = trim_slope(plane_forms(t.responses, {&amplitude, 1}),
                                           plane_form_slopes(t.responses, {&amplitude, 1}, 0), ride.loading,
                                           t.other, density, t.speed);
        gradient += slope.load_station * (states[k].load_station - wanted);
        curvature += slope.load_station * slope.load_station;
      }
      if (!(curvature > 0))
        throw Error("load station: found that it does not move with the incidence of \"" +
                    ride.craft.surfaces[surface].name + "\", wanted a surface whose incidence moves it");
      const double sought = amplitude - gradient / curvature,
                   next = std::clamp(sought, low - drawn, high - drawn);
      fit.at_bound = next != sought;
      const double step = next - amplitude;
      amplitude = next;
      for (std::size_t k = 0; k < crafts.size(); ++k) {
        const TrimmedCraft& t = crafts[k];
        const auto state =
            trim(plane_forms(t.responses, {&amplitude, 1}), ride.loading, t.other, density, t.speed);
        if (!state)
          throw Error("no angle of attack balances the craft with an incidence on the way to the wanted load "
                      "station: narrow the bounds");
        states[k] = *state;
      }
      if (std::abs(step) < 1e-10)
        break;
    }
    if (std::abs(amplitude - before) < 1e-7) {
      fit.incidence = drawn + before; // that of the crafts
      double sum = 0;
      for (const TrimmedCraft& t : crafts)
        sum += (t.state.load_station - wanted) * (t.state.load_station - wanted);
      fit.root_mean_square = std::sqrt(sum / static_cast<double>(speeds.size()));
      return fit;
    }
  }
  throw Error("the incidence does not settle while the wakes are laid anew: give the wake's angle",
              ErrorKind::run);
}

} // namespace vlm
