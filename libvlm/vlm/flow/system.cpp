#include <vlm/flow/system.hpp>

#include <algorithm>
#include <atomic>
#include <cmath>
#include <optional>
#include <utility>
#include <vector>

#include <Eigen/Core>

#include <vlm/base/error.hpp>
#include <vlm/flow/dense_system.hpp>
#include <vlm/flow/hierarchical_system.hpp>
#include <vlm/flow/still_part.hpp>
#include <vlm/flow/symmetry.hpp>

namespace vlm {
namespace {

using Eigen::Index;

// Share of the greatest wash that counts as no wash of the antisymmetric half: of the causes that a system is
// made for, and of those that it is then asked for, which may have been worked out from its own answers.
constexpr double no_wash = 1e-11, little_wash = 1e-8;

// From this many panels on the hierarchical system takes less time (tests/bench).
constexpr std::size_t most_dense_panels = 3000;

void check_finite(const Matrix& wash) {
  if (!std::all_of(wash.values.begin(), wash.values.end(), [](double v) { return std::isfinite(v); }))
    throw Error("cause: found one by which the water comes with no finite velocity, wanted numbers");
}

} // namespace

struct FlowSystem::State {
  Influence influence;
  std::optional<MirrorImage> mirror;
  bool symmetric_only = false; // the antisymmetric half is not made
  std::vector<PartOfLattice> parts;
  std::vector<DenseSystem> dense;               // one a part, or none
  std::vector<HierarchicalSystem> hierarchical; // likewise
  Matrix source_wash; // [panels × sources]: normal velocity of each source line in unit axial stream
  double estimated_bytes = 0;
  std::atomic<std::size_t> solves = 0;

  explicit State(Influence i) : influence(std::move(i)) {}

  // Velocity normal to each panel that circulation must cancel: onset on the normals, the lattice's own slope
  // times the axial onset, the turn, and what the fuselage's sources add.
  void add_wash(const Cause& cause, std::span<double> wash) const {
    const Lattice& lattice = influence.lattice();
    if (!cause.turn.empty() && cause.turn.size() != lattice.strips.size())
      throw Error("cause: found turns of " + std::to_string(cause.turn.size()) +
                  " strips, wanted one for each of " + std::to_string(lattice.strips.size()) + ", or none");
    for (std::size_t p = 0; p < wash.size(); ++p) {
      const Vec3 v = onset(cause, lattice.control[p]);
      wash[p] += dot(v, lattice.normal[p]) + lattice.slope[p] * v.x;
    }
    if (!cause.turn.empty())
      for (std::size_t j = 0; j < lattice.strips.size(); ++j) {
        const Strip& strip = lattice.strips[j];
        for (std::size_t k = 0; k < lattice.rows[strip.row].panels_per_strip; ++k)
          wash[strip.first_panel + k] += cause.turn[j];
      }
    const std::vector<double> axial = axial_onset(lattice, cause);
    for (std::size_t k = 0; k < axial.size(); ++k)
      for (std::size_t p = 0; p < wash.size(); ++p)
        wash[p] += axial[k] * source_wash(p, k);
  }

  Matrix wash_of(std::span<const Cause> causes) const {
    Matrix wash(influence.lattice().num_panels(), causes.size());
    for (std::size_t c = 0; c < causes.size(); ++c)
      add_wash(causes[c], wash.column(c));
    check_finite(wash);
    return wash;
  }

  void add_sources(ThreadPool& pool) {
    const Lattice& lattice = influence.lattice();
    source_wash = Matrix(lattice.num_panels(), lattice.sources.size());
    pool.for_each(lattice.num_panels(), [&](std::size_t i) {
      thread_local std::vector<Vec3> from_sources;
      from_sources.resize(lattice.sources.size());
      influence.source_row(lattice.control[i], from_sources);
      for (std::size_t k = 0; k < from_sources.size(); ++k)
        source_wash(i, k) = dot(from_sources[k], lattice.normal[i]);
    });
  }

  // Whether each column is its own mirror image, to a share of the greatest entry.
  bool mirrors_itself(const Matrix& wash, double tolerance) const {
    for (std::size_t c = 0; c < wash.cols; ++c) {
      double greatest = 0, odd = 0;
      for (std::size_t i = 0; i < wash.rows; ++i) {
        greatest = std::max(greatest, std::abs(wash(i, c)));
        odd = std::max(odd, 0.5 * std::abs(wash(i, c) - mirror->sign[i] * wash(mirror->panel[i], c)));
      }
      if (odd > tolerance * greatest)
        return false;
    }
    return true;
  }

