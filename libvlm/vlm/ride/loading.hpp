#pragma once

#include <optional>
#include <string>
#include <vector>

#include <vlm/base/vec3.hpp>

namespace vlm {

/// A thing that rides along: board, mast, foil, kit.
struct Mass {
  std::string name;            ///< for output
  double mass = 0;             ///< [kg]
  Vec3 centre;                 ///< [m], geometry axes
  double displaced_volume = 0; ///< [m³] of water while riding; its buoyancy acts at the centre
  double pitch_inertia = 0;    ///< [kg·m²] about its own centre, of the y axis

  friend bool operator==(const Mass&, const Mass&) = default;
};

/// The board's deck: a plane across the craft's plane of symmetry, on which the rider stands.
struct Deck {
  double height = 0;    ///< [m] over the origin, where the mast axis meets it
  double angle = 0;     ///< [rad] to the x axis, nose-up positive
  double mast_rake = 0; ///< [rad] of the mast axis to the z axis, top aft positive

  friend bool operator==(const Deck&, const Deck&) = default;
};

/// A point over the deck [m], geometry axes. station: along the deck aft of the mast axis [m]; height: across
/// it [m].
Vec3 deck_point(const Deck&, double station, double height = 0);

/// Where the feet stand: along the deck aft of the mast axis, front < back.
struct Stance {
  double front = 0; ///< the front foot [m]
  double back = 0;  ///< the back foot [m]

  friend bool operator==(const Stance&, const Stance&) = default;
};

/// Share of the load that the front foot bears when its resultant acts at a station [m]; outside 0 to 1 the
/// feet cannot hold it without straps.
double front_foot_share(const Stance&, double load_station);

/// Who stands on the deck.
struct Rider {
  double mass = 0;          ///< [kg]
  double centre_height = 0; ///< [m] of the centre of mass over the deck
  double pitch_inertia = 0; ///< [kg·m²] about the own centre of mass

  friend bool operator==(const Rider&, const Rider&) = default;
};

/// What keeps the craft going.
struct Drive {
  /// What pushes or pulls.
  enum class Kind {
    coasting, ///< nothing: it slows down on flat water
    wave,     ///< the face of a wave that it runs down
    pull,     ///< a line, from ahead
    motor,    ///< a propeller or jet on the fuselage
  };
  Kind kind = Kind::coasting; ///< what does
  double angle = 0; ///< [rad] of the force; pull: over the direction of travel; motor: nose-up, to the x axis
  double height = 0;             ///< [m] of a pull over the deck
  std::optional<double> station; ///< [m] along the deck aft of the mast axis, where a pull is made fast to
                                 ///< the board; unset: the rider holds it, and it comes in through the feet
  Vec3 position;                 ///< [m] of a motor, geometry axes
  std::optional<double> greatest_force; ///< [N]; unset: no bound
  std::optional<double> greatest_power; ///< [W], force times speed along the travel; unset: no bound

  friend bool operator==(const Drive&, const Drive&) = default;
};

/// "coasting", "wave", "pull" or "motor", as in a case file.
const char* name_of(Drive::Kind);

/// All that the foil carries, and what drives it.
struct Loading {
  Rider rider;                  ///< who stands on it
  std::vector<Mass> masses;     ///< all else with a weight
  Deck deck;                    ///< where the rider stands
  std::optional<Stance> stance; ///< unset: the share of the feet is not told
  Drive drive;                  ///< by default coasting

  friend bool operator==(const Loading&, const Loading&) = default;
};

/// Mass, centre and pitch inertia of things moving as one.
struct Inertia {
  double mass = 0;  ///< [kg]
  Vec3 centre;      ///< [m]
  double pitch = 0; ///< [kg·m²] about the centre, of the y axis
};

/// How the rider counts among the masses.
enum class RiderHold {
  rigid,       ///< as held rigidly, standing across the water over the load station, or leaning
  on_the_deck, ///< as a mass on the deck at the load station that bears no moment
};

/// Inertia of rider and masses together. load_station [m]; pitch of the craft against the water [rad],
/// nose-up: the water's normal is so far ahead of the z axis; lean [m]: how far behind that normal over the
/// load station the rider's centre of mass is. Both count for a rider held rigidly alone.
Inertia inertia(const Loading&, double load_station, RiderHold, double pitch = 0, double lean = 0);

/// Mass that the lift carries: all of it less the water displaced. density [kg/m³].
double carried_mass(const Loading&, double density);

/// Throws Error for masses, deck, stance or drive that make no sense, naming what is wrong: a figure that is
/// not finite, a mass of the rider or a height of the deck not above 0, a negative mass, volume, inertia or
/// height of the rider's centre, a deck or mast more than 45 degrees off, a front foot not ahead of the back
/// one, a drive at 90 degrees or more, a greatest force or power not above 0, more water displaced than all
/// weighs. density [kg/m³].
void check(const Loading&, double density);

} // namespace vlm
