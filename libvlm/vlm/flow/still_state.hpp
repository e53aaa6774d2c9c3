// What a StillPart keeps, for the sources of FlowSystem.

#pragma once

#include <memory>
#include <vector>

#include <Eigen/Core>

#include <vlm/flow/still_block.hpp>
#include <vlm/flow/still_part.hpp>

namespace vlm {

/// Rows of a lattice by themselves.
struct SomeRows {
  Influence influence;             ///< of them alone
  std::vector<std::size_t> panels; ///< places in the whole lattice
};

/// The rows for which `left_out` is 0, as any point sees them that is not on one of theirs, nor on a shell.
SomeRows some_rows(const Influence&, const std::vector<char>& left_out);

struct StillPart::State {
  Lattice lattice;                 ///< of which the still rows count
  Vec3 direction;                  ///< of the wake
  std::vector<char> still, moved;  ///< [rows]
  std::vector<std::size_t> panels; ///< of still rows
  bool shell = false;              ///< whether there is one among all rows

  /// Inverse of the still block of each part of the system, by its parity; made when first wanted.
  struct Inverse {
    double parity = 0;
    std::shared_ptr<const StillBlock::Rows> of_block;
  };
  std::vector<Inverse> inverses;

  /// Circulations of still panels seen so far, orthonormal columns, and what they give at still points: all
  /// x, then y, then z.
  Eigen::MatrixXd seen, given;

  /// What circulations of still panels [still panels × columns] have that none seen so far has: orthonormal
  /// columns, orthogonal to all seen.
  Eigen::MatrixXd new_directions(const Eigen::MatrixXd& circulation) const;

  /// Keeps new directions with what they give at still points.
  void keep(const Eigen::MatrixXd& directions, const Velocities& at_still_points);
};

} // namespace vlm