  // Whether the part solves for panel i; the panel's image follows.
  bool belongs(const PartOfLattice& part, std::size_t i) const {
    const std::size_t image = mirror->panel[i];
    return i < image || (i == image && mirror->sign[i] == part.parity);
  }
};

SystemKind system_kind(const Lattice& lattice) {
  return lattice.system.value_or(lattice.num_panels() > most_dense_panels ? SystemKind::hierarchical
                                                                          : SystemKind::dense);
}

FlowSystem::FlowSystem(const Lattice& lattice, const Vec3& wake_direction, ThreadPool& pool, SystemSize size)
    : state_(std::make_unique<State>(Influence(lattice, wake_direction))) {
  if (size == SystemSize::least)
    state_->mirror = mirror_image(lattice, wake_direction);
  state_->add_sources(pool);
  build(pool, nullptr);
}

FlowSystem::FlowSystem(const Lattice& lattice, const Vec3& wake_direction, ThreadPool& pool,
                       std::span<const Cause> only, StillPart* still)
    : state_(std::make_unique<State>(Influence(lattice, wake_direction))) {
  if (still && !still->fits(lattice, wake_direction))
    throw Error("still rows: found those of another lattice or wake, wanted ones that fit");
  State& s = *state_;
  s.mirror = mirror_image(lattice, wake_direction);
  s.add_sources(pool);
  s.symmetric_only = s.mirror && s.mirrors_itself(s.wash_of(only), no_wash);
  build(pool, still);
}

void FlowSystem::build(ThreadPool& pool, StillPart* still) {
  State& s = *state_;
  const std::size_t panels = lattice().num_panels();
  for (const double parity : {1.0, -1.0, 0.0}) {
    if (s.mirror ? parity == 0 || (parity < 0 && s.symmetric_only) : parity != 0)
      continue;
    PartOfLattice part{parity, {}};
    for (std::size_t i = 0; i < panels; ++i)
      if (!s.mirror || s.belongs(part, i))
        part.panel.push_back(i);
    if (!part.panel.empty())
      s.parts.push_back(std::move(part));
  }
  const MirrorImage* mirror = s.mirror ? &*s.mirror : nullptr;
  if (system_kind(lattice()) == SystemKind::hierarchical)
    for (const PartOfLattice& part : s.parts) {
      s.hierarchical.emplace_back(s.influence, mirror, part, pool);
      s.estimated_bytes += s.hierarchical.back().estimated_bytes();
    }
  else {
    DenseSystems made =
        dense_systems(s.influence, mirror, s.parts, still ? still->state_.get() : nullptr, pool);
    s.dense = std::move(made.of_parts);
    s.estimated_bytes = made.estimated_bytes;
  }
}

FlowSystem::~FlowSystem() = default;
FlowSystem::FlowSystem(FlowSystem&&) noexcept = default;
FlowSystem& FlowSystem::operator=(FlowSystem&&) noexcept = default;

const Influence& FlowSystem::influence() const {
  return state_->influence;
}
bool FlowSystem::split_by_symmetry() const {
  return state_->mirror.has_value();
}
double FlowSystem::estimated_bytes() const {
  return state_->estimated_bytes;
}
std::size_t FlowSystem::num_solves() const {
  return state_->solves;
}

Matrix FlowSystem::solve(std::span<const Cause> causes, ThreadPool* pool) const {
  return solve(state_->wash_of(causes), pool);
}

Matrix FlowSystem::solve(const Matrix& wash, ThreadPool* pool) const {
  State& s = *state_;
  const std::size_t panels = lattice().num_panels(), columns = wash.cols;
  if (wash.rows != panels)
    throw Error("normal velocity: found " + std::to_string(wash.rows) + " rows, wanted one for each of " +
                std::to_string(panels) + " panels");
  check_finite(wash);
  if (s.symmetric_only && !s.mirrors_itself(wash, little_wash))
    throw Error("cause: found one that is not its own mirror image about y = 0, wanted a system made for it");
  Matrix circulation(panels, columns);
  const auto image = [&](const PartOfLattice& part, std::size_t i) {
    return part.parity == 0 ? i : s.mirror->panel[i];
  };
  std::vector<Eigen::MatrixXd> unknown; // one a part, one column a cause; first the right-hand sides
  for (const PartOfLattice& part : s.parts) {
    unknown.emplace_back(static_cast<Index>(part.panel.size()), static_cast<Index>(columns));
    for (std::size_t c = 0; c < columns; ++c)
      for (std::size_t u = 0; u < part.panel.size(); ++u) {
        const std::size_t i = part.panel[u], j = image(part, i);
        unknown.back()(static_cast<Index>(u), static_cast<Index>(c)) =
            i == j ? -wash(i, c) : -0.5 * (wash(i, c) + part.parity * s.mirror->sign[i] * wash(j, c));
      }
  }
  if (!s.hierarchical.empty()) // each shares its work itself
    for (std::size_t p = 0; p < s.parts.size(); ++p)
      unknown[p] = s.hierarchical[p].solve(unknown[p], pool);
  else {
    const auto solve_part = [&](std::size_t p) { unknown[p] = s.dense[p].solve(unknown[p]); };
    if (pool)
      pool->for_each(s.parts.size(), solve_part);
    else
      for (std::size_t p = 0; p < s.parts.size(); ++p)
        solve_part(p);
  }
  s.solves += columns;
  for (std::size_t p = 0; p < s.parts.size(); ++p) {
    const PartOfLattice& part = s.parts[p];
    for (std::size_t c = 0; c < columns; ++c)
      for (std::size_t u = 0; u < part.panel.size(); ++u) {
        const std::size_t i = part.panel[u], j = image(part, i);
        const double value = unknown[p](static_cast<Index>(u), static_cast<Index>(c));
        circulation(i, c) += value;
        if (i != j)
          circulation(j, c) += part.parity * s.mirror->sign[i] * value;
      }
  }
  for (const double value : circulation.values)
    if (!std::isfinite(value))
      throw Error(
          "a circulation came out as no number: a control point lies on a vortex; move one surface slightly",
          ErrorKind::run);
  return circulation;
}

} // namespace vlm
