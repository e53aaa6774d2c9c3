#include <vlm/study/comparison.hpp>

#include <algorithm>
#include <array>
#include <cmath>
#include <numeric>

#include <vlm/base/error.hpp>
#include <vlm/force/lift_limit.hpp>
#include <vlm/study/bracket.hpp>

namespace vlm {
namespace {

void check_range(std::span<const Ride> rides, const ComparisonChoice& choice) {
  if (rides.size() < 2)
    throw Error("a range with one craft: found " + std::string(rides.empty() ? "no case" : "one case") +
                ", wanted two or more");
  for (std::size_t i = 0; i < rides.size(); ++i)
    for (std::size_t k = 0; k < i; ++k)
      if (rides[i].craft.title == rides[k].craft.title)
        throw Error("title: found '" + rides[i].craft.title +
                    "' twice, wanted a title of its own for each craft");
  if (choice.speeds.empty() || !(choice.speed > 0))
    throw Error("speeds: found none, wanted one common to all and at least one to balance them at");
}

// Balance and handling at the common speed.
void balance_at(ComparedCraft& c, const Ride& ride, double speed, ThreadPool& pool) {
  trim_at_speeds(
      ride, std::array{speed},
      [&](const TrimPoint& p) {
        c.refusal = p.refusal;
        if (p.solved())
          c.balanced = p;
      },
      {}, pool);
  if (!c.balanced)
    return;
  const TrimPoint& p = *c.balanced;
  c.handling =
      steady_handling(ride.craft, ride.lattice, ride.drag, ride.loading,
                      {speed, p.state.alpha, p.state.load_station, p.wake_angle, p.state.lean}, pool);
}

void set_speeds(ComparedCraft& c, const Ride& ride, const std::vector<double>& speeds,
                const RunControl& control, ThreadPool& pool) {
  trim_at_speeds(
      ride, speeds, [&](const TrimPoint& p) { c.points.push_back(p); }, control, pool);
  if (const auto known = solved_figures(c.points); !known.empty() && !control.cancelled())
    c.marks = speed_marks(ride, known, control, pool);
}

Responses responses_at(const Ride& ride, double alpha, ThreadPool& pool) {
  const double wake = ride.wake.along == WakeChoice::Along::body ? 0 : ride.wake.angle.value_or(alpha);
  return make_responses(ride.craft, ride.lattice, wake, {}, pool);
}

void lift_at_angle(ComparedCraft& c, const Ride& ride, double speed, double alpha, ThreadPool& pool) {
  const Responses r = responses_at(ride, alpha, pool);
  const PolarPoint p = polar_point(r, {alpha});
  c.lift = p.lift_coefficient * r.pressure_area * speed * speed;
  const Lattice& lattice = r.system.lattice();
  if (const auto hardest = nearest_to_limit(lift_limits(ride.craft, lattice), lattice, p.strip_circulation))
    c.share_of_limit = hardest->share;
}

bool image_fails(const ComparedCraft& c, const Craft& craft, double speed) {
  const auto fails = [&](double v) { return needs_bracket(craft, v); };
  if (fails(speed))
    return true;
  for (const TrimPoint& p : c.points)
    if (p.solved() && fails(p.speed))
      return true;
  if (c.marks)
    for (const SpeedMark* mark :
         {&c.marks->take_off, &c.marks->best_glide, &c.marks->least_power, &c.marks->top})
      if (mark->at && fails(mark->at->speed))
        return true;
  return false;
}

void set_places(std::span<ComparedCraft> crafts, double track) {
  const ComparedCraft& first = crafts.front();
  for (ComparedCraft& c : crafts) {
    std::vector<double> reference, stations;
    std::vector<std::size_t> at;
    for (std::size_t i = 0; i < c.points.size(); ++i)
      if (c.points[i].solved() && first.points[i].solved()) {
        reference.push_back(first.points[i].state.load_station);
        stations.push_back(c.points[i].state.load_station);
        at.push_back(i);
      }
    if (at.empty())
      continue;
    const MastTrack found = mast_track(track, reference, stations);
    TrackPlace place{std::vector<std::optional<double>>(c.points.size()), found.recommended, found.worst};
    for (std::size_t k = 0; k < at.size(); ++k)
      place.positions[at[k]] = found.positions[k];
    c.place = place;
  }
}

// Marks the steps of one figure that are uneven.
void mark_uneven(std::span<ComparedCraft> crafts, std::optional<double> RangeStep::*figure,
                 bool RangeStep::*uneven) {
  double sum = 0;
  int number = 0;
  for (const ComparedCraft& c : crafts)
    if (c.step && (*c.step).*figure)
      sum += *((*c.step).*figure), ++number;
  if (number == 0)
    return;
  const double mean = sum / number;
  for (ComparedCraft& c : crafts)
    if (c.step && (*c.step).*figure) {
      const double step = *((*c.step).*figure);
      // Of a mean of 0 nothing is even but a step of 0.
      (*c.step).*uneven = step * mean < 0 || std::abs(step) > uneven_step * std::abs(mean) ||
                          std::abs(step) < std::abs(mean) / uneven_step;
    }
}

std::optional<double> take_off_speed(const ComparedCraft& c) {
  return c.marks && c.marks->take_off.at ? std::optional(c.marks->take_off.at->speed) : std::nullopt;
}

void set_step(std::span<ComparedCraft> crafts, std::size_t larger, std::size_t smaller) {
  ComparedCraft& c = crafts[larger];
  RangeStep step;
  step.smaller = smaller;
  step.lift = c.lift - crafts[smaller].lift;
  const auto here = take_off_speed(c), there = take_off_speed(crafts[smaller]);
  if (here && there)
    step.take_off = *here - *there;
  c.step = step;
}

} // namespace

double lift_at(const Ride& ride, double speed, double alpha, ThreadPool& pool) {
  const Responses r = responses_at(ride, alpha, pool);
  return polar_point(r, {alpha}).lift_coefficient * r.pressure_area * speed * speed;
}

double equal_lift_area(const Ride& ride, double lift, double speed, double alpha, ThreadPool& pool) {
  const std::size_t reference = surface_index(ride.craft, ride.craft.reference_surface);
  const double drawn = outline_figures(ride.craft.surfaces[reference]).area;
  const auto lift_of = [&](double area) {
    Ride changed = ride;
    Surface& surface = changed.craft.surfaces[reference];
    surface = stretched(surface, area, std::nullopt);
    check(changed.craft);
    return lift_at(changed, speed, alpha, pool);
  };
  // Lift grows nearly with the area.
  double area = drawn, before = 0, found_before = 0;
  for (int i = 0; i < 20; ++i) {
    const double found = lift_of(area);
    if (std::abs(found - lift) <= 1e-9 * std::abs(lift))
      return area;
    const double next = area + (lift - found) * (area - before) / (found - found_before);
    if (!(next > 0.1 * drawn && next < 10 * drawn))
      throw Error("no area from a tenth to ten times its own lifts like the first craft");
    before = area, found_before = found, area = next;
  }
  throw Error("the area that lifts like the first craft does not settle", ErrorKind::run);
}

void set_steps(std::span<ComparedCraft> crafts) {
  std::vector<std::size_t> order(crafts.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
    return crafts[a].outline.area < crafts[b].outline.area;
  });
  // Crafts of one size, however rounding sorts them, step from the first given of the next smaller size.
  std::optional<std::size_t> next_smaller;
  for (std::size_t k = 0; k < order.size();) {
    const double area = crafts[order[k]].outline.area;
    std::size_t end = k, first = order[k];
    for (; end < order.size() && crafts[order[end]].outline.area <= area * (1 + equal_areas); ++end)
      first = std::min(first, order[end]);
    for (; k < end; ++k)
      if (next_smaller)
        set_step(crafts, order[k], *next_smaller);
    next_smaller = first;
  }
  mark_uneven(crafts, &RangeStep::take_off, &RangeStep::uneven_take_off);
  mark_uneven(crafts, &RangeStep::lift, &RangeStep::uneven_lift);
}

