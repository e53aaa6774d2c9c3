// Rings, as the hierarchical solver takes them, after line_kernel_body.hpp in the same sources.

namespace {

// Component along d of what a segment from a to b gives, as in add_segment without a core.
VLM_INLINE V segment_along(const Ends& a, const Ends& b, V dx, V dy, V dz) {
  const V cx = msub(a.y, b.z, mul(a.z, b.y)), cy = msub(a.z, b.x, mul(a.x, b.z)),
          cz = msub(a.x, b.y, mul(a.y, b.x));
  const V dot = madd(a.x, b.x, madd(a.y, b.y, mul(a.z, b.z)));
  const V cross2 = madd(cx, cx, madd(cy, cy, mul(cz, cz)));
  const V along = madd(cx, dx, madd(cy, dy, mul(cz, dz)));
  return mul(strength(a.r, b.r, dot, cross2, set(over_4pi)), along);
}

void ring_row(const vlm::LineGrid& g, const double point[3], const double direction[3], bool open,
              double* result, double* scratch) {
  const std::size_t pitch = vlm::line_width(g.num_edges) + vlm::line_lanes, strips = g.num_edges - 1;
  double *fore = scratch, *aft = scratch + 4 * pitch;
  double *leg = scratch + 8 * pitch, *bound = scratch + 9 * pitch, *next = scratch + 10 * pitch;
  const V px = set(point[0]), py = set(point[1]), pz = set(point[2]);
  const V dx = set(direction[0]), dy = set(direction[1]), dz = set(direction[2]);
  for (std::size_t k = 0; k <= g.panels_per_strip; ++k) {
    const std::size_t first = k * g.width;
    for (std::size_t i = 0; i < g.num_edges; i += LANES) {
      const V x = sub(px, load(g.x + first + i)), y = sub(py, load(g.y + first + i)),
              z = sub(pz, load(g.z + first + i));
      store(aft + i, x);
      store(aft + pitch + i, y);
      store(aft + 2 * pitch + i, z);
      store(aft + 3 * pitch + i, root(madd(x, x, madd(y, y, mul(z, z)))));
    }
    if (open && k == g.panels_per_strip) {
      for (std::size_t i = 0; i < strips; ++i)
        next[i] = 0;
    } else {
      for (std::size_t i = 0; i < strips; i += LANES)
        store(next + i, segment_along(load_ends(aft, pitch, i), load_ends(aft, pitch, i + 1), dx, dy, dz));
    }
    if (k > 0) {
      for (std::size_t i = 0; i < g.num_edges; i += LANES)
        store(leg + i, segment_along(load_ends(fore, pitch, i), load_ends(aft, pitch, i), dx, dy, dz));
      double* to = result + (k - 1) * strips;
      for (std::size_t i = 0; i < strips; ++i)
        to[i] += bound[i] - next[i] + (leg[i + 1] - leg[i]);
    }
    double* swap = fore;
    fore = aft, aft = swap;
    swap = bound;
    bound = next, next = swap;
  }
}

void ring_column(const double corner[4][3], bool open, const vlm::RingPoints& at, std::size_t count,
                 double* result) {
  for (std::size_t i = 0; i < count; i += LANES) {
    const V px = load(at.x + i), py = load(at.y + i), pz = load(at.z + i);
    Ends end[4];
    for (int c = 0; c < 4; ++c) {
      const V x = sub(px, set(corner[c][0])), y = sub(py, set(corner[c][1])), z = sub(pz, set(corner[c][2]));
      end[c] = {x, y, z, root(madd(x, x, madd(y, y, mul(z, z))))};
    }
    const V dx = load(at.along_x + i), dy = load(at.along_y + i), dz = load(at.along_z + i);
    V v = add(segment_along(end[0], end[1], dx, dy, dz),
              add(segment_along(end[1], end[2], dx, dy, dz), segment_along(end[3], end[0], dx, dy, dz)));
    if (!open)
      v = add(v, segment_along(end[2], end[3], dx, dy, dz));
    double lane[LANES];
    store(lane, v);
    for (std::size_t l = 0; l < LANES && i + l < count; ++l)
      result[i + l] += lane[l];
  }
}

} // namespace
