#pragma once

#include <cstddef>
#include <memory>
#include <span>

#include <vlm/base/matrix.hpp>
#include <vlm/base/thread_pool.hpp>
#include <vlm/flow/cause.hpp>
#include <vlm/flow/influence.hpp>
#include <vlm/lattice/lattice.hpp>

namespace vlm {

class StillPart;

/// How a lattice's system is solved: as its options say, or else dense up to 3000 panels, from where the
/// hierarchical one is faster.
SystemKind system_kind(const Lattice&);

/// Of a system's unknowns.
enum class SystemSize {
  least, ///< half of the panels, where the flow is its own mirror image
  full,  ///< all of them: to check the halves by
};

/// The linear system of a lattice: no water through any control point. Set up once, solved for any number
/// of causes.
///
/// A lattice that is its own mirror image about y = 0 (twist and incidence need not be, unless displaced) is
/// split into a symmetric and an antisymmetric system of half the size, and every cause into such a pair; of
/// these the former alone may be made.
class FlowSystem {
public:
  /// Builds and, if dense, factorises. wake_direction: unit vector aft. Throws Error (run) if the system is
  /// singular, and what Influence throws; Error (input) if it does not fit in the free memory.
  FlowSystem(const Lattice&, const Vec3& wake_direction, ThreadPool&, SystemSize = SystemSize::least);

  /// The same to be solved for some causes only: where each is its own mirror image, the symmetric half alone
  /// is made, and others are refused. If `still` is not null, some rows of the lattice stand as they did in
  /// another: what these are to each other is taken from it; it fits the lattice and keeps what is new,
  /// unless the system is hierarchical: not for two threads at once. Throws the same, and Error if it does
  /// not fit.
  FlowSystem(const Lattice&, const Vec3& wake_direction, ThreadPool&, std::span<const Cause> only,
             StillPart* still = nullptr);
  ~FlowSystem();
  /// Moves; what is left behind may be assigned to or destroyed, nothing else.
  ///@{
  FlowSystem(FlowSystem&&) noexcept;
  FlowSystem& operator=(FlowSystem&&) noexcept;
  ///@}

  const Influence& influence() const;                              ///< what it was built from
  const Lattice& lattice() const { return influence().lattice(); } ///< what it was built for

  /// Circulations [panels × causes, m²/s]. pool: shares the work; null: one thread.
  /// Throws Error for a cause that is not finite or turns another number of strips than there are, or wants
  /// the half that was not made; Error (run) if a circulation is no number, where a control point lies on a
  /// vortex, or if a hierarchical system does not come to a solution.
  Matrix solve(std::span<const Cause>, ThreadPool* pool = nullptr) const;

  /// The same for water driven against each panel, along its normal [panels × columns, m/s], rather than a
  /// cause.
  Matrix solve(const Matrix& normal_velocity, ThreadPool* pool = nullptr) const;

  bool split_by_symmetry() const; ///< whether it is of half the size: the pair, or the symmetric one alone
  double estimated_bytes() const; ///< memory that it was taken to need before it took any
  std::size_t num_solves() const; ///< causes solved for so far, by any thread

private:
  void build(ThreadPool&, StillPart*);

  struct State;
  std::unique_ptr<State> state_;
};

} // namespace vlm
