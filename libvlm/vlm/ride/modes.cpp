#include <vlm/ride/modes.hpp>

#include <algorithm>
#include <cmath>
#include <complex>
#include <numbers>

#include <Eigen/Dense>

#include <vlm/base/error.hpp>

namespace vlm {
namespace {

using Eigen::Index;

constexpr std::size_t surge = 0, heave = 1, pitch = 2, num_coordinates = 3;
constexpr std::array<const char*, num_coordinates> coordinate_names{"surge", "heave", "pitch"};

// Rounding of an eigenvalue, as a share of what it is compared with.
constexpr double rounding = 1e-9;

void add_column(Matrix& matrix, std::size_t column, double factor, const StreamLoads& loads) {
  matrix(surge, column) += factor * loads.forward;
  matrix(heave, column) += factor * loads.up;
  matrix(pitch, column) += factor * loads.pitch;
}

Eigen::Matrix3d eigen_matrix(const Matrix& m) {
  return Eigen::Map<const Eigen::Matrix3d>(m.values.data());
}

// What moves most, and what moves at least half as much.
std::string movers(const std::array<double, num_coordinates>& share) {
  const double most = *std::max_element(share.begin(), share.end());
  std::vector<std::string> names;
  for (std::size_t i = 0; i < num_coordinates; ++i)
    if (share[i] >= 0.5 * most)
      names.emplace_back(coordinate_names[i]);
  std::string text = names[0];
  for (std::size_t i = 1; i < names.size(); ++i)
    text += (i + 1 < names.size() ? ", " : " and ") + names[i];
  return text;
}

Mode mode_of(std::complex<double> eigenvalue, double fastest, const std::array<double, 3>& share,
             double chord_time) {
  Mode m;
  const double size = std::abs(eigenvalue), growth = eigenvalue.real(), swing = eigenvalue.imag();
  m.growth = growth;
  m.share = share;
  m.reduced_frequency = size * chord_time;
  m.quasi_steady = m.reduced_frequency < quasi_steady_limit;
  const bool oscillates = swing > 0, neutral = std::abs(growth) <= rounding * (oscillates ? size : fastest);
  if (oscillates) {
    m.angular_frequency = swing;
    m.frequency = swing / (2 * std::numbers::pi);
    m.damping_ratio = -growth / size;
  } else if (!neutral) {
    m.time_constant = 1 / std::abs(growth);
  }
  if (!neutral)
    (growth < 0 ? m.time_to_half : m.time_to_double) = std::numbers::ln2 / std::abs(growth);
  const bool grows = growth > 0 && !neutral;
  m.name = std::string(oscillates ? (grows ? "growing oscillation" : "oscillation")
                       : neutral  ? "drift"
                       : grows    ? "divergence"
                                  : "subsidence") +
           " in " + movers(share);
  return m;
}

} // namespace

LongitudinalMotion motion_of(const LevelFlight& flight) {
  const double v = flight.speed;
  LongitudinalMotion m;
  m.mass = flight.added_mass;
  m.mass(surge, surge) += flight.mass;
  m.mass(heave, heave) += flight.mass;
  m.mass(pitch, pitch) += flight.pitch_inertia;

  add_column(m.rate, surge, 1, flight.by_speed);
  add_column(m.rate, heave, -1 / v, flight.by_alpha);
  add_column(m.rate, heave, -1 / v, {flight.lift, flight.drag, 0});
  add_column(m.rate, pitch, 1, flight.by_pitch_rate);
  for (std::size_t i = 0; i < num_coordinates; ++i)
    m.rate(i, pitch) += v * flight.added_mass(i, heave);
  add_column(m.rate, pitch, 1, flight.by_alpha_rate);
  add_column(m.mass, heave, 1 / v, flight.by_alpha_rate);

  add_column(m.place, heave, -1, flight.by_depth);
  add_column(m.place, pitch, 1, flight.by_alpha);
  add_column(m.place, pitch, flight.origin_aft, flight.by_depth);
  m.place(heave, pitch) += flight.turning_thrust;
  m.place(pitch, pitch) += flight.attitude_moment;
  return m;
}

std::vector<Mode> modes(const LongitudinalMotion& motion, double speed, double chord) {
  const Eigen::Matrix3d mass = eigen_matrix(motion.mass);
  const Eigen::FullPivLU<Eigen::Matrix3d> lu(mass);
  if (!mass.allFinite() || !eigen_matrix(motion.rate).allFinite() ||
      !eigen_matrix(motion.place).allFinite() || !lu.isInvertible())
    throw Error("natural motions: found mass, inertia or a derivative that is not finite, or no mass, wanted "
                "masses above 0 and finite derivatives",
                ErrorKind::run);
  std::vector<Index> places;
  for (Index i = 0; i < mass.cols(); ++i)
    if (!eigen_matrix(motion.place).col(i).isZero(0))
      places.push_back(i);
  // Velocities first, then the places that matter.
  const Index velocities = mass.rows(), size = velocities + static_cast<Index>(places.size());
  Eigen::MatrixXd a = Eigen::MatrixXd::Zero(size, size);
  a.topLeftCorner(velocities, velocities) = lu.solve(eigen_matrix(motion.rate));
  const Eigen::Matrix3d by_place = lu.solve(eigen_matrix(motion.place));
  for (Index k = velocities; k < size; ++k) {
    const Index coordinate = places[static_cast<std::size_t>(k - velocities)];
    a.col(k).head(velocities) = by_place.col(coordinate);
    a(k, coordinate) = 1;
  }
  const Eigen::EigenSolver<Eigen::MatrixXd> solver(a);
  if (solver.info() != Eigen::Success)
    throw Error("natural motions: the eigenvalues do not converge", ErrorKind::run);

  const Eigen::VectorXcd values = solver.eigenvalues();
  const Eigen::MatrixXcd vectors = solver.eigenvectors();
  const double fastest = values.cwiseAbs().maxCoeff();
  std::vector<Mode> all;
  for (Index k = 0; k < size; ++k) {
    if (values[k].imag() < 0)
      continue; // of each pair, one
    std::array<double, num_coordinates> share{};
    for (Index i = 0; i < velocities; ++i)
      share[static_cast<std::size_t>(i)] = std::abs(mass(i, i)) * std::norm(vectors(i, k));
    if (std::abs(values[k]) <= rounding * fastest) // where places drift, they do so at no velocity
      for (Index i = velocities; i < size; ++i) {
        const Index coordinate = places[static_cast<std::size_t>(i - velocities)];
        share[static_cast<std::size_t>(coordinate)] +=
            std::abs(mass(coordinate, coordinate)) * std::norm(vectors(i, k));
      }
    const double sum = share[surge] + share[heave] + share[pitch];
    for (double& s : share)
      s /= sum;
    all.push_back(mode_of(values[k], fastest, share, chord / (2 * speed)));
  }
  std::stable_sort(all.begin(), all.end(),
                   [](const Mode& x, const Mode& y) { return x.reduced_frequency > y.reduced_frequency; });
  return all;
}

} // namespace vlm
