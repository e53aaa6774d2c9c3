#include <vlm/flow/dense_system.hpp>

#include <algorithm>
#include <array>
#include <memory>
#include <utility>

#include <vlm/base/error.hpp>
#include <vlm/base/memory.hpp>
#include <vlm/flow/influence_state.hpp>

namespace vlm {
namespace {

using Eigen::Index;

void check_pivots(const DenseFactors<double>& factors) {
  if (singular(factors))
    throw Error("the system of the lattice is singular: two surfaces lie in each other, or a strip has no "
                "width",
                ErrorKind::run);
}

// Rows of influence, those of still panels by moved ones alone where the rest of them is known.
class WashRows {
public:
  // known: what stands still, with its inverses, or null.
  WashRows(const Influence& influence, const StillPart::State* known)
      : influence_(influence.state()), row_of_(influence.lattice().row_of_panels()), known_(known) {
    if (known && !known->shell)
      moved_ = some_rows(influence, known->still);
  }

  void operator()(std::size_t panel, std::vector<double>& wash) const {
    const Lattice& lattice = influence_.lattice;
    const View view{lattice.control[panel], lattice.normal[panel]};
    wash.resize(influence_.row_size);
    if (!moved_ || !known_->still[row_of_[panel]]) {
      influence_.wash_row(view, row_of_[panel], wash);
      return;
    }
    const Influence::State& moved = moved_->influence.state();
    thread_local std::vector<double> seen;
    seen.resize(moved.row_size);
    moved.wash_row(view, std::nullopt, seen);
    for (std::size_t k = 0; k < moved_->panels.size(); ++k)
      wash[influence_.place_in_row[moved_->panels[k]]] = seen[moved.place_in_row[k]];
  }

private:
  const Influence::State& influence_;
  std::vector<std::size_t> row_of_;
  const StillPart::State* known_;
  std::optional<SomeRows> moved_;
};

// The matrix of a part while it is made.
class MatrixOfPart {
public:
  MatrixOfPart(const PartOfLattice& part, std::size_t num_still, bool still_is_known, const Influence&,
               const MirrorImage*, DenseSystem& system);

  bool has(std::size_t panel) const { return place_[panel] >= 0; }

  // Takes the entries of a panel's row out of its row of influence.
  void take(std::size_t panel, const std::vector<double>& wash, double* entries) const {
    const bool known = still_is_known_ && place_[panel] < num_still_;
    for (auto v = static_cast<std::size_t>(known ? num_still_ : 0); v < own_.size(); ++v)
      entries[v] = wash[own_[v]] + share_[v] * wash[image_[v]];
  }

  // Puts rows of `count` panels where they belong, entries of each `stride` from the next one's.
  void put(const std::size_t* panels, std::size_t count, const double* entries, std::size_t stride) {
    if (system_.block)
      for (std::size_t k = 0; k < count; ++k)
        put_into_blocks(place_[panels[k]], entries + k * stride);
    else // column after column: there the rows lie side by side
      for (Index v = 0; v < size(); ++v)
        for (std::size_t k = 0; k < count; ++k)
          system_.factors.values.map().data()[v * size() + place_[panels[k]]] =
              entries[k * stride + static_cast<std::size_t>(v)];
  }

private:
  Index size() const { return static_cast<Index>(own_.size()); }
  void put_into_blocks(Index u, const double* entries);

