#include <vlm/flow/system.hpp>

#include <algorithm>
#include <array>
#include <atomic>
#include <cmath>
#include <optional>
#include <utility>
#include <vector>

#include <Eigen/Core>

#include <vlm/base/error.hpp>
#include <vlm/base/memory.hpp>
#include <vlm/flow/dense_factors.hpp>
#include <vlm/flow/hierarchical_system.hpp>
#include <vlm/flow/ring_basis.hpp>
#include <vlm/flow/still_block.hpp>
#include <vlm/flow/still_part.hpp>
#include <vlm/flow/still_state.hpp>
#include <vlm/flow/symmetry.hpp>

namespace vlm {
namespace {

using Eigen::Index;

// Share of the greatest wash that counts as no wash of the antisymmetric half: of the causes that a system is
// made for, and of those that it is then asked for, which may have been worked out from its own answers.
constexpr double no_wash = 1e-11, little_wash = 1e-8;

// From this many panels on the hierarchical system takes less time (tests/bench).
constexpr std::size_t most_dense_panels = 3000;

// One of the systems that a lattice is solved by.
struct Part : PartOfLattice {
  DenseFactors<double> dense; // empty of a hierarchical system
  std::optional<HierarchicalSystem> hierarchical = std::nullopt;
  // Where some rows stand still: the still ones of the panels come first, and the matrix is theirs alone, if
  // they are not factorised yet.
  Index num_still = 0;
  std::optional<StillBlock> block = std::nullopt;

  // Puts a row into the blocks, where there are some; still entries of still rows only if wanted.
  void put(Index u, const double* entries, bool still_is_known) {
    const Eigen::Map<const Eigen::RowVectorXd> row(entries, static_cast<Index>(panel.size()));
    const Index num_moved = row.size() - num_still;
    if (u >= num_still) {
      block->moved_by_still.row(u - num_still) = row.head(num_still);
      block->moved.row(u - num_still) = row.tail(num_moved);
      return;
    }
    block->still_by_moved.row(u) = row.tail(num_moved);
    if (!still_is_known)
      dense.values.map().row(u) = row.head(num_still);
  }
};

[[noreturn]] void refuse_singular() {
  throw Error(
      "the system of the lattice is singular: two surfaces lie in each other, or a strip has no width",
      ErrorKind::run);
}

void check_pivots(const DenseFactors<double>& factors) {
  if (singular(factors))
    refuse_singular();
}

} // namespace

struct FlowSystem::State {
  Influence influence;
  std::optional<MirrorImage> mirror;
  bool symmetric_only = false; // the antisymmetric half is not made
  std::vector<Part> parts;
  Matrix source_wash; // [panels × sources]: normal velocity of each source line in unit axial stream
  double estimated_bytes = 0;
  std::size_t factorisations = 0;
  std::atomic<std::size_t> solves = 0;

  explicit State(Influence i) : influence(std::move(i)) {}

