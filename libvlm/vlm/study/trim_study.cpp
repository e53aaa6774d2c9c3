#include <vlm/study/trim_study.hpp>

#include <algorithm>

#include <vlm/base/error.hpp>
#include <vlm/force/wave_drag.hpp>
#include <vlm/study/at_speeds.hpp>
#include <vlm/study/bracket.hpp>

namespace vlm {
namespace {

TrimPoint point_of(const Ride& ride, const TrimmedCraft& t) {
  const Lattice& lattice = t.responses.system.lattice();
  TrimPoint p;
  p.speed = t.speed;
  p.state = t.state;
  p.wake_angle = t.responses.wake_angle;
  p.figures = speed_figures(ride.craft, t);
  p.lift_to_drag = t.drag.lift_to_drag;
  if (ride.loading.stance)
    p.front_foot_share = front_foot_share(*ride.loading.stance, t.state.load_station);
  p.parts = parts_of(ride, t);
  p.greatest_lift = placed_strip(lattice, greatest_local_lift(t));
  if (const auto hardest = nearest_to_limit(ride.craft, t))
    p.nearest_limit = placed_strip(lattice, *hardest);
  p.strip_circulation = t.point.strip_circulation;
  return p;
}

} // namespace

PlacedStrip placed_strip(const Lattice& lattice, const HardestStrip& hardest) {
  const Strip& strip = lattice.strips[hardest.strip];
  return {hardest, strip.surface, strip.leading_edge.y};
}

std::vector<PartTrim> parts_of(const Ride& ride, const TrimmedCraft& t) {
  const double unit = t.responses.pressure_area * t.speed * t.speed;
  const std::vector<std::string> names = part_names(ride.craft);
  std::vector<PartTrim> parts;
  for (std::size_t k = 0; k < names.size(); ++k) {
    PartTrim part{t.point.parts[k].lift * unit, 0, {}};
    for (const DragItem& item : t.drag.items) // "stabilizer", "stabilizer - fuselage"
      if (item.part == names[k] || item.part.starts_with(names[k] + " - "))
        part.drag += item.drag;
    if (t.drag.total > no_force * unit)
      part.drag_share = part.drag / t.drag.total;
    parts.push_back(part);
  }
  return parts;
}

StudySummary trim_at_speeds(const Ride& ride, std::span<const double> speeds, const TrimSink& sink,
                            const RunControl& control, ThreadPool& pool) {
  StudySummary summary;
  double guess = 0.05;
  const auto count = [&](const TrimmedCraft& t) {
    summary.num_factorisations += t.num_factorisations;
    summary.num_solves += t.num_solves;
  };
  const auto fill = [&](double speed, TrimPoint& p) {
    p.speed = speed;
    const TrimmedCraft t = trimmed_craft(ride, speed, pool, guess);
    count(t);
    guess = t.state.alpha;
    p = point_of(ride, t);
    const auto deep = without_image(ride.craft, speed);
    if (!deep)
      return;
    std::vector<double> circulation = p.strip_circulation;
    for (double& gamma : circulation)
      gamma *= speed;
    p.two_dimensional_waves =
        two_dimensional_wave_drag(t.responses.system.lattice(), circulation, speed, ride.craft.water.density);
    Ride unmirrored = ride;
    unmirrored.craft = *deep;
    try {
      const TrimmedCraft bare = trimmed_craft(unmirrored, speed, pool, guess);
      count(bare);
      p.without_image = bare.state;
    } catch (const Error&) {
      // No balance without the image, and the table says so.
    }
  };
  at_speeds<TrimPoint>(speeds, summary, control, fill, sink);
  return summary;
}

std::vector<SpeedFigures> solved_figures(std::span<const TrimPoint> points) {
  std::vector<SpeedFigures> figures;
  for (const TrimPoint& p : points)
    if (p.solved())
      figures.push_back(p.figures);
  std::sort(figures.begin(), figures.end(),
            [](const SpeedFigures& a, const SpeedFigures& b) { return a.speed < b.speed; });
  return figures;
}

} // namespace vlm