Comparison compare(std::span<const Ride> rides, const ComparisonChoice& choice, const RunControl& control,
                   ThreadPool& pool) {
  check_range(rides, choice);
  std::vector<Stabilizer> old_family;
  if (!choice.new_family.empty())
    for (const Ride& ride : rides)
      old_family.push_back(stabilizer_of(ride));
  Comparison result;
  RunControl silent = control;
  silent.progress = nullptr;
  for (const Ride& ride : rides) {
    ComparedCraft c;
    c.outline = outline_figures(ride.craft.surfaces[surface_index(ride.craft, ride.craft.reference_surface)]);
    c.carried_mass = carried_mass(ride.loading, ride.craft.water.density);
    balance_at(c, ride, choice.speed, pool);
    if (result.crafts.empty()) {
      if (!choice.angle && !c.balanced)
        throw Error("angle: found no balance of '" + ride.craft.title +
                    "' at the common speed to take it from, wanted an angle, or another speed: " + c.refusal);
      result.angle = choice.angle ? *choice.angle : c.balanced->state.alpha;
    }
    lift_at_angle(c, ride, choice.speed, result.angle, pool);
    try {
      c.equal_area = equal_lift_area(ride, result.crafts.empty() ? c.lift : result.crafts.front().lift,
                                     choice.speed, result.angle, pool);
    } catch (const Error& error) {
      c.equal_area_refusal = error.what();
    }
    set_speeds(c, ride, choice.speeds, silent, pool);
    if (control.cancelled()) {
      result.complete = false;
      return result;
    }
    c.image_fails = image_fails(c, ride.craft, choice.speed);
    result.crafts.push_back(std::move(c));
    if (control.progress)
      control.progress(result.crafts.size(), rides.size());
  }
  set_steps(result.crafts);
  if (choice.track)
    set_places(result.crafts, *choice.track);
  if (!choice.new_family.empty()) {
    const auto swaps = swap_stabilizers(rides.front(), old_family, choice.new_family, choice.speed, pool);
    for (std::size_t i = 0; i < swaps.size(); ++i)
      result.crafts[i].swap = swaps[i];
  }
  return result;
}

} // namespace vlm