  // Velocity normal to each panel that circulation must cancel: onset on the normals, the lattice's own slope
  // times the axial onset, the turn, and what the fuselage's sources add.
  void add_wash(const Cause& cause, std::span<double> wash) const {
    const Lattice& lattice = influence.lattice();
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

  // The first entry of a row that has to be made: where the still block is known, still ones of still rows
  // are not.
  static Index first_entry(const Part& part, Index row, bool still_is_known) {
    return still_is_known && row < part.num_still ? part.num_still : 0;
  }

  // Fills and factorises the dense matrices of all parts. still: what stands as it did, or null.
  void assemble(ThreadPool& pool, StillPart::State* still) {
    const Lattice& lattice = influence.lattice();
    const std::size_t panels = lattice.num_panels();
    std::vector<std::size_t> row_of(panels);
    for (std::size_t r = 0; r < lattice.rows.size(); ++r)
      for (std::size_t p = 0; p < lattice.rows[r].num_panels(); ++p)
        row_of[lattice.rows[r].first_panel + p] = r;
    bool still_is_known = still && !still->inverses.empty();
    if (still)
      for (Part& part : parts) {
        const auto moved = std::stable_partition(part.panel.begin(), part.panel.end(),
                                                 [&](std::size_t i) { return still->still[row_of[i]]; });
        part.num_still = moved - part.panel.begin();
        still_is_known =
            still_is_known && std::any_of(still->inverses.begin(), still->inverses.end(),
                                          [&](const auto& i) { return i.parity == part.parity; });
      }
    for (const Part& part : parts) {
      const auto size = static_cast<double>(part.panel.size()), known = static_cast<double>(part.num_still);
      // A still block that is known is not made again; one that is not is kept as its inverse besides.
      estimated_bytes += sizeof(double) * (size * size + (still_is_known ? -1 : 1) * known * known);
    }
    check_memory(panels, estimated_bytes);
    std::vector<std::vector<Index>> place(parts.size(), std::vector<Index>(panels, -1));
    for (std::size_t p = 0; p < parts.size(); ++p) {
      Part& part = parts[p];
      const auto size = static_cast<Index>(part.panel.size());
      if (still) {
        const Index moved = size - part.num_still;
        part.block.emplace();
        part.block->still_by_moved.resize(part.num_still, moved);
        part.block->moved_by_still.resize(moved, part.num_still);
        part.block->moved.resize(moved, moved);
      }
      const Index whole = still_is_known ? 0 : still ? part.num_still : size;
      part.dense.values = {whole, whole};
      prefer_huge_pages(part.dense.values.map().data(),
                        sizeof(double) * static_cast<std::size_t>(whole * whole));
      for (Index u = 0; u < size; ++u)
        place[p][part.panel[static_cast<std::size_t>(u)]] = u;
    }
    // What still panels see of the moved ones, by these alone.
    std::optional<SomeRows> moved;
    if (still_is_known && !still->shell)
      moved = some_rows(influence, still->still);
    // What each unknown's mirror image adds to its column.
    struct Columns {
      std::vector<std::size_t> own, image; // places in a row of influence
      std::vector<double> share;
    };
    const std::vector<std::size_t>& in_row = influence.place_in_row();
    std::vector<Columns> columns(parts.size());
    for (std::size_t p = 0; p < parts.size(); ++p)
      for (const std::size_t j : parts[p].panel) {
        const bool has_image = parts[p].parity != 0 && mirror->panel[j] != j;
        columns[p].own.push_back(in_row[j]);
        columns[p].image.push_back(in_row[has_image ? mirror->panel[j] : j]);
        columns[p].share.push_back(has_image ? parts[p].parity * mirror->sign[j] : 0);
      }
    // Rows are worked out some at a time and then put into columns: there they lie side by side.
    constexpr std::size_t block = 8;
    struct Rows {
      std::array<Index, block> unknown;
      std::size_t count;
      std::vector<double> entries; // of unknown[k] from k·panels on
    };
    pool.for_each((panels + block - 1) / block, [&](std::size_t b) {
      thread_local std::vector<double> wash, seen;
      thread_local std::vector<Rows> rows;
      rows.resize(parts.size());
      for (Rows& r : rows)
        r.count = 0, r.entries.resize(block * panels);
      for (std::size_t i = b * block; i < std::min(panels, (b + 1) * block); ++i) {
        const bool wanted = std::any_of(place.begin(), place.end(), [&](const auto& p) { return p[i] >= 0; });
        if (!wanted) // the image of another, or antisymmetric where only the other half is made
          continue;
        wash.resize(influence.row_size());
        if (moved && still->still[row_of[i]]) {
          seen.resize(moved->influence.row_size());
          moved->influence.wash_row({lattice.control[i], lattice.normal[i]}, std::nullopt, seen);
          for (std::size_t k = 0; k < moved->panels.size(); ++k)
            wash[in_row[moved->panels[k]]] = seen[moved->influence.place_in_row()[k]];
        } else {
          influence.wash_row({lattice.control[i], lattice.normal[i]}, row_of[i], wash);
        }
        for (std::size_t part = 0; part < parts.size(); ++part) {
          const Index u = place[part][i];
          if (u < 0)
            continue;
          const Part& p = parts[part];
          Rows& r = rows[part];
          double* entry = &r.entries[r.count * panels];
          const Columns& c = columns[part];
          for (auto v = static_cast<std::size_t>(first_entry(p, u, still_is_known)); v < p.panel.size(); ++v)
            entry[v] = wash[c.own[v]] + c.share[v] * wash[c.image[v]];
          r.unknown[r.count++] = u;
        }
      }
      for (std::size_t part = 0; part < parts.size(); ++part) {
        Part& p = parts[part];
        const Rows& r = rows[part];
        const auto size = static_cast<Index>(p.panel.size());
        for (std::size_t k = 0; k < r.count && p.block; ++k)
          p.put(r.unknown[k], &r.entries[k * panels], still_is_known);
        for (Index v = 0; v < size && !p.block; ++v)
          for (std::size_t k = 0; k < r.count; ++k)
            p.dense.values.map().data()[v * size + r.unknown[k]] =
                r.entries[k * panels + static_cast<std::size_t>(v)];
      }
    });
    if (!still_is_known) {
      std::vector<DenseFactors<double>*> all;
      for (Part& part : parts)
        all.push_back(&part.dense);
      factorise(all, pool);
      for (const Part& part : parts)
        check_pivots(part.dense);
    }
    if (!still)
      return;
    if (!still_is_known) {
      still->inverses.clear();
      for (Part& part : parts)
        still->inverses.push_back({part.parity, std::make_shared<const StillBlock::Rows>(
                                                    inverse(std::exchange(part.dense, {}), pool))});
    }
    for (Part& part : parts) {
      for (const StillPart::State::Inverse& i : still->inverses)
        if (i.parity == part.parity)
          part.block->still_inverse = i.of_block;
      part.block->factorise();
      check_pivots(part.block->moved_factors);
    }
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
  bool belongs(const Part& part, std::size_t i) const {
    const std::size_t image = mirror->panel[i];
    return i < image || (i == image && mirror->sign[i] == part.parity);
  }
};

SystemKind system_kind(const Lattice& lattice) {
  return lattice.system.value_or(lattice.num_panels() > most_dense_panels ? SystemKind::hierarchical
                                                                          : SystemKind::dense);
}

FlowSystem::FlowSystem(const Lattice& lattice, const Vec3& wake_direction, ThreadPool& pool, bool full_size)
    : state_(std::make_unique<State>(Influence(lattice, wake_direction))) {
  if (!full_size)
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
  const Lattice& lattice = s.influence.lattice();
  const std::size_t panels = lattice.num_panels();
  if (s.mirror) {
    for (const double parity : {1.0, -1.0}) {
      if (parity < 0 && s.symmetric_only)
        continue;
      Part part{{parity, {}}, {}};
      for (std::size_t i = 0; i < panels; ++i)
        if (s.belongs(part, i))
          part.panel.push_back(i);
      if (!part.panel.empty())
        s.parts.push_back(std::move(part));
    }
  } else {
    Part part;
    for (std::size_t i = 0; i < panels; ++i)
      part.panel.push_back(i);
    s.parts.push_back(std::move(part));
  }

  if (system_kind(lattice) == SystemKind::hierarchical)
    for (Part& part : s.parts) {
      part.hierarchical.emplace(s.influence, s.mirror ? &*s.mirror : nullptr, part, pool);
      s.estimated_bytes += part.hierarchical->estimated_bytes();
    }
  else
    s.assemble(pool, still ? still->state_.get() : nullptr);
  ++s.factorisations; // all parts of one lattice count as one
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
std::size_t FlowSystem::num_factorisations() const {
  return state_->factorisations;
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
  if (s.symmetric_only && !s.mirrors_itself(wash, little_wash))
    throw Error("cause: found one that is not its own mirror image about y = 0, wanted a system made for it");
  Matrix circulation(panels, columns);
  const auto image = [&](const Part& part, std::size_t i) {
    return part.parity == 0 ? i : s.mirror->panel[i];
  };
  std::vector<Eigen::MatrixXd> unknown; // one a part, one column a cause; first the right-hand sides
  for (const Part& part : s.parts) {
    unknown.emplace_back(static_cast<Index>(part.panel.size()), static_cast<Index>(columns));
    for (std::size_t c = 0; c < columns; ++c)
      for (std::size_t u = 0; u < part.panel.size(); ++u) {
        const std::size_t i = part.panel[u], j = image(part, i);
        unknown.back()(static_cast<Index>(u), static_cast<Index>(c)) =
            i == j ? -wash(i, c) : -0.5 * (wash(i, c) + part.parity * s.mirror->sign[i] * wash(j, c));
      }
  }
  const auto solve_part = [&](std::size_t p) {
    if (s.parts[p].hierarchical)
      unknown[p] = s.parts[p].hierarchical->solve(unknown[p], pool);
    else if (s.parts[p].block)
      unknown[p] = s.parts[p].block->solve(unknown[p]);
    else
      unknown[p] = vlm::solve(s.parts[p].dense, unknown[p]);
  };
  if (pool && system_kind(lattice()) == SystemKind::dense) // the other kind shares each part's work itself
    pool->for_each(s.parts.size(), solve_part);
  else
    for (std::size_t p = 0; p < s.parts.size(); ++p)
      solve_part(p);
  s.solves += columns;
  for (std::size_t p = 0; p < s.parts.size(); ++p) {
    const Part& part = s.parts[p];
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
