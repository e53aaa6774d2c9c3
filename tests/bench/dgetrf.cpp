#include "dgetrf.hpp"

#include <chrono>
#include <random>
#include <thread>
#include <vector>

#include "figure.hpp"

// As LAPACK and OpenBLAS document them.
extern "C" {
void dgetrf_(const int* rows, const int* columns, double* a, const int* leading, int* pivots, int* info);
void openblas_set_num_threads(int);
char* openblas_get_config();
char* openblas_get_corename();
}

namespace bench {

double dgetrf_seconds(int size, double time) {
  static std::vector<double> original, a;
  const auto n = static_cast<std::size_t>(size);
  if (original.size() != n * n) {
    std::mt19937_64 random(1);
    std::uniform_real_distribution<double> any(-1, 1);
    original.resize(n * n);
    for (double& value : original)
      value = any(random);
  }
  std::vector<int> pivots(n);
  int info = 0;
  openblas_set_num_threads(2);
  const double least = least_in(time, [&] {
    a = original;
    return seconds([&] { dgetrf_(&size, &size, a.data(), &size, pivots.data(), &info); });
  });
  // Its threads look out for more work for a while before they sleep, and what comes next wants the cores.
  std::this_thread::sleep_for(std::chrono::milliseconds(100));
  return least;
}

std::string blas_name() {
  return std::string(openblas_get_config()) + ", 2 threads, kernels for " + openblas_get_corename();
}

} // namespace bench
