#include <vlm/force/near_field.hpp>

#include <algorithm>
#include <array>
#include <vector>

#include <vlm/flow/still_part.hpp>
#include <vlm/flow/symmetry.hpp>

namespace vlm {
namespace {

using Kind = LoadedPiece::Kind;

Vec3 node(const Lattice& lattice, std::size_t i) {
  return {lattice.node_x[i], lattice.node_y[i], lattice.node_z[i]};
}

// Of the surfaces: bound segments first, panel after panel; then the pieces of the legs, edge after edge. The
// shell's panels come last in the lattice.
std::vector<SurfacePoint> load_points(const Lattice& lattice, std::vector<std::size_t>& first_piece) {
  std::vector<SurfacePoint> points;
  for (std::size_t r = 0; r < lattice.rows.size(); ++r)
    for (std::size_t p = 0; p < lattice.rows[r].num_panels() && !lattice.rows[r].shell; ++p)
      points.push_back({lattice.force_point[lattice.rows[r].first_panel + p], r});
  for (std::size_t r = 0; r < lattice.rows.size(); ++r) {
    const Row& row = lattice.rows[r];
    first_piece.push_back(points.size());
    if (row.shell)
      continue;
    for (std::size_t e = 0; e <= row.num_strips; ++e)
      for (std::size_t k = 0; k < row.panels_per_strip; ++k) {
        const std::size_t i = row.first_node + e * row.nodes_per_edge() + k;
        points.push_back({0.5 * (node(lattice, i) + node(lattice, i + 1)), r});
      }
  }
  return points;
}

// A bound segment run on from a root into the fuselage, to where that of the other side meets it.
struct CarriedSegment {
  std::size_t panel;
  Vec3 from, to;
  bool onset; // whether it bears the onset's load too; of a root on the skin, shell and legs do instead
};

std::vector<CarriedSegment> carried_segments(const Lattice& lattice, std::vector<SurfacePoint>& points) {
  std::vector<CarriedSegment> segments;
  for (std::size_t r = 0; r < lattice.rows.size(); ++r) {
    const Row& row = lattice.rows[r];
    for (const std::size_t end : {0, 1})
      for (std::size_t k = 0; k < row.inner_point[end].size(); ++k) {
        const std::size_t strip = end == 0 ? 0 : row.num_strips - 1, edge = end == 0 ? 0 : row.num_strips;
        const Vec3 root = wetted_node(lattice, row, edge, k), inner = row.inner_point[end][k];
        points.push_back({0.5 * (root + inner), r});
        segments.push_back({row.first_panel + strip * row.panels_per_strip + k, end == 0 ? inner : root,
                            end == 0 ? root : inner, row.ends[end] == RowEnd::carried});
      }
  }
  return segments;
}

// Of the points of a lattice that mirrors itself about y = 0: which mirrors which.
std::vector<std::size_t> mirrored_points(const Lattice& lattice, const MirrorImage& image,
                                         std::size_t num_points,
                                         const std::vector<std::size_t>& first_piece) {
  std::vector<std::size_t> mirrored(num_points), row_of(lattice.num_panels());
  for (std::size_t r = 0; r < lattice.rows.size(); ++r)
    std::fill_n(&row_of[lattice.rows[r].first_panel], lattice.rows[r].num_panels(), r);
  // Where the carried segments of each row and end begin, behind all else.
  std::vector<std::array<std::size_t, 2>> first_carried(lattice.rows.size());
  std::size_t next = num_points;
  for (std::size_t r = lattice.rows.size(); r-- > 0;)
    for (const std::size_t end : {1, 0})
      first_carried[r][end] = next -= lattice.rows[r].inner_point[end].size();
  for (std::size_t r = 0; r < lattice.rows.size(); ++r) {
    const Row& row = lattice.rows[r];
    if (row.shell)
      continue;
    for (std::size_t p = row.first_panel; p < row.first_panel + row.num_panels(); ++p)
      mirrored[p] = image.panel[p];
    const std::size_t other = row_of[image.panel[row.first_panel]], n = row.panels_per_strip;
    const bool same_order = image.sign[row.first_panel] < 0;
    for (std::size_t e = 0; e <= row.num_strips; ++e)
      for (std::size_t k = 0; k < n; ++k)
        mirrored[first_piece[r] + e * n + k] =
            first_piece[other] + (same_order ? e : row.num_strips - e) * n + k;
    for (const std::size_t end : {0, 1})
      for (std::size_t k = 0; k < row.inner_point[end].size(); ++k)
        mirrored[first_carried[r][end] + k] = first_carried[other][same_order ? end : 1 - end] + k;
  }
  return mirrored;
}

// Strengths and velocities of all causes for the piece in hand, and the way to its visitor.
class Walk {
public:
  Walk(const Influence& influence, std::span<const Cause> causes, const Matrix& circulation, ThreadPool& pool,
       const std::function<void(const LoadedPiece&)>& visit, StillPart* still)
      : still_(still), influence_(influence), lattice_(influence.lattice()), causes_(causes),
        circulation_(circulation), pool_(pool), visit_(visit), gamma_(causes.size()), shed_(causes.size()),
        velocity_(causes.size()) {}

