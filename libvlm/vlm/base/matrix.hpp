#pragma once

#include <cstddef>
#include <span>
#include <vector>

namespace vlm {

/// A dense matrix of doubles, column after column.
struct Matrix {
  std::size_t rows = 0, cols = 0; ///< their numbers
  std::vector<double> values;     ///< [rows·cols], entry (i, j) at i + j·rows

  Matrix() = default;
  /// All entries 0.
  Matrix(std::size_t num_rows, std::size_t num_cols)
      : rows(num_rows), cols(num_cols), values(num_rows * num_cols) {}

  /// Entry in row i and column j, both below their numbers, which is not checked.
  ///@{
  double& operator()(std::size_t i, std::size_t j) { return values[i + j * rows]; }
  double operator()(std::size_t i, std::size_t j) const { return values[i + j * rows]; }
  ///@}

  /// Column j [rows], a view that lasts as long as `values` does. Not checked either.
  ///@{
  std::span<double> column(std::size_t j) { return {values.data() + j * rows, rows}; }
  std::span<const double> column(std::size_t j) const { return {values.data() + j * rows, rows}; }
  ///@}
};

} // namespace vlm
