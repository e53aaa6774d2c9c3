#pragma once

#include <array>
#include <cstddef>
#include <vector>

#include <Eigen/Core>
#include <Eigen/Geometry>

#include <vlm/base/vec3.hpp>
#include <vlm/flow/eigen_index.hpp>
#include <vlm/flow/influence_state.hpp>
#include <vlm/flow/symmetry.hpp>

namespace vlm {

/// One of the systems that a lattice is solved by: unknown u stands for circulation 1 at panel[u] and
/// parity·sign at its mirror image, where there is one.
struct PartOfLattice {
  double parity = 0;              ///< +1 symmetric, −1 antisymmetric, 0 the whole
  std::vector<std::size_t> panel; ///< rising, whole strips side by side; of a dense system still ones first
};

/// Strips and chordwise places of one row, from the first to before the last.
struct Cells {
  std::size_t row = 0, first_strip = 0, last_strip = 0, first_place = 0, last_place = 0;

  std::size_t strips() const { return last_strip - first_strip; }
  std::size_t places() const { return last_place - first_place; }
  std::size_t size() const { return strips() * places(); }
};

/// Rings side by side, which follow each other in the order of the basis.
struct RingCluster {
  Cells cells;
  Eigen::Index first = 0, count = 0;        ///< their place in the order
  std::array<int, 2> child{-1, -1};         ///< the two halves; none of the smallest
  Eigen::AlignedBox3d source;               ///< around the rings, in the wake's frame [m]
  std::vector<Eigen::AlignedBox3d> targets; ///< around their control points, one a look [m]
};

/// Wakes of strips side by side.
struct WakeCluster {
  std::size_t row = 0, first_strip = 0, last_strip = 0;
  Eigen::Index first = 0, count = 0; ///< their place in the order of wakes
  std::array<int, 2> child{-1, -1};
  Eigen::AlignedBox3d source; ///< to infinity, in the wake's frame [m]
  double width = 0;           ///< across the wake [m]
};

/// The matrix of a part of a lattice, entry by entry, in terms of rings rather than of horseshoes. The ring
/// between two neighbouring bound segments of a strip carries the circulation of all panels ahead of its
/// aft segment; that behind the last lacks an aft segment, and the strip's wake starts there. What a ring
/// gives fades much faster than a horseshoe, whose legs are felt far downstream; the wakes stand by
/// themselves.
///
/// Rings are ordered so that clusters, cut in halves again and again, are contiguous. A mirror image, by
/// symmetry or in the still surface, is taken as another look at the same rings: from the control point's
/// image.
class RingBasis {
public:
  /// mirror may be null if the part's parity is 0. It and the influence must outlast this.
  RingBasis(const Influence&, const MirrorImage* mirror, const PartOfLattice&);

  Eigen::Index size() const { return static_cast<Eigen::Index>(order_.size()); } ///< unknowns
  Eigen::Index num_wakes() const { return static_cast<Eigen::Index>(last_ring_.size()); }

  double bytes() const; ///< that it takes

  const std::vector<RingCluster>& clusters() const { return clusters_; }
  const std::vector<WakeCluster>& wakes() const { return wakes_; }
  const std::vector<int>& roots() const { return roots_; }           ///< the clusters of whole rows
  const std::vector<int>& wake_roots() const { return wake_roots_; } ///< likewise
  const Lattice& lattice() const { return influence_.lattice; }

  /// Whether all looks of what lies on the cluster's row see wakes of a row as lines. Only then is there a
  /// wake_column.
  bool sees_lines(const RingCluster& target, const WakeCluster& source) const;
  /// Whether control points of the cluster see wakes as lines that others see as sheets, and surfaces finely,
  /// so that only whole_row holds.
  bool wants_whole_rows(const RingCluster& c) const { return lattice().rows[c.cells.row].shell; }

  /// Whether control points of the target see the rings as fine lines: then they have no ring_column.
  bool sees_finely(const RingCluster& target, const RingCluster& source) const {
    return influence_.sees_finely(target.cells.row, source.cells.row);
  }

