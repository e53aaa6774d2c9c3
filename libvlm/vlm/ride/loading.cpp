#include <vlm/ride/loading.hpp>

#include <cmath>
#include <numbers>

#include <vlm/base/error.hpp>
#include <vlm/shape/millimetres.hpp>

namespace vlm {

Vec3 deck_point(const Deck& deck, double station, double height) {
  const double c = std::cos(deck.angle), s = std::sin(deck.angle);
  return {deck.height * std::tan(deck.mast_rake) + station * c + height * s, 0,
          deck.height - station * s + height * c};
}

double front_foot_share(const Stance& stance, double load_station) {
  return (stance.back - load_station) / (stance.back - stance.front);
}

const char* name_of(Drive::Kind kind) {
  switch (kind) {
  case Drive::Kind::coasting:
    return "coasting";
  case Drive::Kind::wave:
    return "wave";
  case Drive::Kind::pull:
    return "pull";
  case Drive::Kind::motor:
    return "motor";
  }
  return "";
}

Inertia inertia(const Loading& loading, double load_station, RiderHold hold, double pitch, double lean) {
  const Rider& rider = loading.rider;
  const bool rigid = hold == RiderHold::rigid;
  Inertia sum;
  Vec3 moment;
  const auto each = [&](const auto& visit) {
    const double c = std::cos(pitch), s = std::sin(pitch), up = rigid ? rider.centre_height : 0,
                 aft = rigid ? lean : 0;
    visit(rider.mass, deck_point(loading.deck, load_station) + Vec3{aft * c - up * s, 0, aft * s + up * c},
          rigid ? rider.pitch_inertia : 0.0);
    for (const Mass& m : loading.masses)
      visit(m.mass, m.centre, m.pitch_inertia);
  };
  each([&](double mass, const Vec3& centre, double) {
    sum.mass += mass;
    moment = moment + mass * centre;
  });
  sum.centre = (1 / sum.mass) * moment;
  each([&](double mass, const Vec3& centre, double own) {
    const Vec3 arm = centre - sum.centre;
    sum.pitch += own + mass * (arm.x * arm.x + arm.z * arm.z);
  });
  return sum;
}

double carried_mass(const Loading& loading, double density) {
  double sum = loading.rider.mass;
  for (const Mass& m : loading.masses)
    sum += m.mass - density * m.displaced_volume;
  return sum;
}

void check(const Loading& loading, double density) {
  const auto refuse = [](const std::string& what, double found, const std::string& wanted) {
    throw Error(what + ": found " + (std::isfinite(found) ? figure(found) : "no finite number") +
                ", wanted " + wanted);
  };
  const auto above_zero = [&](const std::string& what, double x) {
    if (!(x > 0) || !std::isfinite(x))
      refuse(what, x, "a number above 0");
  };
  const auto not_negative = [&](const std::string& what, double x) {
    if (!(x >= 0) || !std::isfinite(x))
      refuse(what, x, "a number not below 0");
  };
  const auto finite = [&](const std::string& what, double x) {
    if (!std::isfinite(x))
      refuse(what, x, "a finite number");
  };
  above_zero("mass of the rider [kg]", loading.rider.mass);
  not_negative("height of the rider's centre over the deck [m]", loading.rider.centre_height);
  not_negative("pitch inertia of the rider [kg m2]", loading.rider.pitch_inertia);
  above_zero("height of the deck over the origin [m]", loading.deck.height);
  constexpr double steepest = std::numbers::pi / 4;
  for (const auto& [what, angle] : {std::pair{"angle of the deck [rad]", loading.deck.angle},
                                    std::pair{"rake of the mast [rad]", loading.deck.mast_rake}})
    if (!(std::abs(angle) <= steepest))
      refuse(what, angle, "one within " + figure(steepest));
  for (const Mass& m : loading.masses) {
    not_negative("mass \"" + m.name + "\" [kg]", m.mass);
    not_negative("displaced volume of mass \"" + m.name + "\" [m3]", m.displaced_volume);
    not_negative("pitch inertia of mass \"" + m.name + "\" [kg m2]", m.pitch_inertia);
    for (const double x : {m.centre.x, m.centre.y, m.centre.z})
      finite("centre of mass \"" + m.name + "\" [m]", x);
  }
  if (const auto& stance = loading.stance) {
    finite("front foot [m]", stance->front);
    finite("back foot [m]", stance->back);
    if (!(stance->front < stance->back))
      refuse("front foot [m aft of the mast axis]", stance->front,
             "it ahead of the back foot, which is at " + figure(stance->back));
  }
  const Drive& drive = loading.drive;
  constexpr double across = std::numbers::pi / 2;
  if (!(std::abs(drive.angle) < across))
    refuse("angle of the drive [rad]", drive.angle,
           "one within " + figure(across) + ", so that it drives forward");
  finite("height of the pull [m]", drive.height);
  if (drive.station)
    finite("station of the pull [m]", *drive.station);
  if (drive.greatest_force)
    above_zero("greatest force of the drive [N]", *drive.greatest_force);
  if (drive.greatest_power)
    above_zero("greatest power of the drive [W]", *drive.greatest_power);
  if (carried_mass(loading, density) <= 0)
    refuse("mass carried, less the water displaced [kg]", carried_mass(loading, density),
           "one above 0: it floats, so there is nothing to lift");
}

} // namespace vlm
