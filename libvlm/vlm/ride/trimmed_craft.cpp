#include <vlm/ride/trimmed_craft.hpp>

#include <cmath>

#include <vlm/base/error.hpp>
#include <vlm/base/gravity.hpp>
#include <vlm/force/span_loading.hpp>

namespace vlm {
namespace {

std::string metres_per_second(double speed) {
  std::string text = std::to_string(speed);
  text.erase(text.find_last_not_of('0') + 1);
  if (text.back() == '.')
    text.pop_back();
  return text + " m/s";
}

// Where the lift can be had, it is the drag that cannot be balanced with the feet on the deck; it comes up to
// the weight where the craft is fast.
[[noreturn]] void refuse_speed(const Ride& ride, const PlaneForms& forms, double speed) {
  const double carried = carried_mass(ride.loading, ride.craft.water.density);
  if (angle_for_lift(forms.x, forms.z, carried * standard_gravity / (speed * speed)))
    throw Error(
        "the drag at " + metres_per_second(speed) +
        " is not balanced with the feet on the deck, whatever the angle of attack: go slower, or give "
        "another [drive]");
  throw Error("no angle of attack within ±28 degrees balances " + std::to_string(std::lround(carried)) +
              " kg at " + metres_per_second(speed) +
              " with the feet on the deck: go faster, carry less or take a larger craft");
}

PolarPoint point_at(const Responses& responses, const TrimState& state, std::span<const double> amplitudes) {
  return polar_point(responses, {state.alpha, 0, {}}, amplitudes);
}

// Of a point found.
void set_drag(TrimmedCraft& t, const Ride& ride) {
  t.drag = drag_breakdown(ride.craft, t.responses.system.lattice(), ride.body, ride.drag, t.point, t.speed);
  t.other = other_drag(t.drag.items);
}

} // namespace

Ride make_ride(const Craft& craft, const LatticeOptions& lattice, const WakeChoice& wake,
               const DragChoice& drag, const Loading& loading) {
  check(craft);
  check(loading, craft.water.density);
  if (craft.still_surface.bank != 0)
    throw Error("bank: found one, wanted none, for trim is in the plane of symmetry");
  return {craft, lattice, wake, drag, loading, body_figures(craft)};
}

Ride at_load_factor(Ride ride, double load_factor) {
  ride.loading.rider.mass *= load_factor;
  for (Mass& m : ride.loading.masses)
    m.mass *= load_factor;
  return ride;
}

// Other drag depends on the angle where sections have polars of their own, and by waves.
void trim_at_wake(TrimmedCraft& t, const Ride& ride, std::span<const double> amplitudes) {
  const double density = ride.craft.water.density;
  t.forms = plane_forms(t.responses, amplitudes);
  for (int i = 0; i < 20; ++i) {
    const auto state = trim(t.forms, ride.loading, t.other, density, t.speed);
    if (!state)
      refuse_speed(ride, t.forms, t.speed);
    const double before = t.other.drag, step = std::abs(state->alpha - t.state.alpha);
    t.state = *state;
    t.point = point_at(t.responses, t.state, amplitudes);
    set_drag(t, ride);
    if (step < 1e-12 && std::abs(t.other.drag - before) <= 1e-12 * t.state.drag)
      return;
  }
  throw Error("trim at " + metres_per_second(t.speed) +
                  " does not settle between angle of attack and section drag: give the drag tables smoother "
                  "steps",
              ErrorKind::run);
}

void carry_at_wake(TrimmedCraft& t, const Ride& ride, double lift, std::span<const double> amplitudes) {
  t.forms = plane_forms(t.responses, amplitudes);
  const auto alpha = angle_for_lift(t.forms.x, t.forms.z, lift / (t.speed * t.speed));
  if (!alpha)
    throw Error("no angle of attack within ±28 degrees carries " + std::to_string(std::lround(lift)) +
                " N at " + metres_per_second(t.speed) + ": go faster, carry less or take a larger craft");
  t.state = {};
  t.state.alpha = *alpha, t.state.lift = lift;
  t.point = point_at(t.responses, t.state, amplitudes);
  set_drag(t, ride);
  t.state.drag = t.drag.total;
}

TrimmedCraft craft_to_trim(double speed, Responses responses) {
  return {speed, std::move(responses), {}, {}, {}, {}, {}, 0, 0};
}

TrimmedCraft trimmed_craft(const Ride& ride, double speed, ThreadPool& pool, double guess,
                           std::span<const TurnShape> turns, std::span<const double> amplitudes) {
  if (!(speed > 0) || !std::isfinite(speed))
    throw Error("speed: found " + std::to_string(speed) + " m/s, wanted one above 0");
  std::size_t factorisations = 0, solves = 0;
  const auto solve = [&](double wake_angle) {
    TrimmedCraft t = craft_to_trim(speed, make_responses(ride.craft, ride.lattice, wake_angle, turns, pool));
    trim_at_wake(t, ride, amplitudes);
    ++factorisations;
    solves += t.responses.system.num_solves();
    t.num_factorisations = factorisations, t.num_solves = solves;
    return t;
  };
  if (ride.wake.along == WakeChoice::Along::body)
    return solve(0);
  if (ride.wake.angle)
    return solve(*ride.wake.angle);

  // The angle that comes out of a wake laid at an angle: sought where both are the same, by secants.
  double wake = guess, wake_before = 0, out_before = 0;
  for (int i = 0; i < 12; ++i) {
    TrimmedCraft t = solve(wake);
    const double out = t.state.alpha;
    if (std::abs(out - wake) < 1e-6)
      return t;
    double next = out;
    if (i > 0) {
      const double slope = (out - out_before) / (wake - wake_before);
      if (std::abs(slope) < 0.5)
        next = wake + (out - wake) / (1 - slope);
    }
    wake_before = wake, out_before = out, wake = next;
  }
  throw Error("the angle of attack at " + metres_per_second(speed) +
                  " does not settle while the wake is laid along it: give the wake's angle",
              ErrorKind::run);
}

HardestStrip greatest_local_lift(const TrimmedCraft& t) {
  const std::vector<double> local =
      span_loading(t.responses.system.lattice(), t.point.strip_circulation, 1, 1).lift_coefficient;
  HardestStrip hardest;
  for (std::size_t j = 0; j < local.size(); ++j)
    if (std::abs(local[j]) > harder * std::abs(hardest.lift_coefficient))
      hardest = {j, local[j], 0};
  return hardest;
}

std::optional<HardestStrip> nearest_to_limit(const Craft& craft, const TrimmedCraft& t) {
  const Lattice& lattice = t.responses.system.lattice();
  return nearest_to_limit(lift_limits(craft, lattice), lattice, t.point.strip_circulation);
}

} // namespace vlm
