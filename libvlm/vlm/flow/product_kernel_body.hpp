// Products of rows with a matrix, after line_kernel_body.hpp in the same sources.

namespace {

// Of ROWS rows with VECTORS vectors of columns, kept in registers.
template <std::size_t ROWS, std::size_t VECTORS>
VLM_INLINE void tile(const double* rows, std::size_t length, const double* matrix, std::size_t width,
                     double* result) {
  V sum[ROWS][VECTORS];
  for (std::size_t r = 0; r < ROWS; ++r)
    for (std::size_t v = 0; v < VECTORS; ++v)
      sum[r][v] = set(0);
  for (std::size_t i = 0; i < length; ++i) {
    V column[VECTORS];
    for (std::size_t v = 0; v < VECTORS; ++v)
      column[v] = load(matrix + i * width + v * LANES);
    for (std::size_t r = 0; r < ROWS; ++r)
      for (std::size_t v = 0; v < VECTORS; ++v)
        sum[r][v] = madd(set(rows[r * length + i]), column[v], sum[r][v]);
  }
  for (std::size_t r = 0; r < ROWS; ++r)
    for (std::size_t v = 0; v < VECTORS; ++v)
      store(result + r * width + v * LANES, sum[r][v]);
}

// As many vectors as make about eight sums: fewer would wait for each other.
template <std::size_t ROWS>
VLM_INLINE void strip_of_rows(const double* rows, std::size_t length, const double* matrix, std::size_t width,
                              double* result) {
  constexpr std::size_t FEW = 2 * LANES <= vlm::line_lanes ? 2 : 1, MANY = 8 / ROWS;
  std::size_t c = 0;
  if constexpr (MANY > FEW)
    for (; c + MANY * LANES <= width; c += MANY * LANES)
      tile<ROWS, MANY>(rows, length, matrix + c, width, result + c);
  for (; c < width; c += FEW * LANES)
    tile<ROWS, FEW>(rows, length, matrix + c, width, result + c);
}

void products(const double* rows, std::size_t count, std::size_t length, const double* matrix,
              std::size_t width, double* result) {
  std::size_t r = 0;
  for (; r + 4 <= count; r += 4)
    strip_of_rows<4>(rows + r * length, length, matrix, width, result + r * width);
  for (; r + 2 <= count; r += 2)
    strip_of_rows<2>(rows + r * length, length, matrix, width, result + r * width);
  if (r < count)
    strip_of_rows<1>(rows + r * length, length, matrix, width, result + r * width);
}

} // namespace