  // What circulations induce at points, without the body.
  Velocities velocities_at(std::span<const SurfacePoint> points,
                           const std::vector<std::size_t>& first_piece) const {
    const auto image = mirror_image(lattice_, influence_.wake_direction());
    std::vector<std::size_t> mirrored;
    if (image)
      mirrored = mirrored_points(lattice_, *image, points.size(), first_piece);
    if (still_)
      return still_->velocities(influence_, points, circulation_, pool_, image ? &*image : nullptr, mirrored);
    if (!image)
      return induced_velocities(influence_, points, circulation_, pool_, true);
    const MirroredPoints half{std::move(mirrored), mirrored_circulation(*image, circulation_)};
    return induced_velocities(influence_, points, circulation_, pool_, true, nullptr, &half);
  }

  // The strips of surfaces, and what their bound segments run on to inside the fuselage.
  void surfaces() {
    std::vector<std::size_t> first_piece;
    std::vector<SurfacePoint> points = load_points(lattice_, first_piece);
    const std::size_t first_carried = points.size();
    const std::vector<CarriedSegment> carried = carried_segments(lattice_, points);
    const Velocities induced = velocities_at(points, first_piece);
    const auto induced_at = [&](std::size_t i, std::size_t c) {
      return Vec3{induced.x(i, c), induced.y(i, c), induced.z(i, c)};
    };
    const auto whole_at = [&](std::size_t i) {
      for (std::size_t c = 0; c < causes_.size(); ++c)
        velocity_[c] = onset(causes_[c], points[i].point) + induced_at(i, c);
    };
    for (std::size_t j = 0; j < lattice_.strips.size(); ++j) {
      const Strip& strip = lattice_.strips[j];
      const Row& row = lattice_.rows[strip.row];
      const std::size_t edge = j - row.first_strip, n = row.panels_per_strip;
      const bool root_leg[2]{edge == 0 && on_body(row.ends[0]),
                             edge + 1 == row.num_strips && on_body(row.ends[1])};
      std::fill(shed_.begin(), shed_.end(), 0.0);
      for (std::size_t k = 0; k < n; ++k) {
        const std::size_t p = strip.first_panel + k;
        take(p);
        const std::size_t a = row.first_node + edge * row.nodes_per_edge() + k, b = a + row.nodes_per_edge();
        whole_at(p);
        visit_({Kind::bound, j, 0, wetted_node(lattice_, row, edge, k),
                wetted_node(lattice_, row, edge + 1, k), points[p].point, gamma_, velocity_});
        // The legs carry what this panel and those ahead of it shed: aft along edge b, forward along edge a.
        for (const std::size_t end : {0, 1}) {
          const std::size_t piece = first_piece[strip.row] + (edge + end) * n + k, i = end == 0 ? a : b;
          if (root_leg[end])
            onset_at(points[piece].point);
          else
            whole_at(piece);
          visit_({Kind::leg, j, end, node(lattice_, end == 0 ? i + 1 : i),
                  node(lattice_, end == 0 ? i : i + 1), points[piece].point, shed_, velocity_});
        }
      }
    }
    for (std::size_t i = 0; i < carried.size(); ++i) {
      const std::size_t point = first_carried + i;
      for (std::size_t c = 0; c < causes_.size(); ++c) {
        gamma_[c] = circulation_(carried[i].panel, c);
        velocity_[c] = induced_at(point, c);
        if (carried[i].onset)
          velocity_[c] += onset(causes_[c], points[point].point);
      }
      visit_({Kind::carried, 0, 0, carried[i].from, carried[i].to, points[point].point, gamma_, velocity_});
    }
  }

