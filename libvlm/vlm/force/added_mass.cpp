#include <vlm/force/added_mass.hpp>

#include <array>
#include <cmath>
#include <vector>

#include <Eigen/Core>

#include <vlm/base/error.hpp>
#include <vlm/base/memory.hpp>
#include <vlm/flow/cause.hpp>
#include <vlm/flow/dense_factors.hpp>
#include <vlm/flow/influence.hpp>
#include <vlm/shape/volume_moments.hpp>

namespace vlm {
namespace {

using Eigen::Index;

// A closed vortex around the control point of a panel, from its own bound segment to that of the panel aft.
struct Ring {
  std::size_t panel;
  std::array<Vec3, 4> corner; // in the direction of positive circulation
};

// Vortices and control points alternate on the semicircle, with a vortex outermost at either edge. With
// Kutta's condition the trailing edge has a control point besides; in a flow without a wake, whose velocity
// is infinite at both edges alike, the sum of a strip's vortices vanishes in its place. So the last panel has
// no ring of its own: its bound segment closes the one ahead. The shell's legs meet in the tail point, where
// its last ring closes.
std::vector<Ring> rings_of(const Lattice& lattice) {
  std::vector<Ring> rings;
  for (const Row& row : lattice.rows) {
    if (row.panels_per_strip < 2)
      throw Error("added mass: found a surface of 1 panel a strip, wanted at least 2");
    const std::size_t count = row.panels_per_strip - (row.shell ? 0 : 1);
    for (std::size_t j = 0; j < row.num_strips; ++j)
      for (std::size_t k = 0; k < count; ++k) {
        const auto node = [&](std::size_t edge, std::size_t at) { return lattice.node(row, edge, at); };
        rings.push_back({row.first_panel + j * row.panels_per_strip + k,
                         {node(j, k), node(j + 1, k), node(j + 1, k + 1), node(j, k + 1)}});
      }
  }
  return rings;
}

Vec3 ring_velocity(const Ring& ring, const Vec3& point) {
  Vec3 v;
  for (std::size_t i = 0; i < 4; ++i)
    v += segment_velocity(point - ring.corner[i], point - ring.corner[(i + 1) % 4]);
  return v;
}

// What a ring of unit circulation takes of a rigid motion v = u + ω × r: area · u + moment · ω is ∫ v · dA
// over any surface that it bounds.
struct Doublet {
  Vec3 area;   // ½ ∮ r × dl
  Vec3 moment; // ∫ r × dA = −½ ∮ r² dl
};

Doublet doublet_of(const Ring& ring, const Vec3& about) {
  Doublet d;
  for (std::size_t i = 0; i < 4; ++i) {
    const Vec3 from = ring.corner[i] - about, to = ring.corner[(i + 1) % 4] - about;
    d.area += 0.5 * cross(from, to);
    d.moment += (-(dot(from, from) + dot(from, to) + dot(to, to)) / 6) * (to - from);
  }
  return d;
}

// A craft that moves one way of three at unit velocity.
struct RigidMotion {
  Vec3 velocity, rotation;
};
constexpr std::array<RigidMotion, 3> motions{
    RigidMotion{{1, 0, 0}, {}}, {{0, 0, 1}, {}}, {{}, to_body_axes({0, 1, 0})}};

// The water inside the shell moves along: in potentials x′, z′ and x′z′ about the centre of its volume.
// Shares of these in each motion follow from the principle of least energy.
struct InnerFlow {
  VolumeMoments body;
  std::array<Vec3, 3> share; // of x′, z′, x′z′ in a motion