  /// Entries in a row of what rings or wakes of a cluster give, in its order [count].
  ///@{
  void ring_row(Eigen::Index target, const RingCluster& source, double* entries) const;
  void wake_row(Eigen::Index target, const WakeCluster& source, double* entries) const;
  ///@}
  /// Entries in a column, of one ring or one wake, for the control points of a cluster [count].
  ///@{
  void ring_column(const RingCluster& target, Eigen::Index source, double* entries) const;
  void wake_column(const RingCluster& target, const WakeCluster&, Eigen::Index source, double* entries) const;
  ///@}
  /// A whole row [size], wakes included, made from the dense system's.
  void whole_row(Eigen::Index target, double* entries) const;
  /// Entries in a row of the rings of some cells, place after place, with the wakes behind the last [cells].
  void cells_row(Eigen::Index target, const Cells& source, double* entries) const;

  /// The ring in a cell, or −1 if it is not in the part.
  Eigen::Index at(std::size_t row, std::size_t strip, std::size_t place) const {
    return at_[row][strip * lattice().rows[row].panels_per_strip + place];
  }
  /// The ring that ends each wake's strip, by the order of wakes.
  const std::vector<Eigen::Index>& last_rings() const { return last_ring_; }
  /// What wakes carry, from what rings do [size × columns].
  Eigen::MatrixXd carried_by_wakes(const Eigen::MatrixXd& rings) const;
  /// From the order of PartOfLattice::panel to that of the rings [size × columns].
  Eigen::MatrixXd in_order(const Eigen::MatrixXd& rows) const;
  /// Circulations of panels, in the order of PartOfLattice::panel, from those of rings [size × columns].
  Eigen::MatrixXd circulation(const Eigen::MatrixXd& rings) const;

private:
  // A point from which each control point or its image looks, and the direction of what counts. An array a
  // component, padded as the kernel wants it.
  struct Look {
    std::vector<double> x, y, z, along_x, along_y, along_z;
    std::vector<std::size_t> row;
    Vec3 point(std::size_t i) const { return {x[i], y[i], z[i]}; }
    Vec3 along(std::size_t i) const { return {along_x[i], along_y[i], along_z[i]}; }
  };
  struct Place {
    std::size_t row, strip, place;
  };
  struct Nodes { // of a row, chordwise place after place, padded
    std::vector<double> x, y, z;
  };

  bool sees_finely(Eigen::Index target, const RingCluster& source) const {
    return influence_.sees_finely(row_of_[panel_[static_cast<std::size_t>(target)]], source.cells.row);
  }
  // Entries of rings that follow each other, from a row of influence, or the part of it that is their row's.
  void rings_of(const std::vector<double>& wash, Eigen::Index first, Eigen::Index count,
                double* entries) const;
  int add_cluster(const Cells&, const PartOfLattice&);
  int add_wakes(std::size_t row, std::size_t first_strip, std::size_t last_strip);
  void add_look(bool across, bool image, double parity);
  void ring_cells(Eigen::Index target, const Cells&, double* entries) const;
  void wake_cells(Eigen::Index target, const Cells&, double* entries) const;
  Eigen::Vector3d in_wake_frame(const Vec3& p) const;

  const Influence::State& influence_;
  const MirrorImage* mirror_;
  double parity_;
  std::vector<std::size_t> row_of_; // [panels]
  Eigen::Matrix3d frame_;           // rows: two axes across the wake, and along it
  std::vector<Nodes> nodes_;
  std::vector<RingCluster> clusters_;
  std::vector<WakeCluster> wakes_;
  std::vector<int> roots_, wake_roots_;
  std::vector<Eigen::Index> order_; // [ring] place in PartOfLattice::panel
  std::vector<std::size_t> panel_;  // [ring] panel whose control point stands for it
  std::vector<Place> place_;        // [ring]
  std::vector<double> weight_;      // [ring] 1/2 where it is its own mirror image, which looks count twice
  std::vector<Eigen::Index> last_ring_;       // [wake] the last of its strip
  std::vector<std::vector<Eigen::Index>> at_; // [row][strip · places + place]
  std::vector<Look> looks_;
};

} // namespace vlm
