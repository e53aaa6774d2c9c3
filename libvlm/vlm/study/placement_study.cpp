#include <vlm/study/placement_study.hpp>

#include <algorithm>
#include <array>
#include <cmath>

#include <vlm/base/error.hpp>
#include <vlm/flow/still_part.hpp>
#include <vlm/force/span_loading.hpp>
#include <vlm/shape/millimetres.hpp>
#include <vlm/study/bracket.hpp>

namespace vlm {
namespace {

// Whether some strip of a surface ends on the fuselage.
bool meets_fuselage(const Lattice& lattice, std::size_t surface) {
  return std::any_of(lattice.strips.begin(), lattice.strips.end(), [&](const Strip& strip) {
    const Row& row = lattice.rows[strip.row];
    return strip.surface == surface && (on_body(row.ends[0]) || on_body(row.ends[1]));
  });
}

void check_beside_fuselage(const Surface& surface, const Fuselage& fuselage) {
  double from = 0, to = 0;
  bool first = true;
  for (const Station& station : surface.stations) {
    const double edge = surface.position.x + station.leading_edge;
    from = first ? edge : std::min(from, edge);
    to = first ? edge + station.chord : std::max(to, edge + station.chord);
    first = false;
  }
  const double nose = fuselage.cuts.front().x, tail = fuselage.cuts.back().x;
  if (to <= nose || from >= tail)
    throw Error("surface '" + surface.name + "' reaches from x = " + millimetres(from) + " to " +
                millimetres(to) + " mm, off the fuselage, which reaches from " + millimetres(nose) + " to " +
                millimetres(tail) + " mm: move it less, or make the fuselage longer");
}

// One place of the grid, solved.
class Place {
public:
  Place(const Ride& ride, const PlacementStudy& study, const Placement& placement, StillPart* still,
        ThreadPool& pool)
      : study_(study), ride_(ride_at(ride, study.surface, placement)),
        drawn_incidence_(ride.craft.surfaces[study.surface].incidence),
        trimmed_(craft_to_trim(study.speed, make_responses(ride_.craft, ride_.lattice, study.wake_angle,
                                                           std::array{TurnShape{study.surface, std::nullopt}},
                                                           pool, Motions::all, still))),
        volume_(ride_.craft.surfaces[study.surface].name == ride_.craft.reference_surface
                    ? std::nullopt
                    : std::optional(tail_volume(ride_.craft, study.surface))) {}

  const FlowSystem& system() const { return trimmed_.responses.system; }

  void fill(PlacementPoint& p) {
    const std::array<double, 1> turn{p.incidence - drawn_incidence_};
    const Lattice& lattice = system().lattice();
    if (ride_.craft.fuselage)
      p.on_fuselage = meets_fuselage(lattice, study_.surface);
    p.volume = volume_;
    if (study_.lift)
      carry_at_wake(trimmed_, ride_, *study_.lift, turn);
    else
      trim_at_wake(trimmed_, ride_, turn);
    const TrimmedCraft& t = trimmed_;
    p.handling = study_.lift ? handling_without_loading(ride_, t, turn) : steady_handling(ride_, t, turn);
    p.state = t.state;
    p.induced_drag = t.point.induced_drag_coefficient * t.responses.pressure_area * t.speed * t.speed;
    p.lift_to_drag = t.drag.lift_to_drag;
    if (!study_.lift && ride_.loading.stance)
      p.front_foot_share = vlm::front_foot_share(*ride_.loading.stance, t.state.load_station);
    p.centre_of_lift = t.point.centre_of_lift;
    p.parts = parts_of(ride_, t);
    p.greatest_lift = placed_strip(lattice, greatest_local_lift(t));
    if (const auto hardest = nearest_to_limit(ride_.craft, t))
      p.nearest_limit = placed_strip(lattice, *hardest);
    const std::vector<double> local = span_loading(lattice, t.point.strip_circulation, 1, 1).lift_coefficient;
    p.surface_local_lift = 0;
    for (std::size_t j = 0; j < local.size(); ++j)
      if (lattice.strips[j].surface == study_.surface && std::abs(local[j]) > std::abs(p.surface_local_lift))
        p.surface_local_lift = local[j];
  }

private:
  static Ride ride_at(const Ride& ride, std::size_t surface, const Placement& placement) {
    Ride changed = ride;
    changed.craft = placed(ride.craft, surface, placement);
    return changed;
  }

