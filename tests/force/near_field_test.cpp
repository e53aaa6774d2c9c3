// Velocities of the pieces that bear forces, worked out for one half of a craft and mirrored, against each by
// itself.

#include <array>
#include <vector>

#include <gtest/gtest.h>

#include <vlm/flow/system.hpp>
#include <vlm/force/near_field.hpp>

#include "../support/wings.hpp"

namespace {

using namespace wings;

TEST(NearField, VelocitiesAreThoseOfEachPointByItself) {
  for (const vlm::Craft& craft : {craft_with_all(), craft_with_carried_roots()}) {
    const vlm::FlowSystem system(vlm::make_lattice(craft, counts_with_all()), {1, 0, 0}, pool());
    ASSERT_TRUE(system.split_by_symmetry());
    const vlm::Lattice& lattice = system.lattice();
    const std::vector<vlm::Cause> causes{{{1, 0, 0.1}, {}, {}, {}}, {{0, 1, 0}, {}, {}, {}}};
    const vlm::Matrix circulation = system.solve(causes);
    std::size_t num_bound = 0, num_carried = 0;
    std::vector<std::size_t> carried_rows; // in the order of their pieces
    for (std::size_t r = 0; r < lattice.rows.size(); ++r)
      for (const std::size_t end : {0, 1})
        carried_rows.insert(carried_rows.end(), lattice.rows[r].inner_point[end].size(), r);
    vlm::ThreadPool alone(1); // visits one group after another
    vlm::visit_near_field(
        system.influence(), causes, circulation, alone, [&](std::size_t, const vlm::LoadedPiece& piece) {
          const bool carried = piece.kind == vlm::LoadedPiece::Kind::carried;
          if (!carried && piece.kind != vlm::LoadedPiece::Kind::bound)
            return;
          const std::size_t row = carried ? carried_rows.at(num_carried) : lattice.strips[piece.strip].row;
          ++(carried ? num_carried : num_bound);
          const std::array point{vlm::SurfacePoint{piece.point, row}};
          const vlm::Velocities by_itself =
              vlm::induced_velocities(system.influence(), point, circulation, pool(), true);
          const bool onset = !carried || lattice.rows[row].ends[0] == vlm::RowEnd::carried ||
                             lattice.rows[row].ends[1] == vlm::RowEnd::carried;
          for (std::size_t c = 0; c < causes.size(); ++c) {
            const vlm::Vec3 wanted = vlm::Vec3{by_itself.x(0, c), by_itself.y(0, c), by_itself.z(0, c)} +
                                     (onset ? vlm::onset(causes[c], piece.point) : vlm::Vec3{});
            EXPECT_LT(norm(piece.velocity[c] - wanted), 1e-9) << num_bound << ' ' << num_carried;
          }
        });
    EXPECT_GT(num_carried, 0U);
    EXPECT_EQ(num_carried, carried_rows.size());
    EXPECT_GT(num_bound, 50U);
  }
}

} // namespace
