#include <vlm/force/span_loading.hpp>

namespace vlm {

Matrix strip_sums(const Lattice& lattice, const Matrix& circulation) {
  Matrix sums(lattice.strips.size(), circulation.cols);
  for (std::size_t c = 0; c < circulation.cols; ++c)
    for (std::size_t j = 0; j < lattice.strips.size(); ++j) {
      const Strip& strip = lattice.strips[j];
      for (std::size_t k = 0; k < lattice.rows[strip.row].panels_per_strip; ++k)
        sums(j, c) += circulation(strip.first_panel + k, c);
    }
  return sums;
}

SpanLoading span_loading(const Lattice& lattice, std::span<const double> strip_circulation, double speed,
                         double density) {
  SpanLoading loading;
  for (std::size_t j = 0; j < lattice.strips.size(); ++j) {
    const double gamma = strip_circulation[j];
    loading.circulation.push_back(gamma);
    loading.lift_per_metre.push_back(density * speed * gamma);
    loading.lift_coefficient.push_back(2 * gamma / (speed * lattice.strips[j].chord));
  }
  return loading;
}

} // namespace vlm
