#include <vlm/study/panel_circulation.hpp>

#include <cmath>

namespace vlm {

std::vector<double> panel_circulation(const Responses& responses, double alpha,
                                      std::span<const double> turns) {
  const double c = std::cos(alpha), s = std::sin(alpha);
  std::vector<double> amplitude{c, s};
  for (const double turn : turns)
    amplitude.push_back(turn * c);
  std::vector<double> circulation(responses.circulation.rows);
  for (std::size_t cause = 0; cause < amplitude.size(); ++cause)
    for (std::size_t i = 0; i < circulation.size(); ++i)
      circulation[i] += responses.circulation(i, cause) * amplitude[cause];
  return circulation;
}

} // namespace vlm
