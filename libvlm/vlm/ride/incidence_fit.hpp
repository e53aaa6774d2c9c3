#pragma once

#include <span>
#include <vector>

#include <vlm/ride/trimmed_craft.hpp>

namespace vlm {

/// The incidence of a surface that puts the load station where it is wanted, as nearly as one incidence can
/// over several speeds.
struct IncidenceFit {
  double incidence = 0;                               ///< [rad], of the surface on the fuselage
  bool at_bound = false;                              ///< the least squares lie beyond a bound
  double root_mean_square = 0;                        ///< of the misses [m]
  std::size_t num_factorisations = 0, num_solves = 0; ///< that it took
};

/// Least squares over speeds [m/s] of load station − wanted [m], within low … high [rad]. Gauss and Newton
/// with the trim's derivatives at wakes and drag other than induced held, which are laid anew at each speed
/// until the incidence settles to 1e-7 rad; what the wakes' turning would add to the slopes leaves it some
/// hundredths of a degree off the true least, where the misses differ by less than 1 in 5000. Throws Error
/// for no speeds, bounds that are not in order, and a load station that does not move with the incidence,
/// Error (run) if the incidence does not settle, and what trimmed_craft throws.
IncidenceFit fit_incidence(const Ride&, std::size_t surface, std::span<const double> speeds, double wanted,
                           double low, double high, ThreadPool&);

} // namespace vlm
