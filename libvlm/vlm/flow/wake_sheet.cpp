#include <vlm/flow/wake_sheet.hpp>

#include <algorithm>
#include <array>
#include <cassert>
#include <cmath>
#include <complex>
#include <numbers>

#include <Eigen/Dense>

#include <vlm/base/error.hpp>
#include <vlm/flow/flow_kernel.hpp>
#include <vlm/lattice/spacing.hpp>

namespace vlm {
namespace {

using std::numbers::pi;

// Smoothing length over the mean strip width; see WakeSheet.
constexpr double smoothing_share = 0.08;

// In terms of a spline's coefficients, of which a node or ribbon depends on a few neighbours.
struct Strengths {
  Eigen::MatrixXd density;      // g at the nodes, per coefficient
  Eigen::MatrixXd shed;         // vorticity of each ribbon, −ΔΓ between its ends, likewise
  Eigen::MatrixXd coefficients; // per strip circulation
};

constexpr Eigen::Index beyond = 2; // coefficients of the spline on either side of the edges

// Coefficients of a uniform cubic B-spline through the legs as samples at u = 0, 1, 2, …, one an edge; the
// strength of edge e, downstream positive, is Γ(strip left of it) − Γ(strip right of it). Beyond an end they
// follow from those within: even about a tip half a step beyond the outer edge; even about an edge on the
// still surface, whose leg is half a sample; straight at an edge on the skin, whose leg is none.
Eigen::MatrixXd spline_coefficients(Eigen::Index strips, const std::array<RowEnd, 2>& ends) {
  using Eigen::Index;
  const Index edges = strips + 1;
  Eigen::VectorXd below = Eigen::VectorXd::Constant(edges, 1.0 / 6), on = 4 * below, above = below;
  Eigen::MatrixXd c = Eigen::MatrixXd::Zero(edges + 2 * beyond, strips);
  auto at_edges = c.middleRows(beyond, edges);
  for (Index j = 0; j < strips; ++j)
    at_edges(j, j) = -1, at_edges(j + 1, j) = 1;
  // Bodies last: they settle what the neighbour of their edge is.
  std::array<int, 2> order{0, 1};
  if (on_body(ends[0]))
    std::swap(order[0], order[1]);
  for (const int end : order) {
    const Index edge = end == 0 ? 0 : edges - 1, neighbour = end == 0 ? 1 : edges - 2;
    const RowEnd kind = ends[static_cast<std::size_t>(end)];
    if (kind == RowEnd::tip) {
      on[edge] += 1.0 / 6;
    } else if (kind == RowEnd::still_surface) {
      (end == 0 ? above : below)[edge] *= 2;
      at_edges.row(edge) *= 2;
    } else {
      // Straight at the edge, c0 + c2 = 2·c1, so (c0 + 4·c1 + c2)/6 is the neighbour's c1: its leg. The
      // edge's c0 follows.
      below[neighbour] = above[neighbour] = 0, on[neighbour] = 1;
      below[edge] = above[edge] = 0, on[edge] = 1;
      at_edges.row(edge).setZero();
    }
  }
  for (Index e = 1; e < edges; ++e) {
    below[e] /= on[e - 1];
    on[e] -= below[e] * above[e - 1];
  }
  for (Index j = 0; j < strips; ++j) {
    auto column = at_edges.col(j);
    for (Index e = std::max<Index>(1, j); e < edges; ++e)
      column[e] -= below[e] * column[e - 1];
    column[edges - 1] /= on[edges - 1];
    for (Index e = edges - 1; e-- > 0;)
      column[e] = (column[e] - above[e] * column[e + 1]) / on[e];
  }
  // The row i steps inward from the edge at an end, and how those there and beyond follow.
  const auto row = [&](int end, Index i) { return c.row(end == 0 ? beyond + i : c.rows() - 1 - beyond - i); };
  const auto follow = [&](int end, Index i) {
    const RowEnd kind = ends[static_cast<std::size_t>(end)];
    const bool level = strips == 1 || (strips == 2 && on_body(ends[0]) && on_body(ends[1]));
    if (on_body(kind) && i == 0 && level) // what is straight at both ends, or even at the other
      row(end, 0) = row(end, 1);
    else if (on_body(kind))
      row(end, -i) = 2 * row(end, 1 - i) - row(end, 2 - i);
    else if (i > 0)
      row(end, -i) = row(end, kind == RowEnd::tip ? i - 1 : i);
  };
  for (Index i = 0; i <= beyond; ++i)
    for (const int end : order)
      follow(end, i);
  return c;
}

// The spline, cut into ribbons.
Strengths semicircle_strengths(Eigen::Index strips, const std::array<RowEnd, 2>& ends) {
  const Eigen::MatrixXd coefficients = spline_coefficients(strips, ends);
  const Eigen::Index edges = strips + 1, unknowns = coefficients.rows();
  const double from = ends[0] == RowEnd::tip ? -0.5 : 0,
               to = static_cast<double>(strips) + (ends[1] == RowEnd::tip ? 0.5 : 0);
  const auto ribbons = static_cast<Eigen::Index>(std::lround((to - from) * ribbons_per_strip));
  // Cubic B-spline about 0 at t, and its integral from far left.
  const auto spline = [](double t) {
    const double a = std::abs(t);
    return a >= 2 ? 0 : a >= 1 ? (2 - a) * (2 - a) * (2 - a) / 6 : (4 - 6 * a * a + 3 * a * a * a) / 6;
  };
  const auto integral = [](double t) {
    const double a = std::abs(t), b = (2 - a) * (2 - a);
    const double tail = a >= 2   ? 0
                        : a >= 1 ? b * b / 24
                                 : 0.5 - (4 * a - 2 * a * a * a + 0.75 * a * a * a * a) / 6;
    return t > 0 ? 1 - tail : tail;
  };
  Eigen::MatrixXd density = Eigen::MatrixXd::Zero(ribbons + 1, unknowns),
                  shed = Eigen::MatrixXd::Zero(ribbons, unknowns);
  for (Eigen::Index i = 0; i <= ribbons; ++i) {
    const double u = from + static_cast<double>(i) / ribbons_per_strip, next = u + 1.0 / ribbons_per_strip;
    const auto near = static_cast<Eigen::Index>(std::floor(u));
    for (Eigen::Index e = std::max(near - 2, -beyond); e < std::min(near + 4, edges + beyond); ++e) {
      const double t = static_cast<double>(e);
      density(i, e + beyond) = spline(u - t);
      if (i < ribbons)
        shed(i, e + beyond) = integral(next - t) - integral(u - t);
    }
  }
  return {density, shed, coefficients};
}

// Nodes at edges and middles. Circulation is that of the strip at its middle, the mean of both neighbours' at
// an edge, zero at the tips and the strip's own at the skin; strength is its slope between middles at an
// edge, between edges at a middle.
Strengths uniform_strengths(Eigen::Index strips, const std::array<RowEnd, 2>& ends) {
  Eigen::MatrixXd circulation = Eigen::MatrixXd::Zero(2 * strips + 1, strips), density = circulation;
  for (Eigen::Index j = 0; j < strips; ++j)
    circulation(2 * j + 1, j) = 1;
  for (Eigen::Index e = 1; e < strips; ++e) {
    circulation(2 * e, e - 1) = circulation(2 * e, e) = 0.5;
    density(2 * e, e - 1) = 1;
    density(2 * e, e) = -1;
  }
  if (on_body(ends[0]))
    circulation(0, 0) = 1;
  if (on_body(ends[1]))
    circulation(2 * strips, strips - 1) = 1;
  for (Eigen::Index j = 0; j < strips; ++j)
    density.row(2 * j + 1) = circulation.row(2 * j) - circulation.row(2 * j + 2);
  return {density, circulation.topRows(2 * strips) - circulation.bottomRows(2 * strips),
          Eigen::MatrixXd::Identity(strips, strips)};
}

// So far aft [m] that the factor of every half-infinite vortex is 1 to the last bit.
constexpr double far_downstream = 1e100;

// ∫ τ^(−1/2)/(ẑ − τ) dτ over [0, 1]: strength that is infinite at the first end. m0 holds the ribbon's angle,
// rounded already; the jump that goes with it is rounded likewise.
std::complex<double> tip_moment(double eta, double zeta, double smallest2, const std::complex<double>& m0) {
  std::complex<double> z(eta, zeta);
  if (std::norm(z) < smallest2)
    z = std::sqrt(smallest2);
  // (1/√ẑ)·log((√ẑ + 1)/(√ẑ − 1)), with |√ẑ − 1| = |ẑ − 1|/|√ẑ + 1|.
  const std::complex<double> root = std::sqrt(z);
  const double behind2 = std::max(std::norm(z - 1.0), smallest2);
  const double size = std::log(std::norm(root + 1.0)) - 0.5 * std::log(behind2);
  const bool on_ribbon = zeta == 0 && eta > 0 && eta < 1;
  const double jump = -std::atan2(zeta, eta * (eta - 1) + zeta * zeta);
  const double angle = on_ribbon ? 0 : std::arg((root + 1.0) * std::conj(root - 1.0)) - (jump - m0.imag());
  return std::complex<double>(size, angle) / root;
}

} // namespace

template <class Weights>
WakeSheet::Band::Band(const Weights& all, const std::vector<double>& scale) {
  for (Eigen::Index c = 0; c < all.cols(); ++c) {
    Eigen::Index from = 0, to = all.rows();
    while (from + 1 < to && all(from, c) == 0)
      ++from;
    while (from + 1 < to && all(to - 1, c) == 0)
      --to;
    first.push_back(static_cast<std::size_t>(from));
    for (Eigen::Index i = from; i < to; ++i)
      weight.push_back(scale[static_cast<std::size_t>(i)] * all(i, c));
    weight.resize(line_width(weight.size()));
    end.push_back(weight.size());
  }
}

double WakeSheet::Band::sum(std::size_t coefficient, const double* values) const {
  std::array<double, line_lanes> part{}; // sums that do not wait for each other
  const double* value = values + first[coefficient];
  for (std::size_t i = coefficient == 0 ? 0 : end[coefficient - 1]; i < end[coefficient];
       i += line_lanes, value += line_lanes)
    for (std::size_t k = 0; k < line_lanes; ++k)
      part[k] += weight[i + k] * value[k];
  return ((part[0] + part[4]) + (part[2] + part[6])) + ((part[1] + part[5]) + (part[3] + part[7]));
}

void WakeSheet::Band::add(std::size_t coefficient, const double* value, std::size_t width,
                          double* values) const {
  double* to = values + first[coefficient] * width;
  for (std::size_t i = coefficient == 0 ? 0 : end[coefficient - 1]; i < end[coefficient]; ++i, to += width)
    for (std::size_t c = 0; c < width; ++c)
      to[c] += weight[i] * value[c];
}

WakeSheet::WakeSheet(const Row& row, Spacing spacing, const Vec3& direction) : direction_(direction) {
  const Vec3 starboard{0, 1, 0};
  axis_[0] = normalized(starboard - dot(starboard, direction) * direction);
  axis_[1] = cross(direction, axis_[0]);

  const auto strips = static_cast<Eigen::Index>(row.num_strips);
  Strengths unit = spacing == Spacing::semicircle ? semicircle_strengths(strips, row.ends)
                                                  : uniform_strengths(strips, row.ends);
  for (std::size_t end = 0; end < 2; ++end) {
    tip_[end] = row.ends[end] == RowEnd::tip;
    root_strength_[end].assign(row.num_strips, 0);
    if (!on_body(row.ends[end]))
      continue;
    // What the circulation at the skin is: the strip's beside it and what is shed up to the skin.
    const bool other_is_skin = on_body(row.ends[1 - end]);
    const Eigen::Index whole = unit.shed.rows(),
                       half = spacing == Spacing::semicircle ? ribbons_per_strip / 2 : 1;
    const Eigen::RowVectorXd shed =
        (other_is_skin
             ? (end == 0 ? unit.shed.topRows(half) : unit.shed.bottomRows(half)).colwise().sum().eval()
             : unit.shed.topRows(whole).colwise().sum().eval()) *
        unit.coefficients;
    for (Eigen::Index j = 0; j < strips; ++j) {
      const bool beside = j == (end == 0 ? 0 : strips - 1);
      root_strength_[end][static_cast<std::size_t>(j)] =
          other_is_skin ? (beside ? (end == 0 ? -1 : 1) : 0) - shed(j) : -shed(j);
    }
  }
  const std::size_t nodes = row.sheet_point.size();
  const std::size_t width = line_width(row.num_strips);
  unit_.resize(width * static_cast<std::size_t>(unit.coefficients.rows()));
  for (Eigen::Index c = 0; c < unit.coefficients.rows(); ++c)
    for (Eigen::Index j = 0; j < strips; ++j)
      unit_[static_cast<std::size_t>(c) * width + static_cast<std::size_t>(j)] = unit.coefficients(c, j);
  double across = 0;
  std::vector<double> length; // of each ribbon
  for (std::size_t i = 0; i < nodes; ++i) {
    const Vec3& p = row.sheet_point[i];
    node1_.push_back(dot(p, axis_[0])), node2_.push_back(dot(p, axis_[1]));
    node_along_.push_back(dot(p, direction_));
    if (i == 0)
      continue;
    const double d1 = node1_[i] - node1_[i - 1], d2 = node2_[i] - node2_[i - 1],
                 distance = std::hypot(d1, d2);
    if (!(distance > 0))
      throw Error("the wake leaves a trailing edge along itself: its direction must cross the span");
    across += distance;
    length.push_back(distance);
    per_length_.push_back(1 / distance);
    tangent1_.push_back(d1 / distance), tangent2_.push_back(d2 / distance);
  }
  smallest_distance2_ = 1e-24 * across * across;
  smoothing_ = smoothing_share * across / static_cast<double>(row.num_strips);
  std::vector<double> at_node(nodes); // strength for unit density
  for (std::size_t i = 0; i < nodes; ++i) {
    if ((i == 0 && tip_[0]) || (i + 1 == nodes && tip_[1]) || row.sheet_slope[i] == 0)
      continue;
    // Strength is per metre across the wake, the node's slope per metre of arc.
    const std::size_t before = i == 0 ? 0 : i - 1, after = std::min(i + 1, nodes - 1);
    double across_neighbours = 0;
    for (std::size_t k = before; k < after; ++k)
      across_neighbours += length[k];
    const double stretch = across_neighbours / (row.sheet_arc[after] - row.sheet_arc[before]);
    at_node[i] = 1 / (row.sheet_slope[i] * stretch);
  }
  at_node_ = Band(unit.density, at_node);
  mean_ = Band(unit.shed, per_length_);
  num_ribbons_ = length.size();
  counts_.assign(num_ribbons_ + line_lanes, 0);
  for (std::size_t i = 0; i < num_ribbons_; ++i)
    counts_[i] = (i == 0 && tip_[0]) || (i + 1 == num_ribbons_ && tip_[1]) ? 0 : 1;
  for (std::vector<double>* v : {&node1_, &node2_, &node_along_, &tangent1_, &tangent2_, &per_length_})
    v->resize(v->size() + line_lanes, v->back());
}

namespace {

// Scratch of one thread, kept between points so that no loop allocates; an array each, along the sheet.
struct SheetScratch {
  std::array<std::vector<double>, 8> moment;
  std::array<std::vector<double>, 2> share;
  std::vector<double> weight, coefficient, strip;
};

SheetScratch& sheet_scratch() {
  thread_local SheetScratch s;
  return s;
}

template <std::size_t count>
std::array<double*, count> with_room(std::array<std::vector<double>, count>& arrays, std::size_t size) {
  std::array<double*, count> places;
  for (std::size_t i = 0; i < count; ++i) {
    arrays[i].resize(std::max(arrays[i].size(), size));
    places[i] = arrays[i].data();
  }
  return places;
}

} // namespace

void WakeSheet::add_weights(const Vec3& point, Place place, std::span<const Vec3> along,
                            std::span<double> weights) const {
  assert(along.size() <= 2 && weights.size() >= along.size() * num_strengths());
  SheetScratch& s = sheet_scratch();
  const std::size_t ribbons = num_ribbons_, room = ribbons + 1 + line_lanes;
  const std::array<double*, 8> moment = with_room(s.moment, room);
  const std::array<double*, 2> share = with_room(s.share, room);
  const double p[] = {dot(point, axis_[0]), dot(point, axis_[1]),
                      place == Place::far_downstream ? far_downstream : dot(point, direction_)};
  const SheetGrid grid{node1_.data(),       node2_.data(),      node_along_.data(), tangent1_.data(),
                       tangent2_.data(),    per_length_.data(), counts_.data(),     ribbons,
                       smallest_distance2_, smoothing_};
  const FlowKernel& kernel = flow_kernel();
  kernel.ribbon_moments(grid, p, moment.data());
  double across[2][2]; // each vector, over 2π
  for (std::size_t k = 0; k < along.size(); ++k)
    for (std::size_t axis = 0; axis < 2; ++axis)
      across[k][axis] = dot(along[k], axis_[axis]) / (2 * pi);
  kernel.ribbon_weights(grid, p, moment.data(), share.data(), along.size(), across, weights.data());

  // At a tip strength is c/√t + d, t from the tip: with end strength γ and mean m, c/√(length) = m − γ and d
  // = 2γ − m.
  for (const std::size_t end : {0, 1}) {
    if (!tip_[end])
      continue;
    const std::size_t i = end == 0 ? 0 : ribbons - 1;
    const double scale = per_length_[i], near2 = smallest_distance2_ * scale * scale;
    const auto value = [&](std::size_t m) {
      return std::complex<double>(moment[2 + 2 * m][i], moment[3 + 2 * m][i]);
    };
    const std::complex<double> m0 = value(0), m1 = value(1), m2 = value(2);
    // Parabolas that are 1 at one of the first end, the middle and the last end, and 0 at the others.
    const std::complex<double> even = share[0][i] * (m0 - 3.0 * m1 + 2.0 * m2) +
                                      share[1][i] * 4.0 * (m1 - m2) + share[0][i + 1] * (2.0 * m2 - m1);
    // Half of the root's strength lies within a quarter, its centre at a third of the ribbon.
    const double third = end == 0 ? 1.0 / 3 : 2.0 / 3;
    const auto between = [&](const std::vector<double>& n) { return n[i] + third * (n[i + 1] - n[i]); };
    const double d1 = p[0] - between(node1_), d2 = p[1] - between(node2_), d3 = p[2] - between(node_along_),
                 distance = std::sqrt(d1 * d1 + d2 * d2 + d3 * d3);
    const double factor = distance > 0 ? 0.5 * (1 + d3 / distance) : 0.5;
    const std::complex<double> root = end == 0
                                          ? factor * tip_moment(moment[0][i], moment[1][i], near2, m0)
                                          : -factor * tip_moment(1 - moment[0][i], -moment[1][i], near2, -m0);
    for (std::size_t k = 0; k < along.size(); ++k) {
      const double with_imaginary = across[k][0] * tangent1_[i] + across[k][1] * tangent2_[i],
                   with_real = across[k][1] * tangent1_[i] - across[k][0] * tangent2_[i];
      const auto velocity = [&](const std::complex<double>& e) {
        return e.imag() * with_imaginary + e.real() * with_real;
      };
      double* of_vector = weights.data() + k * num_strengths();
      of_vector[end == 0 ? i + 1 : i] += velocity(2.0 * even - root);
      of_vector[first_mean(ribbons) + i] += velocity(root - even);
    }
  }
}

std::size_t WakeSheet::num_strengths() const {
  return vlm::num_strengths(num_ribbons_);
}

void WakeSheet::add_weights(const Vec3& point, std::span<const Vec3> along, std::span<double> weights) const {
  add_weights(point, Place::at_point, along, weights);
}

void WakeSheet::add_wash(std::span<const View> views, Place place, std::span<double> strips) const {
  SheetScratch& s = sheet_scratch();
  s.weight.assign(num_strengths() + line_lanes, 0);
  for (const View& view : views)
    add_weights(view.point, place, {&view.along, 1}, s.weight);
  const std::size_t width = line_width(strips.size()), num_coefficients = unit_.size() / width;
  s.coefficient.resize(num_coefficients), s.strip.resize(width);
  for (std::size_t c = 0; c < num_coefficients; ++c)
    s.coefficient[c] =
        at_node_.sum(c, s.weight.data()) + mean_.sum(c, s.weight.data() + first_mean(num_ribbons_));
  flow_kernel().products(s.coefficient.data(), 1, num_coefficients, unit_.data(), width, s.strip.data());
  for (std::size_t j = 0; j < strips.size(); ++j)
    strips[j] += s.strip[j];
}

void WakeSheet::add_wash(std::span<const View> views, std::span<double> strips) const {
  add_wash(views, Place::at_point, strips);
}

void WakeSheet::add_far_wash(std::span<const View> views, std::span<double> strips) const {
  add_wash(views, Place::far_downstream, strips);
}

std::vector<double> WakeSheet::strengths(std::span<const double> circulation, std::size_t width) const {
  const std::size_t strips = circulation.size() / width, unit_width = line_width(strips);
  std::vector<double> strengths((num_strengths() + line_lanes) * width), coefficient(width);
  for (std::size_t c = 0; c < unit_.size() / unit_width; ++c) {
    std::fill(coefficient.begin(), coefficient.end(), 0.0);
    for (std::size_t j = 0; j < strips; ++j)
      for (std::size_t i = 0; i < width; ++i)
        coefficient[i] += unit_[c * unit_width + j] * circulation[j * width + i];
    at_node_.add(c, coefficient.data(), width, strengths.data());
    mean_.add(c, coefficient.data(), width, strengths.data() + first_mean(num_ribbons_) * width);
  }
  strengths.resize(num_strengths() * width);
  return strengths;
}

} // namespace vlm