  // The fuselage: its shell, its sources, and the legs that follow its skin behind the roots of surfaces.
  void body() {
    for (const Row& row : lattice_.rows) {
      if (row.shell)
        shell(row);
      for (const std::size_t end : {0, 1})
        root_leg(row, end);
    }
    std::vector<std::vector<double>> axial;
    for (const Cause& cause : causes_)
      axial.push_back(axial_onset(lattice_, cause));
    for (std::size_t k = 0; k < lattice_.sources.size(); ++k) {
      const SourceLine& source = lattice_.sources[k];
      for (std::size_t c = 0; c < causes_.size(); ++c)
        gamma_[c] = -source.growth * axial[c][k];
      of_body(Kind::source, source.from, source.to, gamma_);
    }
  }

private:
  // The next panel of a strip: its circulation, and what has been shed up to it.
  void take(std::size_t panel) {
    for (std::size_t c = 0; c < causes_.size(); ++c) {
      gamma_[c] = circulation_(panel, c);
      shed_[c] += gamma_[c];
    }
  }

  void onset_at(const Vec3& point) {
    for (std::size_t c = 0; c < causes_.size(); ++c)
      velocity_[c] = onset(causes_[c], point);
  }

  void of_body(Kind kind, const Vec3& from, const Vec3& to, std::span<const double> strength) {
    const Vec3 middle = 0.5 * (from + to);
    onset_at(middle);
    visit_({kind, 0, 0, from, to, middle, strength, velocity_});
  }

  void shell(const Row& row) {
    for (std::size_t j = 0; j < row.num_strips; ++j) {
      std::fill(shed_.begin(), shed_.end(), 0.0);
      for (std::size_t k = 0; k < row.panels_per_strip; ++k) {
        take(row.first_panel + j * row.panels_per_strip + k);
        const std::size_t a = row.first_node + j * row.nodes_per_edge() + k, b = a + row.nodes_per_edge();
        of_body(Kind::skin, node(lattice_, a), node(lattice_, b), gamma_);
        of_body(Kind::skin, node(lattice_, a + 1), node(lattice_, a), shed_);
        of_body(Kind::skin, node(lattice_, b), node(lattice_, b + 1), shed_);
      }
    }
  }

  void root_leg(const Row& row, std::size_t end) {
    if (row.skin_path[end].empty())
      return;
    const std::size_t strip = end == 0 ? 0 : row.num_strips - 1, edge = end == 0 ? 0 : row.num_strips;
    std::fill(shed_.begin(), shed_.end(), 0.0);
    for (std::size_t k = 0; k < row.panels_per_strip; ++k)
      for (std::size_t c = 0; c < causes_.size(); ++c)
        shed_[c] += (end == 0 ? -1 : 1) * circulation_(row.first_panel + strip * row.panels_per_strip + k, c);
    Vec3 from = node(lattice_, row.first_node + edge * row.nodes_per_edge() + row.panels_per_strip);
    for (const Vec3& to : row.skin_path[end]) {
      of_body(Kind::skin, from, to, shed_);
      from = to;
    }
  }

  StillPart* still_;
  const Influence& influence_;
  const Lattice& lattice_;
  std::span<const Cause> causes_;
  const Matrix& circulation_;
  ThreadPool& pool_;
  const std::function<void(const LoadedPiece&)>& visit_;
  std::vector<double> gamma_, shed_;
  std::vector<Vec3> velocity_;
};

} // namespace

void visit_near_field(const Influence& influence, std::span<const Cause> causes, const Matrix& circulation,
                      ThreadPool& pool, const std::function<void(const LoadedPiece&)>& visit,
                      StillPart* still) {
  Walk walk(influence, causes, circulation, pool, visit, still);
  walk.surfaces();
  walk.body();
}

} // namespace vlm
