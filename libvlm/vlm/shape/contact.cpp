#include <vlm/shape/contact.hpp>

#include <algorithm>
#include <cmath>
#include <optional>

#include <vlm/base/error.hpp>
#include <vlm/shape/bisection.hpp>
#include <vlm/shape/interpolation.hpp>
#include <vlm/shape/millimetres.hpp>

namespace vlm {
namespace {

constexpr double hair = 1e-6;  // [m] ends nearer than this meet
constexpr double touch = 1e-9; // [m] surfaces nearer than this touch: rounding of coordinates

Chord between(const Chord& a, const Chord& b, double u) {
  return {a.y + u * (b.y - a.y), a.z + u * (b.z - a.z), a.from + u * (b.from - a.from),
          a.to + u * (b.to - a.to)};
}

double distance(const Chord& a, const Chord& b) {
  return std::hypot(a.y - b.y, a.z - b.z);
}

std::string place(const Chord& at) {
  return "y = " + millimetres(at.y) + " mm, z = " + millimetres(at.z) + " mm";
}

std::string reach(const Chord& at) {
  return "x = " + millimetres(std::min(at.from, at.to)) + " to " + millimetres(std::max(at.from, at.to)) +
         " mm";
}

// The skin of the fuselage, if there is one.
using Body = std::optional<Skin>;

constexpr int chord_samples = 8;

// A place on a chord, k of chord_samples from its front.
Vec3 on_chord(const Chord& at, int k) {
  return {at.from + (at.to - at.from) * k / chord_samples, at.y, at.z};
}

// Whether a chord lies inside the fuselage all along.
bool hidden(const Body& body, const Chord& at) {
  for (int k = 0; k <= chord_samples; ++k)
    if (!body || !body->contains(on_chord(at, k)))
      return false;
  return true;
}

std::string end_name(const Craft& craft, const End& end) {
  const Surface& surface = craft.surfaces[end.surface];
  return "surface '" + surface.name + "', station " +
         std::to_string(end.last ? surface.stations.size() : std::size_t{1});
}

// Ends that meet in the front view and overlap along x without being a joint were meant to be one, unless the
// fuselage hides them.
void check_ends(const Craft& craft, const Body& body) {
  const std::vector<End> all = ends(craft);
  for (std::size_t i = 0; i < all.size(); ++i)
    for (std::size_t j = i + 1; j < all.size(); ++j) {
      const Chord &a = all[i].chord, &b = all[j].chord;
      if (distance(a, b) <= hair && !join(a, b) && a.from <= b.to + touch && b.from <= a.to + touch &&
          !hidden(body, {a.y, a.z, std::max(a.from, b.from), std::min(a.to, b.to)}))
        throw Error(end_name(craft, all[i]) + " and " + end_name(craft, all[j]) + " meet at " + place(a) +
                    ", but one chord lies at " + reach(a) + ", the other at " + reach(b) +
                    ": give both the same leading edge and chord, so that they join, or move one away");
    }
}

Chord chord_at(const SpanPoint& at) {
  const Vec3& p = at.leading_edge;
  return {p.y, p.z, p.x, p.x + at.chord};
}

// The front view of a surface as chords joined by straight pieces: one piece between two stations of a
// straight curve, which is exact, and several of a smooth one.
class Trace {
public:
  Trace(const Surface& surface, const Outline& outline)
      : outline_(outline), smooth_(surface.curve == Curve::smooth) {
    for (const double t : outline.station_parameters())
      stations_.push_back(chord_at(outline.at_parameter(t)));
  }

  bool smooth() const { return smooth_; }
  const std::vector<Chord>& stations() const { return stations_; }
  std::size_t num_intervals() const { return stations_.size() - 1; }

