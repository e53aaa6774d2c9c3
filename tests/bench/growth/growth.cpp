// Prints what systems of both kinds take as they grow: unknowns, then time [s] and memory [MB] of the
// hierarchical one and, up to 8,000 unknowns, of the dense one.

#include <cstdio>

#include "../cost_of_system.hpp"

int main() {
  constexpr int counts[][2] = {{44, 23},  {62, 32},  {88, 45},   {124, 64},
                               {250, 64}, {500, 64}, {500, 128}, {1000, 128}};
  std::printf("unknowns\thierarchical s\thierarchical MB\tdense s\tdense MB\n");
  for (const auto& [strips, panels] : counts) {
    const auto print = [&](vlm::SystemKind kind) {
      const bench::Cost cost = bench::cost_of_system(strips, panels, kind, 2);
      std::printf("\t%.4g\t%.4g", cost.time, 1e-6 * cost.memory);
    };
    std::printf("%d", strips * panels);
    print(vlm::SystemKind::hierarchical);
    if (strips * panels < 8000)
      print(vlm::SystemKind::dense);
    std::printf("\n");
    std::fflush(stdout);
  }
}
