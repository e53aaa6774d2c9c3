#include <vlm/force/wave_drag.hpp>

#include <algorithm>
#include <cmath>
#include <complex>
#include <limits>
#include <numbers>
#include <string>

#include <vlm/base/error.hpp>
#include <vlm/base/gravity.hpp>

namespace vlm {
namespace {

using Complex = std::complex<double>;
using std::numbers::pi;

constexpr double least_distance = 1e-9; // [m] of a line from the still surface, and from an image

bool has_free_surface(const Lattice& lattice) {
  return lattice.mirror && lattice.mirror->sign < 0;
}

void check_state(const Lattice& lattice, std::span<const double> strip_circulation, double speed,
                 double density) {
  if (!std::isfinite(density) || !std::isfinite(speed) ||
      !std::all_of(strip_circulation.begin(), strip_circulation.end(),
                   [](double gamma) { return std::isfinite(gamma); }))
    throw Error("drag of waves: found a circulation, a speed or a density that is not finite, wanted finite "
                "ones");
  if (strip_circulation.size() != lattice.strips.size() || !(speed > 0))
    throw Error("drag of waves: found " + std::to_string(strip_circulation.size()) + " circulations at " +
                std::to_string(speed) + " m/s, wanted one for each of " +
                std::to_string(lattice.strips.size()) + " strips and a speed above 0");
}

// Axes of the still surface: along the stream, across it to starboard, and up out of the water.
struct SurfaceAxes {
  Vec3 along, across, up, point;

  explicit SurfaceAxes(const Mirror& mirror) : up(mirror.normal), point(mirror.point) {
    along = normalized({up.z, 0, -up.x});
    across = cross(up, along);
  }
  double x(const Vec3& p) const { return dot(p - point, along); }
  double y(const Vec3& p) const { return dot(p - point, across); }
  double z(const Vec3& p) const { return dot(p - point, up); }
};

// A strip as the still surface has it below: a lifting line, and the place of its wake [m].
struct Line {
  std::size_t entry;       // of the drags
  double circulation;      // [m²/s]
  double x, y, z;          // its middle
  double width_y, width_z; // from its first end to its last
  std::size_t first_edge;  // of the wake; its last is the next
};

// An edge of a row, where its wake leaves.
struct WakeLine {
  double circulation, y, z;
};

struct Lines {
  std::vector<StillSurfaceDrag> drag; // one a surface that counts, with its point
  std::vector<Line> line;
  std::vector<WakeLine> wake;
  double depth = 0, length = 0, width = 0; // of the highest; of all, along the stream and across it [m]
};

// Where the wake of an edge leaves: from the trailing edge, or at the end of a root's way over the skin.
Vec3 wake_edge(const Lattice& lattice, const Row& row, std::size_t edge) {
  if (edge == 0 && !row.skin_path[0].empty())
    return row.skin_path[0].back();
  if (edge == row.num_strips && !row.skin_path[1].empty())
    return row.skin_path[1].back();
  return lattice.node(row, edge, row.nodes_per_edge() - 1);
}

// Least and greatest of numbers seen.
struct Range {
  double least = std::numeric_limits<double>::infinity(), greatest = -least;

