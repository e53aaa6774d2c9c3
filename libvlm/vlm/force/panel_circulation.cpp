#include <vlm/force/panel_circulation.hpp>

namespace vlm {

std::vector<double> panel_circulation(const Responses& responses, const Condition& condition,
                                      std::span<const double> turns) {
  const std::vector<double> amplitude = amplitudes(responses, condition, turns);
  std::vector<double> circulation(responses.circulation.rows);
  for (std::size_t cause = 0; cause < amplitude.size(); ++cause)
    for (std::size_t i = 0; i < circulation.size(); ++i)
      circulation[i] += responses.circulation(i, cause) * amplitude[cause];
  return circulation;
}

} // namespace vlm
