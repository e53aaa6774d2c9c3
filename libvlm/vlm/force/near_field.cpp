#include <vlm/force/near_field.hpp>

#include <algorithm>
#include <array>
#include <vector>

#include <vlm/flow/still_part.hpp>
#include <vlm/flow/symmetry.hpp>

namespace vlm {
namespace {

using Kind = LoadedPiece::Kind;

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
        points.push_back({0.5 * (lattice.node(i) + lattice.node(i + 1)), r});
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
  std::vector<std::size_t> mirrored(num_points);
  const std::vector<std::size_t> row_of = lattice.row_of_panels();
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

using Visit = std::function<void(std::size_t group, const LoadedPiece&)>;

// Where velocities are wanted, and what circulations induce there without the body.
struct Field {
  std::vector<std::size_t> first_piece; // [rows] of the legs
  std::vector<SurfacePoint> points;
  std::size_t first_carried = 0;
  std::vector<CarriedSegment> carried;
  Velocities induced;

  Vec3 induced_at(std::size_t i, std::size_t c) const {
    return {induced.x(i, c), induced.y(i, c), induced.z(i, c)};
  }
};

Field field(const Influence& influence, const Matrix& circulation, ThreadPool& pool, StillPart* still) {
  const Lattice& lattice = influence.lattice();
  Field f;
  f.points = load_points(lattice, f.first_piece);
  f.first_carried = f.points.size();
  f.carried = carried_segments(lattice, f.points);
  const auto image = mirror_image(lattice, influence.wake_direction());
  std::vector<std::size_t> mirrored;
  if (image)
    mirrored = mirrored_points(lattice, *image, f.points.size(), f.first_piece);
  if (still) {
    f.induced =
        still->velocities(influence, f.points, circulation, pool, image ? &*image : nullptr, mirrored);
  } else if (!image) {
    f.induced = induced_velocities(influence, f.points, circulation, pool, true);
  } else {
    const MirroredPoints half{std::move(mirrored), mirrored_circulation(*image, circulation)};
    f.induced = induced_velocities(influence, f.points, circulation, pool, true, nullptr, &half);
  }
  return f;
}

// The way of one group's pieces to their visitor: strengths and velocities of all causes for the piece in
// hand.
class Walk {
public:
  Walk(const Lattice& lattice, std::span<const Cause> causes, const Matrix& circulation, std::size_t group,
       const Visit& visit)
      : lattice_(lattice), causes_(causes), circulation_(circulation), group_(group), visit_(visit),
        gamma_(causes.size()), shed_(causes.size()), velocity_(causes.size()) {}

  void strips(const Field& field, const StripGroup& group) {
    const auto whole_at = [&](std::size_t i) {
      for (std::size_t c = 0; c < causes_.size(); ++c)
        velocity_[c] = onset(causes_[c], field.points[i].point) + field.induced_at(i, c);
    };
    for (std::size_t j = group.first; j < group.last; ++j) {
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
        pass({Kind::bound, j, 0, wetted_node(lattice_, row, edge, k), wetted_node(lattice_, row, edge + 1, k),
              field.points[p].point, gamma_, velocity_});
        // The legs carry what this panel and those ahead of it shed: aft along edge b, forward along edge a.
        for (const std::size_t end : {0, 1}) {
          const std::size_t piece = field.first_piece[strip.row] + (edge + end) * n + k, i = end == 0 ? a : b;
          if (root_leg[end])
            onset_at(field.points[piece].point);
          else
            whole_at(piece);
          pass({Kind::leg, j, end, lattice_.node(end == 0 ? i + 1 : i), lattice_.node(end == 0 ? i : i + 1),
                field.points[piece].point, shed_, velocity_});
        }
      }
    }
  }

  // What bound segments run on to inside the fuselage.
  void carried(const Field& field) {
    for (std::size_t i = 0; i < field.carried.size(); ++i) {
      const CarriedSegment& segment = field.carried[i];
      const std::size_t point = field.first_carried + i;
      for (std::size_t c = 0; c < causes_.size(); ++c) {
        gamma_[c] = circulation_(segment.panel, c);
        velocity_[c] = field.induced_at(point, c);
        if (segment.onset)
          velocity_[c] += onset(causes_[c], field.points[point].point);
      }
      pass({Kind::carried, 0, 0, segment.from, segment.to, field.points[point].point, gamma_, velocity_});
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
  void pass(const LoadedPiece& piece) { visit_(group_, piece); }

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
    pass({kind, 0, 0, from, to, middle, strength, velocity_});
  }

  void shell(const Row& row) {
    for (std::size_t j = 0; j < row.num_strips; ++j) {
      std::fill(shed_.begin(), shed_.end(), 0.0);
      for (std::size_t k = 0; k < row.panels_per_strip; ++k) {
        take(row.first_panel + j * row.panels_per_strip + k);
        const std::size_t a = row.first_node + j * row.nodes_per_edge() + k, b = a + row.nodes_per_edge();
        of_body(Kind::skin, lattice_.node(a), lattice_.node(b), gamma_);
        of_body(Kind::skin, lattice_.node(a + 1), lattice_.node(a), shed_);
        of_body(Kind::skin, lattice_.node(b), lattice_.node(b + 1), shed_);
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
    Vec3 from = lattice_.node(row.first_node + edge * row.nodes_per_edge() + row.panels_per_strip);
    for (const Vec3& to : row.skin_path[end]) {
      of_body(Kind::skin, from, to, shed_);
      from = to;
    }
  }

  const Lattice& lattice_;
  std::span<const Cause> causes_;
  const Matrix& circulation_;
  std::size_t group_;
  const Visit& visit_;
  std::vector<double> gamma_, shed_;
  std::vector<Vec3> velocity_;
};

} // namespace

std::vector<StripGroup> strip_groups(const Lattice& lattice) {
  constexpr std::size_t most = 8; // strips
  std::vector<StripGroup> groups;
  for (const Row& row : lattice.rows)
    for (std::size_t j = 0; j < row.num_strips && !row.shell; j += most)
      groups.push_back({row.first_strip + j, row.first_strip + std::min(row.num_strips, j + most)});
  return groups;
}

void visit_near_field(const Influence& influence, std::span<const Cause> causes, const Matrix& circulation,
                      ThreadPool& pool, const Visit& visit, StillPart* still) {
  const Lattice& lattice = influence.lattice();
  const Field all = field(influence, circulation, pool, still);
  const std::vector<StripGroup> groups = strip_groups(lattice);
  pool.for_each(groups.size(), [&](std::size_t group) {
    Walk(lattice, causes, circulation, group, visit).strips(all, groups[group]);
  });
  Walk rest(lattice, causes, circulation, groups.size(), visit);
  rest.carried(all);
  rest.body();
}

} // namespace vlm
