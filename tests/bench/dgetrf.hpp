#pragma once

#include <string>

namespace bench {

/// The yardstick of dense solves: time [s] that LAPACK's dgetrf by OpenBLAS takes on two threads for a matrix
/// of random numbers, the least of so many times in a row.
double dgetrf_seconds(int size, int times = 1);

/// Which BLAS that is.
std::string blas_name();

} // namespace bench
