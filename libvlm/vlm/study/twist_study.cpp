#include <vlm/study/twist_study.hpp>

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include <vlm/base/error.hpp>

namespace vlm {
namespace {

constexpr std::size_t chunk_size = 1024; // points between two looks at the cancel flag

// Greatest local lift coefficient over the strips at given amplitudes of the four causes.
void find_peak(const Responses& r, const std::vector<double>& two_over_chord,
               const std::array<double, 4>& amplitude, TwistPoint& point) {
  const double* column[4];
  for (std::size_t c = 0; c < 4; ++c)
    column[c] = r.strip_circulation.column(c).data();
  double peak = 0;
  for (std::size_t j = 0; j < two_over_chord.size(); ++j) {
    const double gamma = column[0][j] * amplitude[0] + column[1][j] * amplitude[1] +
                         column[2][j] * amplitude[2] + column[3][j] * amplitude[3];
    const double local = gamma * two_over_chord[j];
    if (std::abs(local) > std::abs(peak)) {
      peak = local;
      point.peak_strip = j;
    }
  }
  point.peak_local_lift = peak;
}

class PointEvaluator {
public:
  PointEvaluator(const Craft& craft, const Responses& responses, const TwistStudy& study)
      : responses_(responses), study_(study), base_incidence_(craft.surfaces[study.surface].incidence) {
    for (const Strip& strip : responses.system.lattice().strips)
      two_over_chord_.push_back(2 / strip.chord);
  }

  TwistPoint operator()(double incidence, double twist) const {
    const std::array<double, 2> turns{incidence - base_incidence_, twist};
    const SurfaceForms& craft = responses_.craft;
    const double scale = responses_.pressure_area, chord = responses_.reference.chord;
    const AngleForm x = at_turns(craft.force[0], turns), z = at_turns(craft.force[2], turns);
    const AngleForm pitch = at_turns(craft.moment[1], turns), drag = at_turns(craft.far_drag, turns);

    TwistPoint p;
    p.incidence = incidence;
    p.twist = twist;
    p.alpha = angle_for_lift(x, z, study_.lift_coefficient * scale);
    if (!p.alpha)
      return p;
    const double c = std::cos(*p.alpha), s = std::sin(*p.alpha);
    const double fx = x.value(c, s), fz = z.value(c, s), dx = x.slope(c, s), dz = z.slope(c, s);
    p.lift_slope = (dz * c - fz * s - dx * s - fx * c) / scale;
    p.pitching_moment_coefficient = pitch.value(c, s) / (scale * chord);
    if (const auto none = angle_for_lift(x, z, 0))
      p.zero_lift_moment = pitch.value(std::cos(*none), std::sin(*none)) / (scale * chord);
    const Balance at = balance(responses_, x, z, pitch, *p.alpha);
    p.centre_of_lift = at.centre_of_lift;
    p.neutral_point = at.neutral_point;
    p.static_margin = at.static_margin;
    const SurfaceForms& surface = responses_.parts[study_.surface];
    p.surface_lift_coefficient = (at_turns(surface.force[2], turns).value(c, s) * c -
                                  at_turns(surface.force[0], turns).value(c, s) * s) /
                                 scale;
    const double far_drag = drag.value(c, s);
    p.induced_drag_coefficient = far_drag / scale;
    p.near_drag_excess = (fx * c + fz * s - far_drag) / scale;
    if (study_.local_lift)
      find_peak(responses_, two_over_chord_, {c, s, turns[0] * c, turns[1] * c}, p);
    return p;
  }

private:
  const Responses& responses_;
  const TwistStudy& study_;
  double base_incidence_;
  std::vector<double> two_over_chord_;
};

} // namespace

Responses twist_responses(const Craft& craft, const LatticeOptions& options, const TwistStudy& study,
                          double wake_angle, ThreadPool& pool) {
  if (study.surface >= craft.surfaces.size())
    throw Error("surface to study: found index " + std::to_string(study.surface) + ", wanted one below " +
                std::to_string(craft.surfaces.size()));
  const TurnShape turns[2] = {TurnShape{study.surface, std::nullopt}, {study.surface, study.shape}};
  return make_responses(craft, options, wake_angle, turns, pool);
}

StudySummary run_twist_study(const Craft& craft, const Responses& responses, const TwistStudy& study,
                             const TwistSink& sink, const RunControl& control, ThreadPool& pool) {
  if (study.surface >= craft.surfaces.size() || responses.craft.far_drag.rows != 4)
    throw Error("the responses are not those of this study: make them with twist_responses");
  const PointEvaluator evaluate(craft, responses, study);
  const std::size_t columns = study.twists.size(), total = study.incidences.size() * columns;
  StudySummary summary;
  std::vector<TwistPoint> chunk;
  while (summary.num_points < total) {
    if (control.cancelled()) {
      summary.complete = false;
      break;
    }
    const std::size_t first = summary.num_points, count = std::min(chunk_size, total - first);
    chunk.resize(count);
    constexpr std::size_t block = 64;
    pool.for_each((count + block - 1) / block, [&](std::size_t b) {
      for (std::size_t i = b * block; i < std::min(count, (b + 1) * block); ++i) {
        chunk[i] = evaluate(study.incidences[(first + i) / columns], study.twists[(first + i) % columns]);
      }
    });
    sink(chunk);
    summary.num_points += count;
    if (control.progress)
      control.progress(summary.num_points, total);
  }
  summary.num_factorisations = responses.system.num_factorisations();
  summary.num_solves = responses.system.num_solves();
  return summary;
}

bool keeps(const TwistLimits& limits, const TwistPoint& p) {
  if ((limits.centre_from || limits.centre_to) && !p.centre_of_lift)
    return false;
  if (limits.least_margin && !p.static_margin)
    return false;
  return !(limits.centre_from && *p.centre_of_lift < *limits.centre_from) &&
         !(limits.centre_to && *p.centre_of_lift > *limits.centre_to) &&
         !(limits.least_margin && *p.static_margin < *limits.least_margin);
}

void LeastDrag::take(std::span<const TwistPoint> points, const TwistLimits& limits) {
  for (const TwistPoint& p : points) {
    if (!p.induced_drag_coefficient)
      continue;
    if (!free || p.induced_drag_coefficient < free->induced_drag_coefficient)
      free = p;
    if (keeps(limits, p) &&
        (!within_limits || p.induced_drag_coefficient < within_limits->induced_drag_coefficient))
      within_limits = p;
  }
}

} // namespace vlm