  // Chords from a station to the next.
  std::vector<Chord> interval(std::size_t i) const {
    const int pieces = smooth_ ? 16 : 1;
    const double from = outline_.station_arcs()[i], to = outline_.station_arcs()[i + 1];
    std::vector<Chord> chords{stations_[i]};
    for (int k = 1; k < pieces; ++k)
      chords.push_back(chord_at(outline_.at(from + (to - from) * k / pieces)));
    chords.push_back(stations_[i + 1]);
    return chords;
  }

private:
  const Outline& outline_;
  bool smooth_;
  std::vector<Chord> stations_;
};

// Where two pieces touch: at one chord, or on all chords between two.
struct Contact {
  Chord first, last;
};

// Narrows the fractions [low, high] to those where a function, linear between its values at 0 and 1, is not
// negative. False if there are none.
bool narrow(double at0, double at1, double& low, double& high) {
  if (at0 < 0 && at1 < 0)
    return false;
  if (at0 < 0)
    low = std::max(low, at0 / (at0 - at1));
  if (at1 < 0)
    high = std::min(high, at0 / (at0 - at1));
  return low <= high;
}

// Contact along pieces of two traces that coincide in the front view, from chords a0, b0 to a1, b1.
std::optional<Contact> overlap(const Chord& a0, const Chord& a1, const Chord& b0, const Chord& b1) {
  double low = 0, high = 1;
  if (!narrow(b0.to - a0.from + touch, b1.to - a1.from + touch, low, high) ||
      !narrow(a0.to - b0.from + touch, a1.to - b1.from + touch, low, high))
    return {};
  const auto common = [&](double u) {
    const Chord a = between(a0, a1, u), b = between(b0, b1, u);
    return Chord{a.y, a.z, std::max(a.from, b.from), std::min(a.to, b.to)};
  };
  return Contact{common(low), common(high)};
}

std::optional<Contact> contact(const Chord& a0, const Chord& a1, const Chord& b0, const Chord& b1) {
  const double ay = a1.y - a0.y, az = a1.z - a0.z, by = b1.y - b0.y, bz = b1.z - b0.z;
  const double ry = b0.y - a0.y, rz = b0.z - a0.z;
  const double length_a = std::hypot(ay, az), length_b = std::hypot(by, bz);
  const double sine = (ay * bz - az * by) / (length_a * length_b);
  const auto inside = [](double u, double length) { return u >= -touch / length && u <= 1 + touch / length; };
  if (std::abs(sine) > 1e-9) {
    const double u = (ry * bz - rz * by) / (length_a * length_b * sine);
    const double v = (ry * az - rz * ay) / (length_a * length_b * sine);
    if (!inside(u, length_a) || !inside(v, length_b))
      return {};
    const Chord a = between(a0, a1, u), b = between(b0, b1, v);
    return overlap(a, a, b, b);
  }
  if (std::abs(ay * rz - az * ry) > touch * length_a)
    return {};
  // On one line: the ends of b as fractions of a.
  const auto along = [&](const Chord& b) {
    return ((b.y - a0.y) * ay + (b.z - a0.z) * az) / (length_a * length_a);
  };
  const double from = along(b0), to = along(b1);
  double low = std::max(0.0, std::min(from, to)), high = std::min(1.0, std::max(from, to));
  if (low > high + touch / length_a)
    return {};
  high = std::max(low, high);
  const auto on_b = [&](double u) { return between(b0, b1, (u - from) / (to - from)); };
  return overlap(between(a0, a1, low), between(a0, a1, high), on_b(low), on_b(high));
}

// Whether the front views of two intervals between stations are clear of each other. y and z run one way
// between stations, so the stations span all there is.
bool apart(const Chord& a0, const Chord& a1, const Chord& b0, const Chord& b1) {
  const auto clear = [](double p0, double p1, double q0, double q1) {
    return std::max(p0, p1) < std::min(q0, q1) - hair || std::max(q0, q1) < std::min(p0, p1) - hair;
  };
  return clear(a0.y, a1.y, b0.y, b1.y) || clear(a0.z, a1.z, b0.z, b1.z);
}

// Whether a contact lies inside the fuselage.
bool hidden(const Body& body, const Contact& contact) {
  constexpr int samples = 8;
  for (int k = 0; k <= samples; ++k)
    if (!hidden(body, between(contact.first, contact.last, static_cast<double>(k) / samples)))
      return false;
  return true;
}

// First contact of two traces, or of one with itself, that is neither at one of the allowed places nor, of
// two, inside the fuselage.
std::optional<Contact> crossing(const Trace& a, const Trace& b, const std::vector<Chord>& allowed,
                                const Body& body) {
  const bool same = &a == &b;
  const auto forbidden = [&](const Contact& found, const Chord& meeting) {
    return distance(found.first, meeting) > 2 * hair || distance(found.last, meeting) > 2 * hair;
  };
  // Between the stations of a smooth curve y and z run one way, and past each station one of them does
  // (Outline refuses others), so a smooth curve meets itself two intervals further on at the soonest.
  const std::size_t next = a.smooth() ? 2 : 1;
  for (std::size_t i = 0; i < a.num_intervals(); ++i) {
    std::vector<Chord> of_a; // when first wanted
    for (std::size_t j = same ? i + next : 0; j < b.num_intervals(); ++j) {
      if (apart(a.stations()[i], a.stations()[i + 1], b.stations()[j], b.stations()[j + 1]))
        continue;
      if (of_a.empty())
        of_a = a.interval(i);
      const std::vector<Chord> of_b = b.interval(j);
      for (std::size_t k = 0; k + 1 < of_a.size(); ++k)
        for (std::size_t l = 0; l + 1 < of_b.size(); ++l) {
          const auto found = contact(of_a[k], of_a[k + 1], of_b[l], of_b[l + 1]);
          if (found && (same || !hidden(body, *found)) &&
              !(same && j == i + 1 && !forbidden(*found, b.stations()[j])) &&
              std::all_of(allowed.begin(), allowed.end(),
                          [&](const Chord& meeting) { return forbidden(*found, meeting); }))
            return found;
        }
    }
  }
  return {};
}

void check_crossings(const Craft& craft, const std::vector<Outline>& outlines, const Body& body) {
  const std::vector<Joint> all_joints = joints(craft);
  std::vector<Trace> traces;
  for (std::size_t i = 0; i < craft.surfaces.size(); ++i)
    traces.emplace_back(craft.surfaces[i], outlines.at(i));

  for (std::size_t i = 0; i < traces.size(); ++i)
    for (std::size_t j = i; j < traces.size(); ++j) {
      std::vector<Chord> allowed;
      for (const Joint& joint : all_joints)
        if (joint.surface_a == i && joint.surface_b == j)
          allowed.push_back(joint.end_a ? traces[i].stations().back() : traces[i].stations().front());
      const std::optional<Contact> found = crossing(traces[i], traces[j], allowed, body);
      if (!found)
        continue;
      const Chord middle = between(found->first, found->last, 0.5);
      const std::string where = " at " + place(middle) + ", " + reach(middle) + ": ";
      if (i == j)
        throw Error("surface '" + craft.surfaces[i].name + "' crosses or touches itself" + where +
                    "put its stations in order along the span, clear of each other");
      const bool mast = craft.surfaces[i].pierces || craft.surfaces[j].pierces;
      throw Error("surfaces '" + craft.surfaces[i].name + "' and '" + craft.surfaces[j].name +
                  "' cross or touch" + where +
                  (mast ? "move one of them, or let a mast meet other surfaces inside a fuselage"
                        : "move one of them, or make their ends meet exactly so that they join"));
    }
}

// A root on the skin needs a fuselage that hides the section, or the flow between the two is not that of a
// wing on a body.
void check_root(const Surface& surface, const Outline& outline, const Skin& skin, double s) {
  const SpanPoint at = outline.at(s);
  const Chord chord = chord_at(at);
  const double middle = (chord.from + chord.to) / 2, thick = outline.thickness(s) * at.chord;
  const bool upright = std::abs(at.direction.z) > std::abs(at.direction.y);
  const double room = 2 * (upright ? skin.half_width(middle) : skin.half_height(middle));
  const char* across = upright ? " mm wide" : " mm high";
  if (thick > room + touch)
    throw Error("surface '" + surface.name + "' is " + millimetres(thick) +
                " mm thick where it meets the fuselage, at " + place(chord) + ", " + reach(chord) +
                ", but the fuselage is " + millimetres(room) + across +
                " over the middle of that chord, at x = " + millimetres(middle) +
                " mm: wanted a fuselage at least " + millimetres(thick) + across +
                " there, or a thinner section");
}

void check_roots(const Surface& surface, const Outline& outline, const Skin& skin, double step) {
  const auto meets = [&](double s) {
    const Chord chord = chord_at(outline.at(s));
    for (int k = 0; k <= chord_samples; ++k)
      if (skin.contains(on_chord(chord, k)))
        return true;
    return false;
  };
  constexpr double most_steps = 20'000;
  const double steps = std::ceil(std::clamp(outline.length() / step, 16.0, most_steps));
  bool leaves = false;
  double before = 0;
  bool met_before = meets(0);
  for (double k = 1; k <= steps; ++k) {
    const double now = outline.length() * (k / steps);
    const bool met = meets(now);
    leaves = leaves || !met || !met_before;
    if (met != met_before) {
      const double inside = met ? now : before, outside = met ? before : now;
      check_root(surface, outline, skin, last_holding(meets, inside, outside, touch));
    }
    before = now;
    met_before = met;
  }
  if (!leaves)
    throw Error("surface '" + surface.name +
                "' lies inside the fuselage from tip to tip, wanted one that leaves "
                "it: make its span longer, the fuselage slimmer, or leave the surface out");
}

} // namespace

std::vector<End> ends(const Craft& craft) {
  std::vector<End> result;
  for (std::size_t i = 0; i < craft.surfaces.size(); ++i)
    for (const bool last : {false, true}) {
      const Surface& surface = craft.surfaces[i];
      if (surface.stations.empty())
        continue;
      const Station& s = last ? surface.stations.back() : surface.stations.front();
      const Vec3& p = surface.position;
      result.push_back(
          {i, last, {p.y + s.y, p.z + s.z, p.x + s.leading_edge, p.x + s.leading_edge + s.chord}});
    }
  return result;
}

bool join(const Chord& a, const Chord& b) {
  const double across = distance(a, b);
  return std::hypot(across, a.from - b.from) <= hair && std::hypot(across, a.to - b.to) <= hair;
}

void check_contacts(const Craft& craft, const std::vector<Outline>& outlines) {
  const Body body = craft.fuselage ? Body(*craft.fuselage) : Body();
  check_ends(craft, body);
  check_crossings(craft, outlines, body);
  if (!body)
    return;
  // Steps that find any fuselage a surface runs through, but for a hair's breadth of its skin.
  double width = 0, height = 0;
  for (const FuselageCut& cut : craft.fuselage->cuts) {
    width = std::max(width, cut.width);
    height = std::max(height, cut.height);
  }
  for (std::size_t i = 0; i < craft.surfaces.size(); ++i)
    check_roots(craft.surfaces[i], outlines.at(i), *body, std::min(width, height) / 8);
}

} // namespace vlm
