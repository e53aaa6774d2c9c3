#include <vlm/study/twist_study.hpp>

#include <algorithm>
#include <array>
#include <cmath>

#include <vlm/base/error.hpp>
#include <vlm/force/lift_limit.hpp>
#include <vlm/study/twist_kernel.hpp>

namespace vlm {
namespace {

// Points between two looks at the cancel flag: so many that waking the threads does not count.
constexpr std::size_t chunk_size = 128 * twist_block;

} // namespace

struct TwistPoints::State {
  std::vector<double> incidences, twists;
  double lift, base_incidence;
  TwistForms forms;
  TwistScales scales;
  Matrix force_x, force_z;                        // of the craft
  std::vector<double> two_over_chord_circulation; // [strips × causes], a strip's together; empty: no peaks
  std::vector<std::array<double, 4>> shares;      // by cause, of its lift limit, of each strip that has one
  const TwistKernel& kernel = twist_kernel();

  State(const Craft& craft, const Responses& r, const TwistStudy& study)
      : incidences(study.incidences), twists(study.twists), lift(study.lift_coefficient * r.pressure_area),
        base_incidence(craft.surfaces[study.surface].incidence),
        forms(twist_forms(r, study.surface)), scales{r.pressure_area,   r.pressure_area * r.reference.chord,
                                                     r.moment_point.x,  r.moment_point.z,
                                                     r.reference.chord, no_force},
        force_x(r.craft.force[0]), force_z(r.craft.force[2]) {
    const std::vector<Strip>& strips = r.system.lattice().strips;
    const std::vector<double> limits = lift_limits(craft, r.system.lattice());
    for (std::size_t j = 0; j < strips.size(); ++j)
      if (std::isfinite(limits[j])) {
        shares.emplace_back();
        for (std::size_t c = 0; c < 4; ++c)
          shares.back()[c] = r.strip_circulation(j, c) * 2 / (strips[j].chord * limits[j]);
      }
    for (std::size_t j = 0; study.local_lift && j < strips.size(); ++j)
      for (std::size_t c = 0; c < 4; ++c)
        two_over_chord_circulation.push_back(r.strip_circulation(j, c) * 2 / strips[j].chord);
  }

  // The points of the grid from the index `first` on, at most a block.
  void get(std::size_t first, std::span<TwistPoint> points) const {
    TwistBlock s;
    double incidence[twist_block], twist[twist_block];
    std::size_t row = first / twists.size(), column = first % twists.size();
    for (std::size_t i = 0; i < twist_block; ++i) { // a short block ends with its last point over and over
      incidence[i] = incidences[row], twist[i] = twists[column];
      s.a[i] = incidence[i] - base_incidence;
      s.b[i] = twist[i];
      if (i + 1 < points.size() && ++column == twists.size())
        column = 0, ++row;
    }
    bool carries[twist_block], has_zero[twist_block];
    seek(lift, s, points.size(), s.t, carries);
    seek(0, s, points.size(), s.zero_t, has_zero);
    kernel.evaluate(forms, scales, s);
    const bool with_peaks = !two_over_chord_circulation.empty();
    if (with_peaks)
      kernel.find_peaks(two_over_chord_circulation.data(), two_over_chord_circulation.size() / 4, s);
    const auto known = [](bool is, double value) { return is ? std::optional(value) : std::nullopt; };
    for (std::size_t i = 0; i < points.size(); ++i) {
      TwistPoint& p = points[i];
      const bool all = carries[i], has_centre = all && s.has_centre[i] != 0,
                 has_neutral = all && s.has_neutral[i] != 0;
      p.incidence = incidence[i];
      p.twist = twist[i];
      p.alpha = known(all, s.alpha[i]);
      p.lift_slope = known(all, s.lift_slope[i]);
      p.zero_lift_moment = known(all && has_zero[i], s.zero_lift_moment[i]);
      p.pitching_moment_coefficient = known(all, s.pitching_moment[i]);
      p.static_margin = known(has_centre && has_neutral, s.static_margin[i]);
      p.centre_of_lift = known(has_centre, s.centre_of_lift[i]);
      p.neutral_point = known(has_neutral, s.neutral_point[i]);
      p.surface_lift_coefficient = known(all, s.surface_lift[i]);
      p.induced_drag_coefficient = known(all, s.induced_drag[i]);
      p.near_drag_excess = known(all, s.near_drag_excess[i]);
      p.peak_local_lift = known(all && with_peaks, s.peak[i]);
      p.peak_strip = p.peak_local_lift ? static_cast<std::size_t>(s.peak_strip[i]) : 0;
    }
  }