  DenseSystem& system_;
  Index num_still_;
  bool still_is_known_;
  std::vector<Index> place_; // of each panel among the part's, or −1
  // What an unknown and its mirror image have in a row of influence: where, and what share the latter counts.
  std::vector<std::size_t> own_, image_;
  std::vector<double> share_;
};

MatrixOfPart::MatrixOfPart(const PartOfLattice& part, std::size_t num_still, bool still_is_known,
                           const Influence& influence, const MirrorImage* mirror, DenseSystem& system)
    : system_(system), num_still_(static_cast<Index>(num_still)), still_is_known_(still_is_known),
      place_(influence.lattice().num_panels(), -1) {
  const std::vector<std::size_t>& in_row = influence.state().place_in_row;
  for (const std::size_t j : part.panel) {
    const bool has_image = part.parity != 0 && mirror->panel[j] != j;
    place_[j] = size();
    own_.push_back(in_row[j]);
    image_.push_back(in_row[has_image ? mirror->panel[j] : j]);
    share_.push_back(has_image ? part.parity * mirror->sign[j] : 0);
  }
  if (const Index moved = size() - num_still_; system.block) {
    system.block->still_by_moved.resize(num_still_, moved);
    system.block->moved_by_still.resize(moved, num_still_);
    system.block->moved.resize(moved, moved);
  }
  const Index whole = still_is_known ? 0 : system.block ? num_still_ : size();
  system.factors.values = {whole, whole};
  prefer_huge_pages(system.factors.values.map().data(),
                    sizeof(double) * static_cast<std::size_t>(whole * whole));
}

void MatrixOfPart::put_into_blocks(Index u, const double* entries) {
  const Eigen::Map<const Eigen::RowVectorXd> row(entries, size());
  const Index num_moved = size() - num_still_;
  StillBlock& block = *system_.block;
  if (u >= num_still_) {
    block.moved_by_still.row(u - num_still_) = row.head(num_still_);
    block.moved.row(u - num_still_) = row.tail(num_moved);
    return;
  }
  block.still_by_moved.row(u) = row.tail(num_moved);
  if (!still_is_known_)
    system_.factors.values.map().row(u) = row.head(num_still_);
}

void fill(std::span<MatrixOfPart> parts, std::size_t panels, const WashRows& wash_row, ThreadPool& pool) {
  constexpr std::size_t block = 8; // rows at a time
  pool.for_each((panels + block - 1) / block, [&](std::size_t b) {
    struct Rows {
      std::array<std::size_t, block> panel;
      std::size_t count;
      std::vector<double> entries; // of panel[k] from k·panels on
    };
    thread_local std::vector<double> wash;
    thread_local std::vector<Rows> rows; // one a part
    rows.resize(parts.size());
    for (Rows& r : rows)
      r.count = 0, r.entries.resize(block * panels);
    for (std::size_t i = b * block; i < std::min(panels, (b + 1) * block); ++i) {
      const auto wanted = [i](const MatrixOfPart& part) { return part.has(i); };
      if (std::none_of(parts.begin(), parts.end(), wanted))
        continue; // the image of another, or antisymmetric where only the other half is made
      wash_row(i, wash);
      for (std::size_t p = 0; p < parts.size(); ++p)
        if (Rows& r = rows[p]; parts[p].has(i)) {
          parts[p].take(i, wash, &r.entries[r.count * panels]);
          r.panel[r.count++] = i;
        }
    }
    for (std::size_t p = 0; p < parts.size(); ++p)
      parts[p].put(rows[p].panel.data(), rows[p].count, rows[p].entries.data(), panels);
  });
}

// Puts panels of still rows before the others; returns their number.
std::size_t put_still_first(PartOfLattice& part, const StillPart::State& still, const Lattice& lattice) {
  const std::vector<std::size_t> row_of = lattice.row_of_panels();
  const auto moved = std::stable_partition(part.panel.begin(), part.panel.end(),
                                           [&](std::size_t i) { return still.still[row_of[i]]; });
  return static_cast<std::size_t>(moved - part.panel.begin());
}

const StillPart::State::Inverse* inverse_of(const StillPart::State& still, const PartOfLattice& part) {
  for (const StillPart::State::Inverse& i : still.inverses)
    if (i.parity == part.parity)
      return &i;
  return nullptr;
}

// Inverts the still blocks, factorised, of all parts and keeps them.
void keep_inverses(StillPart::State& still, std::span<const PartOfLattice> parts,
                   std::span<DenseSystem> systems, ThreadPool& pool) {
  still.inverses.clear();
  for (std::size_t p = 0; p < parts.size(); ++p) {
    auto of_block =
        std::make_shared<const StillBlock::Rows>(inverse(std::exchange(systems[p].factors, {}), pool));
    still.inverses.push_back({parts[p].parity, std::move(of_block)});
  }
}

} // namespace

Eigen::MatrixXd DenseSystem::solve(const Eigen::MatrixXd& right) const {
  return block ? block->solve(right) : vlm::solve(factors, right);
}

DenseSystems dense_systems(const Influence& influence, const MirrorImage* mirror,
                           std::span<PartOfLattice> parts, StillPart::State* still, ThreadPool& pool) {
  const std::size_t panels = influence.lattice().num_panels();
  const bool still_is_known = still && std::all_of(parts.begin(), parts.end(), [&](const auto& part) {
                                return inverse_of(*still, part) != nullptr;
                              });
  DenseSystems systems;
  std::vector<std::size_t> num_still;
  for (PartOfLattice& part : parts) {
    num_still.push_back(still ? put_still_first(part, *still, influence.lattice()) : 0);
    // A still block that is known is not made again; one that is not is kept as its inverse besides. The
    // moved one is kept with its factors.
    const auto size = static_cast<double>(part.panel.size()), known = static_cast<double>(num_still.back()),
               moved = still ? size - known : 0;
    systems.estimated_bytes +=
        sizeof(double) * (size * size + (still_is_known ? -1 : 1) * known * known + moved * moved);
  }
  check_memory(panels, systems.estimated_bytes);
  systems.of_parts.resize(parts.size());
  std::vector<MatrixOfPart> matrices;
  for (std::size_t p = 0; p < parts.size(); ++p) {
    if (still)
      systems.of_parts[p].block.emplace();
    matrices.emplace_back(parts[p], num_still[p], still_is_known, influence, mirror, systems.of_parts[p]);
  }
  fill(matrices, panels, {influence, still_is_known ? still : nullptr}, pool);

  if (!still_is_known) {
    std::vector<DenseFactors<double>*> all;
    for (DenseSystem& system : systems.of_parts)
      all.push_back(&system.factors);
    factorise(all, pool);
    for (const DenseSystem& system : systems.of_parts)
      check_pivots(system.factors);
  }
  if (!still)
    return systems;
  if (!still_is_known)
    keep_inverses(*still, parts, systems.of_parts, pool);
  for (std::size_t p = 0; p < parts.size(); ++p) {
    StillBlock& block = *systems.of_parts[p].block;
    block.still_inverse = inverse_of(*still, parts[p])->of_block;
    block.factorise();
    check_pivots(block.moved_factors);
  }
  return systems;
}

} // namespace vlm
