#pragma once

#include <string>

namespace bench {

/// The yardstick of dense solves: time [s] that LAPACK's dgetrf by OpenBLAS takes on two threads for a matrix
/// of random numbers.
double dgetrf_seconds(int size);

/// Which BLAS that is.
std::string blas_name();

} // namespace bench
