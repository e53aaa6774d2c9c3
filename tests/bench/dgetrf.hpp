#pragma once

#include <string>

namespace bench {

/// The yardstick of dense solves: time [s] that LAPACK's dgetrf by OpenBLAS takes on two threads for a matrix
/// of random numbers, the least of as many in a row as go on for a time [s].
double dgetrf_seconds(int size, double time = 0);

/// Which BLAS that is.
std::string blas_name();

} // namespace bench
