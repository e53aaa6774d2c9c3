#pragma once

#include <cmath>

#include <vlm/flow/cause.hpp>
#include <vlm/force/responses.hpp>
#include <vlm/lattice/lattice.hpp>

/// Crafts that are themselves turned, or turning, in a tunnel whose water runs along x at 1 m/s: plain
/// kinematics, beside which the library's conditions and causes are set.
namespace turned {

using vlm::Vec3;

/// A rotation about a point.
struct Turn {
  Vec3 x{1, 0, 0}, y{0, 1, 0}, z{0, 0, 1}; ///< where it takes the unit vectors along the axes
  Vec3 about;

  Vec3 direction(const Vec3& v) const { return v.x * x + v.y * y + v.z * z; }
  Vec3 direction_back(const Vec3& v) const { return {dot(v, x), dot(v, y), dot(v, z)}; }
  Vec3 point(const Vec3& p) const { return about + direction(p - about); }
};

/// `first`, then `second`, about the same point.
inline Turn then(const Turn& first, const Turn& second) {
  return {second.direction(first.x), second.direction(first.y), second.direction(first.z), first.about};
}

/// Each about the point, by an angle [rad]: x aft, y to starboard, z up.
inline Turn starboard_down(double angle, const Vec3& about) {
  const double c = std::cos(angle), s = std::sin(angle);
  return {{1, 0, 0}, {0, c, -s}, {0, s, c}, about};
}
inline Turn nose_up(double angle, const Vec3& about) {
  const double c = std::cos(angle), s = std::sin(angle);
  return {{c, 0, -s}, {0, 1, 0}, {s, 0, c}, about};
}
inline Turn nose_to_starboard(double angle, const Vec3& about) {
  const double c = std::cos(angle), s = std::sin(angle);
  return {{c, -s, 0}, {s, c, 0}, {0, 0, 1}, about};
}

/// How a craft hangs in the tunnel: pitched nose-up by the angle of attack, then yawed nose to port by the
/// sideslip, for the water then comes from its starboard side.
inline Turn attitude(const vlm::Condition& at, const Vec3& moment_point) {
  return then(nose_up(at.alpha, moment_point), nose_to_starboard(-at.beta, moment_point));
}

/// Velocity [m/s] in the tunnel of a point of the craft that is at p, in the craft's axes, while the craft
/// rolls, pitches and yaws at p, q, r [rad/s] about its moment point: from where the point is at two moments
/// before and two after, to fourth order.
inline Vec3 velocity_of(const Vec3& p, const Turn& attitude, const Vec3& rates) {
  const auto place = [&](double t) {
    const Vec3& about = attitude.about;
    const Turn rolled = starboard_down(rates.x * t, about), pitched = nose_up(rates.y * t, about),
               yawed = nose_to_starboard(rates.z * t, about);
    return then(then(then(rolled, pitched), yawed), attitude).point(p);
  };
  const double moment = 1e-2; // [s]
  return (1 / (12 * moment)) *
         (8 * (place(moment) - place(-moment)) - (place(2 * moment) - place(-2 * moment)));
}

/// What drives the water past such a craft, in the tunnel's axes. The rotation is what three points one metre
/// from the moment point tell: ½ Σ e × v, for e × (ω × e) = ω − e (e·ω).
inline vlm::Cause cause_of(const Turn& attitude, const Vec3& rates) {
  vlm::Cause cause{{1, 0, 0}, {}, attitude.about, {}};
  for (const Vec3& arm : {Vec3{1, 0, 0}, Vec3{0, 1, 0}, Vec3{0, 0, 1}})
    cause.rotation +=
        0.5 * cross(attitude.direction(arm), velocity_of(attitude.about + arm, attitude, rates));
  return cause;
}

/// A finished lattice turned node by node, with all that it holds: skin, sources, mirror. Only one on its
/// true shape (displaced) is a rigid body; slopes of a flat one answer to the stream along x.
inline vlm::Lattice turned(vlm::Lattice lattice, const Turn& turn) {
  const auto turn_points = [&](std::vector<Vec3>& points) {
    for (Vec3& p : points)
      p = turn.point(p);
  };
  for (std::size_t i = 0; i < lattice.node_x.size(); ++i) {
    const Vec3 p = turn.point({lattice.node_x[i], lattice.node_y[i], lattice.node_z[i]});
    lattice.node_x[i] = p.x, lattice.node_y[i] = p.y, lattice.node_z[i] = p.z;
  }
  turn_points(lattice.control);
  turn_points(lattice.force_point);
  for (Vec3& normal : lattice.normal)
    normal = turn.direction(normal);
  for (vlm::Row& row : lattice.rows) {
    turn_points(row.sheet_point);
    for (const std::size_t end : {0, 1}) {
      turn_points(row.skin_path[end]);
      turn_points(row.inner_point[end]);
      turn_points(row.skin_point[end]);
    }
  }
  for (vlm::Strip& strip : lattice.strips) {
    strip.direction = turn.direction(strip.direction);
    strip.leading_edge = turn.point(strip.leading_edge);
    strip.wake_point = turn.point(strip.wake_point);
  }
  for (vlm::SourceLine& source : lattice.sources) {
    source.from = turn.point(source.from);
    source.to = turn.point(source.to);
    source.axis = turn.direction(source.axis);
  }
  if (lattice.mirror) {
    lattice.mirror->point = turn.point(lattice.mirror->point);
    lattice.mirror->normal = turn.direction(lattice.mirror->normal);
  }
  return lattice;
}

} // namespace turned
