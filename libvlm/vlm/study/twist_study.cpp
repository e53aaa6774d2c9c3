#include <vlm/study/twist_study.hpp>

#include <algorithm>
#include <cmath>
#include <iterator>

#include <vlm/base/error.hpp>
#include <vlm/study/twist_kernel.hpp>

namespace vlm {
namespace {

constexpr std::size_t chunk_blocks = 64; // blocks between two looks at the cancel flag

TwistForms twist_forms(const Responses& responses, std::size_t surface) {
  const SurfaceForms &craft = responses.craft, &part = responses.parts[surface];
  TwistForms forms{};
  const auto set = [&](TwistLoad load, const Matrix& f) {
    const double q[] = {f(0, 0), 2 * f(0, 1), f(1, 1), 2 * f(0, 2), 2 * f(0, 3),
                        f(2, 2), 2 * f(2, 3), f(3, 3), 2 * f(1, 2), 2 * f(1, 3)};
    std::copy(std::begin(q), std::end(q), forms.q[load]);
  };
  set(load_x, craft.force[0]);
  set(load_z, craft.force[2]);
  set(load_pitch, craft.moment[1]);
  set(load_drag, craft.far_drag);
  set(load_surface_x, part.force[0]);
  set(load_surface_z, part.force[2]);
  return forms;
}

class Evaluator {
public:
  Evaluator(const Craft& craft, const Responses& responses, const TwistStudy& study)
      : responses_(responses), study_(study), base_incidence_(craft.surfaces[study.surface].incidence),
        forms_(twist_forms(responses, study.surface)), kernel_(twist_kernel()) {
    const std::vector<Strip>& strips = responses.system.lattice().strips;
    for (std::size_t j = 0; study.local_lift && j < strips.size(); ++j)
      for (std::size_t c = 0; c < 4; ++c)
        two_over_chord_circulation_.push_back(responses.strip_circulation(j, c) * 2 / strips[j].chord);
  }

  // The points of the grid from the index `first` on, at most a block.
  void operator()(std::size_t first, std::span<TwistPoint> points) const {
    const std::size_t columns = study_.twists.size();
    TwistBlock s;
    for (std::size_t i = 0; i < twist_block; ++i) { // the last block ends with its last point over and over
      const std::size_t at = first + std::min(i, points.size() - 1);
      s.a[i] = study_.incidences[at / columns] - base_incidence_;
      s.b[i] = study_.twists[at % columns];
    }
    bool carries[twist_block], has_zero[twist_block];
    seek(study_.lift_coefficient * responses_.pressure_area, s, points.size(), s.t, carries);
    seek(0, s, points.size(), s.zero_t, has_zero);
    kernel_.evaluate(forms_, s);
    if (study_.local_lift)
      kernel_.find_peaks(two_over_chord_circulation_.data(), two_over_chord_circulation_.size() / 4, s);
    for (std::size_t i = 0; i < points.size(); ++i) {
      points[i] = {};
      points[i].incidence = study_.incidences[(first + i) / columns];
      points[i].twist = study_.twists[(first + i) % columns];
      if (carries[i])
        fill(points[i], s, i, has_zero[i]);
    }
  }

private:
  // Where the kernel finds no angle of attack that carries the lift, angle_for_lift tells whether there is
  // one.
  void seek(double lift, const TwistBlock& s, std::size_t count, double* t, bool* found) const {
    double by_kernel[twist_block];
    kernel_.seek(forms_, lift, s, t, by_kernel);
    for (std::size_t i = 0; i < count; ++i) {
      found[i] = by_kernel[i] != 0;
      if (found[i])
        continue;
      const double turns[2] = {s.a[i], s.b[i]};
      const auto alpha = angle_for_lift(at_turns(responses_.craft.force[0], turns),
                                        at_turns(responses_.craft.force[2], turns), lift);
      found[i] = alpha.has_value();
      t[i] = std::tan(alpha.value_or(0));
    }
  }

  void fill(TwistPoint& p, const TwistBlock& s, std::size_t i, bool has_zero) const {
    const double c = s.cosine[i], sine = s.t[i] * c, scale = responses_.pressure_area,
                 moment_scale = scale * responses_.reference.chord;
    const double x = s.load[load_x][i], z = s.load[load_z][i], pitch = s.load[load_pitch][i],
                 drag = s.load[load_drag][i];
    const double dx = s.slope[load_x][i], dz = s.slope[load_z][i];
    p.alpha = s.alpha[i];
    p.lift_slope = (dz * c - z * sine - dx * sine - x * c) / scale;
    p.pitching_moment_coefficient = pitch / moment_scale;
    if (has_zero)
      p.zero_lift_moment = s.zero_pitch[i] / moment_scale;
    const Balance at = balance(responses_, z * c - x * sine, {x, z, pitch}, {dx, dz, s.slope[load_pitch][i]});
    p.centre_of_lift = at.centre_of_lift;
    p.neutral_point = at.neutral_point;
    p.static_margin = at.static_margin;
    p.surface_lift_coefficient = (s.load[load_surface_z][i] * c - s.load[load_surface_x][i] * sine) / scale;
    p.induced_drag_coefficient = drag / scale;
    p.near_drag_excess = (x * c + z * sine - drag) / scale;
    if (study_.local_lift) {
      p.peak_local_lift = s.peak[i];
      p.peak_strip = static_cast<std::size_t>(s.peak_strip[i]);
    }
  }

  const Responses& responses_;
  const TwistStudy& study_;
  double base_incidence_;
  TwistForms forms_;
  const TwistKernel& kernel_;
  std::vector<double> two_over_chord_circulation_; // [strips × causes], a strip's together
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
  const Evaluator evaluate(craft, responses, study);
  const std::size_t total = study.incidences.size() * study.twists.size();
  StudySummary summary;
  std::vector<TwistPoint> chunk;
  while (summary.num_points < total) {
    if (control.cancelled()) {
      summary.complete = false;
      break;
    }
    const std::size_t first = summary.num_points, count = std::min(chunk_blocks * twist_block, total - first);
    chunk.resize(count);
    pool.for_each((count + twist_block - 1) / twist_block, [&](std::size_t b) {
      const std::size_t at = b * twist_block;
      evaluate(first + at, std::span(chunk).subspan(at, std::min(twist_block, count - at)));
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
