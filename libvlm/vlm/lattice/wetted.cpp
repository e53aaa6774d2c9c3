#include <vlm/lattice/wetted.hpp>

#include <algorithm>
#include <cmath>

#include <vlm/base/error.hpp>
#include <vlm/lattice/shell.hpp>
#include <vlm/shape/bisection.hpp>
#include <vlm/shape/millimetres.hpp>

namespace vlm {
namespace {

constexpr int steps = 400; // along a run, to look for where it leaves the fuselage or the water

// The way along a run from one arc length to another, in even steps whose places are looked for once,
// whatever is asked there.
class Walk {
public:
  Walk(const RowShape& shape, double from, double to)
      : shape_(shape), from_(from), to_(to), places_{shape.at(from)} {}

  const RowShape::Place& start() const { return places_.front(); }

  // The arc length at which a test of places that holds at the start first changes; nothing if it never does.
  template <class Test>
  std::optional<double> change(const Test& holds) {
    double last = from_;
    for (std::size_t i = 1; i <= steps; ++i) {
      const double s = from_ + (to_ - from_) * static_cast<double>(i) / steps;
      if (i == places_.size())
        places_.push_back(shape_.at(s));
      if (!holds(places_[i]))
        return last_holding([&](double at) { return holds(shape_.at(at)); }, last, s);
      last = s;
    }
    return std::nullopt;
  }

private:
  const RowShape& shape_;
  double from_, to_;
  std::vector<RowShape::Place> places_;
};

// Where a run crosses the middle plane, if it does.
std::optional<double> middle_plane(const RowShape& shape) {
  const auto y = [](const RowShape::Place& place) { return place.point(0.5).y; };
  Walk walk(shape, 0, shape.length());
  const double first = y(walk.start()), last = y(shape.at(shape.length()));
  if (std::abs(first) < 1e-9 && std::abs(last) < 1e-9)
    return std::nullopt; // lies in it
  return walk.change(
      [&](const RowShape::Place& place) { return y(place) != 0 && (y(place) > 0) == (first > 0); });
}

// A surface this close above a flat top, or below a flat bottom, sits on it: nothing flows between. Panels
// around the skin are too wide to part such a stream from the surface, whose lift comes out anything; share
// of the flat's width.
constexpr double seat = 0.125;

// Whether a point of the middle plane lies inside the skin, or of a surface that sits on it.
bool meets(const Skin& skin, const Vec3& p) {
  const double height = skin.half_height(p.x);
  return height > 0 && std::abs(p.z - skin.centre(p.x)) < height + seat * skin.flat_width(p.x);
}

// How far a root that lies higher or lower on the body than it may has to be moved in z.
double root_rise(const Skin& skin, const Vec3& p) {
  const double height = skin.half_height(p.x), above = p.z - skin.centre(p.x);
  return std::abs(above) <= highest_root * height ? 0 : std::copysign(highest_root * height, above) - above;
}

class Cutter {
public:
  Cutter(const RowShape& shape, const std::string& name, std::span<const double> node_chord)
      : shape_(shape), name_(name), node_chord_(node_chord) {}

  // Cut at the skin, going from arc length `in` towards `end`. sideways: the run crosses the skin's side.
  CutEnd at_skin(const Skin& skin, double in, double end, bool sideways) const {
    CutEnd cut;
    Walk walk(shape_, in, end);
    // Laid on the skin where it is out of it, a root would pass close over the shell.
    if (sideways && !std::all_of(node_chord_.begin(), node_chord_.end(),
                                 [&](double x) { return meets(skin, walk.start().point(x)); }))
      cut.carried = in;
    for (const double x : node_chord_) {
      const Vec3 start = walk.start().point(x);
      const bool moved = sideways && meets(skin, start) && (!cut.carried || !skin.encloses(start));
      cut.rise.push_back(moved ? root_rise(skin, start) : 0);
      const auto holds = [&](const RowShape::Place& place) {
        return skin.encloses(place.point(x) + Vec3{0, 0, cut.rise.back()});
      };
      if (!holds(walk.start())) {
        cut.arc.push_back(in); // ahead of the nose or behind the tail
        continue;
      }
      const auto found = walk.change(holds);
      if (!found)
        throw Error(name_ + " ends inside the fuselage: make it reach out of the skin");
      cut.arc.push_back(*found);
    }
    return cut;
  }