  const PlacementStudy& study_;
  Ride ride_;
  double drawn_incidence_;
  TrimmedCraft trimmed_;
  std::optional<double> volume_;
};

// All that does not move when the surface does, found by moving it a little.
std::optional<StillPart> still_part(const Ride& ride, const PlacementStudy& study) {
  constexpr double little = 1e-4; // [m]
  const auto cut_at = [&](const Placement& placement) {
    return make_lattice(placed(ride.craft, study.surface, placement), ride.lattice, study.wake_angle);
  };
  try {
    return StillPart(cut_at({}), cut_at({little, 0, 1}), wake_along_stream(study.wake_angle));
  } catch (const Error&) {
    return std::nullopt; // of a craft that cannot be there, other places are each solved afresh
  }
}

bool within(const std::optional<double>& from, const std::optional<double>& to,
            const std::optional<double>& figure) {
  if (!from && !to)
    return true;
  return figure && !(from && *figure < *from) && !(to && *figure > *to);
}

} // namespace

Craft placed(const Craft& craft, std::size_t surface, const Placement& placement) {
  if (surface >= craft.surfaces.size())
    throw Error("surface to place: found index " + std::to_string(surface) + ", wanted one below " +
                std::to_string(craft.surfaces.size()));
  for (const Joint& joint : joints(craft))
    if (joint.surface_a == surface || joint.surface_b == surface)
      throw Error("surface '" + craft.surfaces[surface].name + "' is joined to '" +
                  craft.surfaces[joint.surface_a == surface ? joint.surface_b : joint.surface_a].name +
                  "', wanted one that stands by itself: it is to be moved alone");
  if (!(placement.area > 0))
    throw Error("area of '" + craft.surfaces[surface].name + "': found " +
                std::to_string(100 * placement.area) + " % of that drawn, wanted a number above 0");
  Craft changed = craft;
  Surface& moved = changed.surfaces[surface];
  if (placement.area != 1)
    moved = stretched(moved, placement.area * outline_figures(moved).area, std::nullopt);
  moved.position.x += placement.aft;
  moved.position.z += placement.up;
  if (changed.fuselage)
    check_beside_fuselage(moved, *changed.fuselage);
  return changed;
}

double tail_volume(const Craft& craft, std::size_t surface) {
  const auto figures = [&](std::size_t i) { return outline_figures(craft.surfaces[i]); };
  const auto quarter = [](const OutlineFigures& f) { return f.mean_chord_leading_edge.x + f.mean_chord / 4; };
  const OutlineFigures wing = figures(surface_index(craft, craft.reference_surface)),
                       placed_surface = figures(surface);
  return placed_surface.area * (quarter(placed_surface) - quarter(wing)) / (wing.area * wing.mean_chord);
}

OperatingWake wake_as_drawn(const Ride& ride, double speed, std::optional<double> lift, ThreadPool& pool) {
  if (ride.wake.along == WakeChoice::Along::body)
    return {};
  if (ride.wake.angle)
    return {*ride.wake.angle, 0, 0};
  if (lift)
    return operating_wake(
        ride.craft, ride.lattice, ride.wake,
        *lift / (0.5 * ride.craft.water.density * speed * speed * reference(ride.craft).area), pool);
  const TrimmedCraft t = trimmed_craft(ride, speed, pool);
  return {t.state.alpha, t.num_factorisations, t.num_solves};
}

StudySummary run_placement_study(const Ride& ride, const PlacementStudy& study, const PlacementSink& sink,
                                 const RunControl& control, ThreadPool& pool) {
  if (study.num_points() == 0)
    throw Error("places, areas or incidences: found none, wanted one or more of each");
  if (!(study.speed > 0) || !std::isfinite(study.speed))
    throw Error("speed: found " + std::to_string(study.speed) + " m/s, wanted one above 0");
  placed(ride.craft, study.surface, {}); // refuses a surface that cannot be moved at all
  std::optional<StillPart> still = still_part(ride, study);
  StudySummary summary;
  for (const double aft : study.aft)
    for (const double up : study.up)
      for (const double area : study.area) {
        if (control.cancelled()) {
          summary.complete = false;
          return summary;
        }
        std::optional<Place> place;
        std::string refusal;
        try {
          place.emplace(ride, study, Placement{aft, up, area}, still ? &*still : nullptr, pool);
        } catch (const Error& error) {
          refusal = error.what();
        }
        for (const double incidence : study.incidences) {
          PlacementPoint p;
          p.placement = {aft, up, area};
          p.incidence = incidence;
          p.refusal = refusal;
          if (place)
            try {
              place->fill(p);
            } catch (const Error& error) {
              p.refusal = error.what();
            }
          sink(p);
        }
        if (place) {
          ++summary.num_factorisations;
          summary.num_solves += place->system().num_solves();
        }
        summary.num_points += study.incidences.size();
        if (control.progress)
          control.progress(summary.num_points, study.num_points());
      }
  return summary;
}

std::vector<PlacementPoint> placement_study_without_image(const Ride& ride, const PlacementStudy& study,
                                                          const RunControl& control, ThreadPool& pool) {
  const auto bare = without_image(ride.craft, study.speed);
  if (!bare)
    return {};
  Ride unmirrored = ride;
  unmirrored.craft = *bare;
  std::vector<PlacementPoint> points;
  const StudySummary summary = run_placement_study(
      unmirrored, study, [&](const PlacementPoint& p) { points.push_back(p); }, {{}, control.cancel}, pool);
  return summary.complete ? points : std::vector<PlacementPoint>();
}

bool keeps(const PlacementLimits& limits, const PlacementPoint& p) {
  return p.solved() && within(limits.centre_from, limits.centre_to, p.centre_of_lift) &&
         within(limits.station_from, limits.station_to, p.state.load_station) &&
         within(limits.least_margin, std::nullopt, p.handling.static_margin);
}

PlacementMarks placement_marks(const PlacementStudy& study, std::span<const PlacementPoint> points,
                               const PlacementLimits& limits) {
  PlacementMarks marks;
  const auto take = [&](std::optional<std::size_t>& best, std::size_t i) {
    if (!best || points[i].state.drag < points[*best].state.drag)
      best = i;
  };
  for (std::size_t i = 0; i < points.size(); ++i) {
    if (!points[i].solved())
      continue;
    take(marks.least_drag, i);
    if (limits.any() && keeps(limits, points[i]))
      take(marks.within_limits, i);
  }
  if (marks.least_drag && points.size() == study.num_points()) {
    std::size_t place = *marks.least_drag;
    for (const std::size_t count :
         {study.incidences.size(), study.area.size(), study.up.size(), study.aft.size()}) {
      const std::size_t at = place % count;
      marks.on_border = marks.on_border || (count > 1 && (at == 0 || at + 1 == count));
      place /= count;
    }
  }
  return marks;
}

} // namespace vlm