  InnerFlow(const Fuselage& fuselage, const Vec3& about) : body(volume_moments(fuselage)) {
    const Vec3 lever = body.centre - about;
    share = {Vec3{1, 0, 0}, {0, 1, 0}, {lever.z, -lever.x, (body.height - body.length) / spread()}};
  }
  double spread() const { return body.height + body.length; }
  double momentum(std::size_t i, std::size_t j) const {
    const Vec3 &a = share[i], &b = share[j];
    return body.volume * (a.x * b.x + a.y * b.y) + spread() * a.z * b.z;
  }
  double potential(std::size_t i, const Vec3& point) const {
    const Vec3 r = point - body.centre;
    return share[i].x * r.x + share[i].y * r.z + share[i].z * r.x * r.z;
  }
};

} // namespace

Matrix added_mass(const Craft& craft, const Influence& influence, const Vec3& about, ThreadPool& pool) {
  const Lattice& lattice = influence.lattice();
  const std::vector<Ring> rings = rings_of(lattice);
  const auto size = static_cast<Index>(rings.size());
  check_memory(rings.size(),
               sizeof(double) * static_cast<double>(rings.size()) * static_cast<double>(rings.size()));

  // The craft moves through water at rest, so it sees water that comes the other way.
  std::array<std::vector<double>, 3> axial;
  std::array<Cause, 3> causes;
  for (std::size_t m = 0; m < 3; ++m) {
    causes[m] = {-motions[m].velocity, motions[m].rotation, about, {}};
    axial[m] = axial_onset(lattice, causes[m]);
  }
  DenseFactors<double> factors{{size, size}};
  Eigen::Map<Eigen::MatrixXd> matrix = factors.values.map();
  Eigen::MatrixXd wash(size, 3), doublets(3, size);
  pool.for_each(rings.size(), [&](std::size_t r) {
    const Ring& ring = rings[r];
    const auto row = static_cast<Index>(r);
    const Vec3 &control = lattice.control[ring.panel], &normal = lattice.normal[ring.panel];
    const Vec3 tilt{lattice.slope[ring.panel], 0, 0}; // of the normal, to the mean line
    for (Index i = 0; i < size; ++i) {
      Vec3 v = ring_velocity(rings[static_cast<std::size_t>(i)], control);
      if (const auto& mirror = lattice.mirror)
        v += mirror->sign * mirror->image_direction(
                                ring_velocity(rings[static_cast<std::size_t>(i)], mirror->image(control)));
      matrix(row, i) = dot(v, normal);
    }
    std::vector<Vec3> from_sources(lattice.sources.size());
    influence.source_row(control, from_sources);
    const Doublet doublet = doublet_of(ring, about);
    const Vec3 turned = dot(doublet.area, normal) * tilt;
    for (std::size_t m = 0; m < 3; ++m) {
      double w = -dot(onset(causes[m], control), normal + tilt);
      for (std::size_t k = 0; k < from_sources.size(); ++k)
        w -= axial[m][k] * dot(from_sources[k], normal);
      wash(row, static_cast<Index>(m)) = w;
      doublets(static_cast<Index>(m), row) =
          dot(doublet.area + turned, motions[m].velocity) +
          dot(doublet.moment + cross(control - about, turned), motions[m].rotation);
    }
  });
  DenseFactors<double>* const all[] = {&factors};
  factorise(all, pool);
  Eigen::Matrix3d momentum = doublets * solve(factors, wash);

  if (craft.fuselage) {
    const InnerFlow inner(*craft.fuselage, about);
    for (std::size_t i = 0; i < 3; ++i)
      for (std::size_t j = 0; j < 3; ++j) {
        double body = -inner.momentum(i, j);
        for (std::size_t k = 0; k < lattice.sources.size(); ++k) {
          const SourceLine& source = lattice.sources[k];
          body += axial[j][k] * source.growth * inner.potential(i, 0.5 * (source.from + source.to));
        }
        momentum(static_cast<Index>(i), static_cast<Index>(j)) += body;
      }
  }

  // A pair of entries is the same mass seen from either motion. With surge, that of surge's own flow is
  // taken: the momentum along x of a heaving or pitching shell is a small difference of large shares.
  Matrix result(3, 3);
  for (std::size_t i = 0; i < 3; ++i)
    for (std::size_t j = 0; j <= i; ++j) {
      const auto a = static_cast<Index>(i), b = static_cast<Index>(j);
      const double mass = j == 0 ? momentum(a, b) : 0.5 * (momentum(a, b) + momentum(b, a));
      if (!std::isfinite(mass))
        throw Error(
            "added mass came out as no number: two surfaces lie in each other, or a strip has no width",
            ErrorKind::run);
      result(i, j) = result(j, i) = craft.water.density * mass;
    }
  return result;
}

} // namespace vlm