  // Cut at the still surface, coming from the first station.
  CutEnd at_plane(const StillPlane& plane) const {
    CutEnd cut;
    Walk walk(shape_, 0, shape_.length());
    for (const double x : node_chord_) {
      const auto wet = [&](const RowShape::Place& place) {
        return dot(place.point(x) - plane.point, plane.normal) < 0;
      };
      const bool starts_wet = wet(walk.start());
      const auto found = starts_wet ? walk.change(wet) : std::nullopt;
      if (!found)
        throw Error(name_ + (starts_wet ? " does not reach the still surface: its top stays " +
                                              millimetres(-dot(shape_.point(shape_.length(), x) - plane.point,
                                                               plane.normal)) +
                                              " mm below it; make it longer or lower the depth"
                                        : " stands wholly above the still surface: increase the depth"));
      cut.arc.push_back(*found);
      cut.rise.push_back(0);
    }
    return cut;
  }

private:
  const RowShape& shape_;
  const std::string& name_;
  std::span<const double> node_chord_;
};

} // namespace

std::vector<Stretch> wetted_stretches(const RowShape& shape, const std::string& name, bool pierces,
                                      std::span<const double> node_chord, const Skin* skin,
                                      const std::optional<StillPlane>& plane) {
  const Cutter cutter(shape, name, node_chord);
  const double length = shape.length();
  std::vector<Stretch> stretches(1);
  stretches[0].to = length;
  if (skin != nullptr) {
    const auto any_inside = [&](double s) {
      const RowShape::Place place = shape.at(s);
      return std::any_of(node_chord.begin(), node_chord.end(),
                         [&](double x) { return skin->encloses(place.point(x)); });
    };
    const auto farthest = [](const CutEnd& cut, bool aft) {
      return aft ? *std::max_element(cut.arc.begin(), cut.arc.end())
                 : *std::min_element(cut.arc.begin(), cut.arc.end());
    };
    const std::optional<double> middle = middle_plane(shape);
    const bool crosses = middle && std::any_of(node_chord.begin(), node_chord.end(), [&](double x) {
                           return meets(*skin, shape.point(*middle, x));
                         });
    if (crosses) {
      Stretch port = stretches[0], starboard = port;
      port.cuts[1] = cutter.at_skin(*skin, *middle, 0, true);
      port.to = farthest(*port.cuts[1], false);
      port.ends[1] = port.cuts[1]->carried ? RowEnd::carried : RowEnd::skin;
      starboard.cuts[0] = cutter.at_skin(*skin, *middle, length, true);
      starboard.from = farthest(*starboard.cuts[0], true);
      starboard.ends[0] = starboard.cuts[0]->carried ? RowEnd::carried : RowEnd::skin;
      stretches = {port, starboard};
    } else {
      if (!middle && !any_inside(0) && !any_inside(length))
        for (int i = 1; i < steps; ++i)
          if (any_inside(length * i / steps))
            throw Error(
                name +
                " runs through the fuselage from bottom to top: end it inside the fuselage, or write it as "
                "two surfaces that both do");
      if (any_inside(0)) {
        stretches[0].cuts[0] = cutter.at_skin(*skin, 0, length, false);
        stretches[0].from = farthest(*stretches[0].cuts[0], true);
        stretches[0].ends[0] = RowEnd::skin;
      }
      if (any_inside(length)) {
        stretches[0].cuts[1] = cutter.at_skin(*skin, length, 0, false);
        stretches[0].to = farthest(*stretches[0].cuts[1], false);
        stretches[0].ends[1] = RowEnd::skin;
      }
    }
  }
  if (plane && pierces) {
    Stretch& top = stretches.back();
    const CutEnd cut = cutter.at_plane(*plane);
    top.to = *std::min_element(cut.arc.begin(), cut.arc.end());
    top.ends[1] = plane->end;
    top.pierces = true;
    if (plane->end != RowEnd::tip)
      top.cuts[1] = cut;
    if (top.to <= top.from)
      throw Error(name + " leaves the fuselage above the still surface: increase the depth");
  }
  return stretches;
}

} // namespace vlm
