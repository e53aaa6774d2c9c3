// Products of rows with a matrix, after line_kernel_body.hpp in the same sources.

namespace {

// Of ROWS rows with some vectors of columns, kept in registers.
template <std::size_t ROWS>
VLM_INLINE void tile(const double* rows, std::size_t length, const double* matrix, std::size_t width,
                     double* result) {
  constexpr std::size_t VECTORS = 2 * LANES <= vlm::line_lanes ? 2 : 1;
  for (std::size_t c = 0; c < width; c += VECTORS * LANES) {
    V sum[ROWS][VECTORS];
    for (std::size_t r = 0; r < ROWS; ++r)
      for (std::size_t v = 0; v < VECTORS; ++v)
        sum[r][v] = set(0);
    for (std::size_t i = 0; i < length; ++i) {
      V column[VECTORS];
      for (std::size_t v = 0; v < VECTORS; ++v)
        column[v] = load(matrix + i * width + c + v * LANES);
      for (std::size_t r = 0; r < ROWS; ++r)
        for (std::size_t v = 0; v < VECTORS; ++v)
          sum[r][v] = madd(set(rows[r * length + i]), column[v], sum[r][v]);
    }
    for (std::size_t r = 0; r < ROWS; ++r)
      for (std::size_t v = 0; v < VECTORS; ++v)
        store(result + r * width + c + v * LANES, sum[r][v]);
  }
}

void products(const double* rows, std::size_t count, std::size_t length, const double* matrix,
              std::size_t width, double* result) {
  std::size_t r = 0;
  for (; r + 4 <= count; r += 4)
    tile<4>(rows + r * length, length, matrix, width, result + r * width);
  for (; r + 2 <= count; r += 2)
    tile<2>(rows + r * length, length, matrix, width, result + r * width);
  if (r < count)
    tile<1>(rows + r * length, length, matrix, width, result + r * width);
}

} // namespace
