#pragma once

#include <algorithm>
#include <cmath>
#include <utility>
#include <vector>

#include <gtest/gtest.h>

#include <vlm/flow/system.hpp>
#include <vlm/force/load_forms.hpp>

#include "wings.hpp"

/// The two kinds of system that a lattice may have, side by side.
namespace systems {

// Greatest difference of circulations and of forces between a craft's two systems, as a share of the
// greatest.
struct Difference {
  double circulation, force;
};

inline Difference difference(const vlm::Craft& craft, vlm::LatticeOptions options, vlm::SystemSize size,
                             const vlm::Vec3& wake = {1, 0, 0}) {
  std::vector<vlm::Cause> causes{{{1, 0, 0}, {}, {}, {}},
                                 {{0, 0, 1}, {}, {}, {}},
                                 {{0, 1, 0}, {}, {}, {}},
                                 {{}, {1, 0, 0.5}, {0.3, 0, 0}, {}}};
  options.system = vlm::SystemKind::dense;
  const vlm::FlowSystem dense(vlm::make_lattice(craft, options), wake, wings::pool(), size);
  options.system = vlm::SystemKind::hierarchical;
  const vlm::FlowSystem hierarchical(vlm::make_lattice(craft, options), wake, wings::pool(), size);
  EXPECT_EQ(dense.split_by_symmetry(), size == vlm::SystemSize::least);
  EXPECT_EQ(hierarchical.split_by_symmetry(), size == vlm::SystemSize::least);
  const vlm::Matrix a = dense.solve(causes), b = hierarchical.solve(causes, &wings::pool());
  EXPECT_EQ(b.values, hierarchical.solve(causes).values); // one thread, the same bits
  Difference d{0, 0};
  double greatest = 0;
  for (std::size_t i = 0; i < a.values.size(); ++i) {
    greatest = std::max(greatest, std::abs(a.values[i]));
    d.circulation = std::max(d.circulation, std::abs(a.values[i] - b.values[i]));
  }
  d.circulation /= greatest;
  const auto forces = [&](const vlm::Matrix& circulation) {
    return vlm::total(vlm::load_forms(dense.influence(), causes, circulation, craft.surfaces.size(), 998, {},
                                      wings::pool()));
  };
  const vlm::SurfaceForms f = forces(a), g = forces(b);
  // Of the greatest entry of each form; forms that symmetry makes nothing of, of the greatest of all.
  double greatest_of_all = 0;
  for (const vlm::Matrix& form : f.force)
    for (const double value : form.values)
      greatest_of_all = std::max(greatest_of_all, std::abs(value));
  for (std::size_t axis = 0; axis < 3; ++axis)
    for (const auto& [p, q] :
         {std::pair(&f.force[axis], &g.force[axis]), std::pair(&f.moment[axis], &g.moment[axis]),
          std::pair(&f.far_drag, &g.far_drag)}) {
      double most = 0, off = 0;
      for (std::size_t i = 0; i < p->values.size(); ++i) {
        most = std::max(most, std::abs(p->values[i]));
        off = std::max(off, std::abs(p->values[i] - q->values[i]));
      }
      d.force = std::max(d.force, off / (most > 1e-6 * greatest_of_all ? most : greatest_of_all));
    }
  return d;
}

} // namespace systems