  // Where the kernel finds no angle of attack that carries the lift, angle_for_lift tells whether there is
  // one.
  void seek(double wanted, const TwistBlock& s, std::size_t count, double* t, bool* found) const {
    double by_kernel[twist_block];
    kernel.seek(forms, wanted, s, t, by_kernel);
    for (std::size_t i = 0; i < count; ++i) {
      found[i] = by_kernel[i] != 0;
      if (found[i])
        continue;
      const double turns[2] = {s.a[i], s.b[i]};
      const auto alpha = angle_for_lift(at_turns(force_x, turns), at_turns(force_z, turns), wanted);
      found[i] = alpha.has_value();
      t[i] = std::tan(alpha.value_or(0));
    }
  }
};

TwistPoints::TwistPoints(const Craft& craft, const Responses& responses, const TwistStudy& study) {
  if (study.surface >= craft.surfaces.size() || responses.craft.far_drag.rows != 4)
    throw Error("the responses are not those of this study: make them with twist_responses");
  state_ = std::make_shared<const State>(craft, responses, study);
  size_ = study.incidences.size() * study.twists.size();
}

void TwistPoints::keep_first(std::size_t count) {
  size_ = std::min(size_, count);
}

TwistPoint TwistPoints::operator[](std::size_t index) const {
  TwistPoint point;
  state_->get(index, {&point, 1});
  return point;
}

std::optional<double> TwistPoints::share_of_limit(const TwistPoint& p) const {
  if (!p.alpha || state_->shares.empty())
    return std::nullopt;
  const double along = std::cos(*p.alpha), up = std::sin(*p.alpha);
  double most = 0;
  for (const std::array<double, 4>& s : state_->shares)
    most = std::max(most,
                    std::abs(along * s[0] + up * s[1] +
                             along * (p.incidence - state_->base_incidence) * s[2] + along * p.twist * s[3]));
  return most;
}

void TwistPoints::get(std::size_t first, std::span<TwistPoint> points) const {
  for (std::size_t at = 0; at < points.size(); at += twist_block)
    state_->get(first + at, points.subspan(at, std::min(twist_block, points.size() - at)));
}

void TwistPoints::visit(const std::function<void(std::size_t, std::span<const TwistPoint>)>& visitor) const {
  std::vector<TwistPoint> chunk;
  for (std::size_t first = 0; first < size_; first += chunk.size()) {
    chunk.resize(std::min(chunk_size, size_ - first));
    get(first, chunk);
    visitor(first, chunk);
  }
}

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
  const TwistPoints points(craft, responses, study);
  const std::size_t total = points.size();
  StudySummary summary;
  std::vector<TwistPoint> chunk;
  while (summary.num_points < total) {
    if (control.cancelled()) {
      summary.complete = false;
      break;
    }
    const std::size_t first = summary.num_points, count = std::min(chunk_size, total - first);
    chunk.resize(count);
    pool.for_each((count + twist_block - 1) / twist_block, [&](std::size_t b) {
      const std::size_t at = b * twist_block;
      points.get(first + at, std::span(chunk).subspan(at, std::min(twist_block, count - at)));
    });
    sink(chunk);
    summary.num_points += count;
    if (control.progress)
      control.progress(summary.num_points, total);
  }
  summary.num_factorisations = 1;
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
    const std::size_t index = num_taken++;
    if (!p.induced_drag_coefficient)
      continue;
    if (!free || p.induced_drag_coefficient < free->induced_drag_coefficient)
      free = p, free_index = index;
    if (keeps(limits, p) &&
        (!within_limits || p.induced_drag_coefficient < within_limits->induced_drag_coefficient))
      within_limits = p, within_limits_index = index;
  }
}

} // namespace vlm