  void take(double value) { least = std::min(least, value), greatest = std::max(greatest, value); }
  double size() const { return greatest - least; }
};

// Whether a surface of the row pierces the still surface.
bool pierces(const Lattice& lattice, const Row& row) {
  return std::any_of(lattice.piercings.begin(), lattice.piercings.end(), [&](const Footing& at) {
    return at.surface == lattice.strips[row.first_strip].surface;
  });
}

Lines make_lines(const Lattice& lattice, std::span<const double> strip_circulation) {
  const SurfaceAxes axes(*lattice.mirror);
  Lines lines;
  std::vector<double> weight; // of each drag, by which its point is the middle
  Range along, across, height;
  for (const Row& row : lattice.rows) {
    if (row.shell || pierces(lattice, row))
      continue;
    for (std::size_t e = 0; e <= row.num_strips; ++e) {
      const Vec3 end = wake_edge(lattice, row, e);
      const double before = e > 0 ? strip_circulation[row.first_strip + e - 1] : 0,
                   behind = e < row.num_strips ? strip_circulation[row.first_strip + e] : 0;
      lines.wake.push_back({before - behind, axes.y(end), axes.z(end)});
      across.take(axes.y(end)), height.take(axes.z(end));
    }
    const std::size_t first_edge = lines.wake.size() - row.num_strips - 1;
    for (std::size_t i = 0; i < row.num_strips; ++i) {
      const Strip& strip = lattice.strips[row.first_strip + i];
      const auto known = std::find_if(lines.drag.begin(), lines.drag.end(), [&](const StillSurfaceDrag& of) {
        return of.surface == strip.surface;
      });
      const auto entry = static_cast<std::size_t>(known - lines.drag.begin());
      if (known == lines.drag.end()) {
        lines.drag.push_back({strip.surface, 0, 0, {}});
        weight.push_back(0);
      }
      const WakeLine &from = lines.wake[first_edge + i], &to = lines.wake[first_edge + i + 1];
      const Vec3 quarter = strip.leading_edge + 0.25 * (strip.wake_point - strip.leading_edge);
      const double gamma = strip_circulation[row.first_strip + i];
      lines.line.push_back({entry, gamma, axes.x(quarter), 0.5 * (from.y + to.y), 0.5 * (from.z + to.z),
                            to.y - from.y, to.z - from.z, first_edge + i});
      along.take(axes.x(quarter));
      const double counts = gamma * gamma * strip.width;
      lines.drag[entry].point += counts * quarter;
      weight[entry] += counts;
    }
  }
  for (std::size_t entry = 0; entry < lines.drag.size(); ++entry)
    if (weight[entry] > 0)
      lines.drag[entry].point = (1 / weight[entry]) * lines.drag[entry].point;
  lines.depth = std::max(-height.greatest, least_distance);
  lines.length = along.size(), lines.width = across.size();
  return lines;
}

// −(ρ/4π) Σ γ_m γ_n ln r_mn over lines of the wake and images is their part of a metre's energy, which is
// drag; a strip has that of its circulation at both its edges.
void add_images(Lines& lines, double density) {
  std::vector<double> sum;
  for (const WakeLine& a : lines.wake) {
    sum.push_back(0);
    for (const WakeLine& b : lines.wake)
      sum.back() += b.circulation * std::log(std::max(std::hypot(a.y - b.y, a.z + b.z), least_distance));
  }
  for (const Line& line : lines.line)
    lines.drag[line.entry].image -=
        density / (4 * pi) * line.circulation * (sum[line.first_edge + 1] - sum[line.first_edge]);
}

// Mean over a line of exp(middle + c·s), s from −1/2 to 1/2.
Complex mean_along(const Complex& middle, const Complex& c) {
  if (std::norm(c) > 0.25)
    return (std::exp(middle + 0.5 * c) - std::exp(middle - 0.5 * c)) / c;
  const Complex c2 = c * c; // leaves 4e-11
  return std::exp(middle) * (1.0 + c2 / 24.0 * (1.0 + c2 / 80.0 * (1.0 + c2 / 168.0)));
}

// Steps of the trapezium rule over v, sinh v = tan θ of the waves' direction θ, from −count to count. A term
// of the integrand falls as exp(−2kd cosh²v), d the least depth, and turns as fast as lines b apart across
// the stream and l along it make it. It is analytic, and for |Im v| < η, η = atan(2d/b)/4 or √(12d/k)/l if
// that is less, no larger than e³ times as much, so a step of 2πη/n leaves exp(3 − n).
struct Directions {
  int count;
  double step;

