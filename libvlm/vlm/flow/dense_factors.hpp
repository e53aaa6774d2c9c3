#pragma once

#include <cstddef>
#include <span>
#include <string>
#include <vector>

#include <vlm/base/thread_pool.hpp>

namespace vlm {

/// A square matrix, then its LU factors with partial pivoting in the same place. It does not own the values.
struct DenseFactors {
  double* values;                   ///< [size × size], column after column
  std::size_t size;                 ///< unknowns
  std::vector<std::size_t> swaps{}; ///< row i changed places with row swaps[i], i rising
};

/// Factorises matrices in place by Eigen: each on one of the pool's threads or, built with VLM_BLAS, one
/// after another by the BLAS on as many threads as that takes, while the pool waits.
void factorise(std::span<DenseFactors>, ThreadPool&);

/// Whether some pivot of LU factors [size × size] is below 1e-14 of the greatest: there is no answer worth
/// having.
///@{
bool singular(const double* factors, std::size_t size);
inline bool singular(const DenseFactors& f) {
  return singular(f.values, f.size);
}
///@}

/// Puts the solution into the place of the right-hand sides, [size × columns].
void solve(const DenseFactors&, double* right, std::size_t columns);

/// What factorises, for results: "Eigen 3.4.0" or, built with VLM_BLAS, "Eigen 3.4.0 with BLAS,
/// libopenblas".
std::string linear_algebra();

} // namespace vlm
