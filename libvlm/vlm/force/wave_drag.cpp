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

void check_state(const Lattice& lattice, std::span<const double> strip_circulation, double speed) {
  if (strip_circulation.size() != lattice.strips.size() || !(speed > 0))
    throw Error("drag of waves: found " + std::to_string(strip_circulation.size()) + " circulations at " +
                std::to_string(speed) + " m/s, wanted one for each of " +
                std::to_string(lattice.strips.size()) + " strips and a speed above 0");
  if (!std::isfinite(speed) || !std::all_of(strip_circulation.begin(), strip_circulation.end(),
                                            [](double gamma) { return std::isfinite(gamma); }))
    throw Error("drag of waves: found a circulation or a speed that is not finite, wanted finite ones");
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
  std::size_t entry;       // of the result
  double circulation;      // [m²/s]
  double x, y, z;          // its middle
  double width_y, width_z; // from its first end to its last
};

// An end of such a line, where its wake leaves.
struct WakeLine {
  std::size_t entry;
  double circulation, y, z;
};

struct Lines {
  std::vector<Line> line;
  std::vector<WakeLine> wake;
  double depth = std::numeric_limits<double>::infinity(); // of the highest [m]
  double width = 0;                                       // of all [m]
};

// Where the wake of an edge leaves: from the trailing edge, or at the end of a root's way over the skin.
Vec3 wake_edge(const Lattice& lattice, const Row& row, std::size_t edge) {
  if (edge == 0 && !row.skin_path[0].empty())
    return row.skin_path[0].back();
  if (edge == row.num_strips && !row.skin_path[1].empty())
    return row.skin_path[1].back();
  return lattice.node(row, edge, row.nodes_per_edge() - 1);
}

// An entry of the result for each surface that counts, with its point, and their lines.
Lines make_lines(const Lattice& lattice, std::span<const double> strip_circulation,
                 std::vector<StillSurfaceDrag>& result) {
  const SurfaceAxes axes(*lattice.mirror);
  Lines lines;
  std::vector<double> weight; // of each entry, by which its point is the middle
  double port = std::numeric_limits<double>::infinity(), starboard = -port;
  for (const Row& row : lattice.rows) {
    if (row.shell || row.ends[0] == RowEnd::still_surface || row.ends[1] == RowEnd::still_surface)
      continue;
    for (std::size_t i = 0; i < row.num_strips; ++i) {
      const std::size_t j = row.first_strip + i;
      const Strip& strip = lattice.strips[j];
      const auto known = std::find_if(result.begin(), result.end(), [&](const StillSurfaceDrag& of) {
        return of.surface == strip.surface;
      });
      const auto entry = static_cast<std::size_t>(known - result.begin());
      if (known == result.end()) {
        result.push_back({strip.surface, 0, 0, {}});
        weight.push_back(0);
      }
      const Vec3 from = wake_edge(lattice, row, i), to = wake_edge(lattice, row, i + 1),
                 middle = 0.5 * (from + to), width = to - from,
                 quarter = strip.leading_edge + 0.25 * (strip.wake_point - strip.leading_edge);
      const double gamma = strip_circulation[j];
      lines.line.push_back({entry, gamma, axes.x(quarter), axes.y(middle), axes.z(middle),
                            dot(width, axes.across), dot(width, axes.up)});
      for (const auto& [end, circulation] : {std::pair{from, -gamma}, {to, gamma}}) {
        lines.wake.push_back({entry, circulation, axes.y(end), axes.z(end)});
        lines.depth = std::min(lines.depth, -axes.z(end));
        port = std::min(port, axes.y(end)), starboard = std::max(starboard, axes.y(end));
      }
      const double counts = gamma * gamma * strip.width;
      result[entry].point += counts * quarter;
      weight[entry] += counts;
    }
  }
  lines.depth = std::max(lines.depth, least_distance);
  lines.width = starboard - port;
  for (std::size_t entry = 0; entry < result.size(); ++entry)
    if (weight[entry] > 0)
      result[entry].point = (1 / weight[entry]) * result[entry].point;
  return lines;
}

// −(ρ/4π) Σ γ_m γ_n ln r_mn over pairs of lines and images is their part of a metre's energy, which is drag.
void add_images(const Lines& lines, double density, std::vector<StillSurfaceDrag>& result) {
  for (const WakeLine& a : lines.wake) {
    double sum = 0;
    for (const WakeLine& b : lines.wake)
      sum += b.circulation * std::log(std::max(std::hypot(a.y - b.y, a.z + b.z), least_distance));
    result[a.entry].image -= density / (4 * pi) * a.circulation * sum;
  }
}

// Mean over a line of exp(middle + c·s), s from −1/2 to 1/2.
Complex mean_along(const Complex& middle, const Complex& c) {
  if (std::norm(c) > 0.25)
    return (std::exp(middle + 0.5 * c) - std::exp(middle - 0.5 * c)) / c;
  const Complex c2 = c * c; // leaves 4e-11
  return std::exp(middle) * (1.0 + c2 / 24.0 * (1.0 + c2 / 80.0 * (1.0 + c2 / 168.0)));
}

// Steps of the trapezium rule over v, sinh v = tan θ of the waves' direction θ, from −count to count. A term
// of the integrand falls as exp(−2kd cosh²v), d the least depth, and turns as fast as lines b apart make it.
// It is analytic and no larger for |Im v| < η, tan 2η = 2d/b, so a step of 2πη/n leaves exp(−n).
struct Directions {
  int count;
  double step;

  Directions(double wave_number, double depth, double width) {
    const double eta = 0.25 * std::atan2(2 * depth, width); // half of that, so that it still falls there
    const double reach = std::asinh(4.2 / std::sqrt(wave_number * depth)); // exp(−2·4.2²) = 5e-16
    // Lines within some hundredth of their span want more; the sum is then a sample of the integrand.
    constexpr double most = 3000;
    count = static_cast<int>(std::min(most, std::ceil(reach / (2 * pi * eta / 20))));
    step = reach / count;
  }
};

// (ρ k²/2π) ∫ |Q|² cosh⁴v dv, Q = Σ Γ (dy − i tanh v dz) E, E the wave of a source at the line.
void add_waves(const Lines& lines, double k, double density, std::vector<StillSurfaceDrag>& result) {
  const Directions directions(k, lines.depth, lines.width);
  std::vector<Complex> q(result.size());
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
    for (std::size_t entry = 0; entry < result.size(); ++entry)
      result[entry].waves += factor * std::real(q[entry] * std::conj(sum));
  }
}

} // namespace

std::vector<StillSurfaceDrag> still_surface_drag(const Lattice& lattice,
                                                 std::span<const double> strip_circulation, double speed,
                                                 double density) {
  if (!has_free_surface(lattice))
    return {};
  check_state(lattice, strip_circulation, speed);
  std::vector<StillSurfaceDrag> result;
  const Lines lines = make_lines(lattice, strip_circulation, result);
  if (!lines.line.empty()) {
    add_images(lines, density, result);
    add_waves(lines, standard_gravity / (speed * speed), density, result);
  }
  return result;
}

double wave_drag_at_most(const Lattice& lattice, std::span<const double> strip_circulation, double speed,
                         double density) {
  if (!has_free_surface(lattice))
    return 0;
  check_state(lattice, strip_circulation, speed);
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