  Directions(double wave_number, const Lines& lines) {
    const double d = lines.depth,
                 eta = std::min(0.25 * std::atan2(2 * d, lines.width),
                                std::sqrt(12 * d / wave_number) / std::max(lines.length, least_distance));
    const double reach = std::asinh(4.2 / std::sqrt(wave_number * d)); // exp(−2·4.2²) = 5e-16
    // Lines within some hundredth of their span want more, and come out within 1e-3 at a thousandth of it.
    constexpr double most = 3000;
    count = static_cast<int>(std::min(most, std::ceil(reach / (2 * pi * eta / 24))));
    step = reach / count;
  }
};

// (ρ k²/2π) ∫ |Q|² cosh⁴v dv, Q = Σ Γ (dy − i tanh v dz) E, E the wave of a source at the line.
void add_waves(Lines& lines, double k, double density) {
  const Directions directions(k, lines);
  std::vector<Complex> q(lines.drag.size());
  for (int i = -directions.count; i <= directions.count; ++i) {
    const double v = i * directions.step, c = std::cosh(v), s = std::sinh(v);
    std::fill(q.begin(), q.end(), Complex());
    for (const Line& line : lines.line) {
      const double across = k * c * s, down = k * c * c;
      q[line.entry] += line.circulation * Complex(line.width_y, -s / c * line.width_z) *
                       mean_along({down * line.z, k * c * line.x + across * line.y},
                                  {down * line.width_z, across * line.width_y});
    }
    Complex sum;
    for (const Complex& of_surface : q)
      sum += of_surface;
    const double factor = density * k * k / (2 * pi) * c * c * c * c * directions.step;
    for (std::size_t entry = 0; entry < q.size(); ++entry)
      lines.drag[entry].waves += factor * std::real(q[entry] * std::conj(sum));
  }
}

} // namespace

std::vector<StillSurfaceDrag> still_surface_drag(const Lattice& lattice,
                                                 std::span<const double> strip_circulation, double speed,
                                                 double density) {
  if (!has_free_surface(lattice))
    return {};
  check_state(lattice, strip_circulation, speed, density);
  Lines lines = make_lines(lattice, strip_circulation);
  if (lines.line.empty())
    return {};
  add_images(lines, density);
  add_waves(lines, standard_gravity / (speed * speed), density);
  for (const StillSurfaceDrag& of : lines.drag)
    if (!std::isfinite(of.beyond_image()))
      throw Error("drag of waves: came out not finite, wanted a speed and circulations of a craft",
                  ErrorKind::run);
  return lines.drag;
}

double two_dimensional_wave_drag(const Lattice& lattice, std::span<const double> strip_circulation,
                                 double speed, double density) {
  if (!has_free_surface(lattice))
    return 0;
  check_state(lattice, strip_circulation, speed, density);
  // Half the amplitude of each strip's wave times V, and where across the stream it is raised.
  struct Wave {
    std::size_t surface;
    double strength, from, to;
  };
  const Vec3& up = lattice.mirror->normal;
  const double wave_number = standard_gravity / (speed * speed);
  std::vector<Wave> waves;
  for (std::size_t j = 0; j < lattice.strips.size(); ++j) {
    const Strip& strip = lattice.strips[j];
    const double depth = std::max(0.0, -dot(strip.leading_edge - lattice.mirror->point, up));
    const double level = norm(strip.direction - dot(strip.direction, up) * up) * strip.width;
    const double y = strip.leading_edge.y;
    waves.push_back({strip.surface, std::abs(strip_circulation[j]) * std::exp(-wave_number * depth),
                     y - 0.5 * level, y + 0.5 * level});
  }
  double sum = 0;
  for (const Wave& a : waves)
    for (const Wave& b : waves)
      if (&a == &b || a.surface != b.surface)
        sum += a.strength * b.strength * std::max(0.0, std::min(a.to, b.to) - std::max(a.from, b.from));
  return density * wave_number * sum;
}

} // namespace vlm
