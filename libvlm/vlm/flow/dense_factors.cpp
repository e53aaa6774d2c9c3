#include <vlm/flow/dense_factors.hpp>

#include <algorithm>
#include <new>
#include <utility>

#include <vlm/flow/dense_kernel.hpp>

namespace vlm {
namespace {

template <class Real>
AlignedMatrix<Real> aligned(const typename AlignedMatrix<Real>::Matrix& matrix) {
  AlignedMatrix<Real> copy(matrix.rows(), matrix.cols());
  copy.map() = matrix;
  return copy;
}

const std::string eigen = "Eigen " + std::to_string(EIGEN_WORLD_VERSION) + "." +
                          std::to_string(EIGEN_MAJOR_VERSION) + "." + std::to_string(EIGEN_MINOR_VERSION);

} // namespace

template <class Real>
AlignedMatrix<Real>::AlignedMatrix(Eigen::Index rows, Eigen::Index cols) : rows_(rows), cols_(cols) {
  constexpr std::size_t alignment = 64;
  const std::size_t bytes = sizeof(Real) * static_cast<std::size_t>(rows * cols);
  // A multiple of the alignment, as aligned_alloc wants.
  values_.reset(static_cast<Real*>(std::aligned_alloc(alignment, (bytes / alignment + 1) * alignment)));
  if (!values_)
    throw std::bad_alloc();
}

template class AlignedMatrix<double>;

DenseFactors<double> factorised(const Eigen::MatrixXd& matrix) {
  DenseFactors<double> f{aligned<double>(matrix)};
  const auto size = static_cast<std::size_t>(matrix.rows());
  f.swaps.resize(size);
  dense_kernel().factorise(f.values.map().data(), size, size, size, f.swaps.data());
  return f;
}

DenseFactors<float> factorised(const Eigen::MatrixXf& matrix) {
  DenseFactors<float> f{aligned<float>(matrix)};
  const auto size = static_cast<std::size_t>(matrix.rows());
  f.swaps.resize(size);
  dense_kernel().factorise_single(f.values.map().data(), size, size, size, f.swaps.data());
  return f;
}

#ifdef VLM_BLAS
// The BLAS has threads of its own: here it runs alone.
void factorise(std::span<DenseFactors<double>* const> all, ThreadPool&) {
  for (DenseFactors<double>* f : all) {
    f->swaps.resize(static_cast<std::size_t>(f->values.map().rows()));
    factorise_by_blas(f->values.map().data(), f->swaps.size(), f->swaps.data());
  }
}

std::string linear_algebra() {
  return eigen + " with BLAS, " VLM_BLAS;
}
#else
namespace {

// Columns of a panel. By the size alone, for the bits must not depend on who shares the work. Three panels or
// more gain by two threads (measured from 100 to 4000 unknowns); fewer do not.
std::size_t panel_width(std::size_t size) {
  return size < 192 ? size : 64;
}

struct Panel {
  DenseFactors<double>* of;
  std::size_t first, columns;

  double* at(std::size_t row, std::size_t column) const {
    return of->values.map().data() + column * of->swaps.size() + row;
  }
};

// Takes the panel before `next` out of this one and, if this is `next`, factorises it.
void work_on(const Panel& panel, std::size_t next) {
  const std::size_t size = panel.of->swaps.size(), width = panel_width(size), top = next * width;
  int* const swaps = panel.of->swaps.data();
  if (next > 0) {
    const std::size_t last = top - width;
    dense_kernel().eliminate(panel.at(last, last), size - last, width, size, swaps + last,
                             panel.at(last, panel.first), panel.columns);
  }
  if (panel.first == top)
    dense_kernel().factorise(panel.at(top, top), size - top, panel.columns, size, swaps + top);
}

// Exchanges rows below the panel's own as later panels did.
void swap_rows(const Panel& panel) {
  const std::vector<int>& swaps = panel.of->swaps;
  for (std::size_t j = panel.first; j < panel.first + panel.columns; ++j) {
    double* const column = panel.at(0, j);
    for (std::size_t i = panel.first + panel.columns; i < swaps.size(); ++i)
      std::swap(column[i], column[swaps[i]]);
  }
}

} // namespace

void factorise(std::span<DenseFactors<double>* const> all, ThreadPool& pool) {
  std::size_t num_panels = 0;
  for (DenseFactors<double>* f : all) {
    const auto size = static_cast<std::size_t>(f->values.map().rows());
    f->swaps.resize(size);
    if (size > 0)
      num_panels = std::max(num_panels, (size - 1) / panel_width(size) + 1);
  }
  // Those of all matrices, side by side.
  const auto panels = [&](std::size_t from, std::size_t to) {
    std::vector<Panel> found;
    for (std::size_t p = from; p < to; ++p)
      for (DenseFactors<double>* f : all)
        if (const std::size_t size = f->swaps.size(), width = panel_width(size), first = p * width;
            first < size)
          found.push_back({f, first, std::min(width, size - first)});
    return found;
  };
  // Each panel is factorised as soon as the one before is taken out of it, while other threads take that out
  // of the panels behind.
  for (std::size_t next = 0; next < num_panels; ++next) {
    const std::vector<Panel> rest = panels(next, next == 0 ? 1 : num_panels);
    pool.for_each(rest.size(), [&](std::size_t i) { work_on(rest[i], next); });
  }
  for (DenseFactors<double>* f : all)
    for (std::size_t i = 0; i < f->swaps.size(); ++i) // counted from the top of the panel so far
      f->swaps[i] += static_cast<int>(i - i % panel_width(f->swaps.size()));
  const std::vector<Panel> every = panels(0, num_panels);
  pool.for_each(every.size(), [&](std::size_t i) { swap_rows(every[i]); });
}

std::string linear_algebra() {
  return eigen;
}
#endif

bool singular(const DenseFactors<double>& f) {
  const auto pivots = f.values.map().diagonal().cwiseAbs();
  return pivots.size() > 0 && (!(pivots.minCoeff() > 1e-14 * pivots.maxCoeff()) || !pivots.allFinite());
}

Eigen::MatrixXd solve(const DenseFactors<double>& f, const Eigen::MatrixXd& right) {
  AlignedMatrix<double> x = aligned<double>(right);
  dense_kernel().solve(f.values.map().data(), f.swaps.size(), f.swaps.data(), x.map().data(),
                       static_cast<std::size_t>(right.cols()));
  return x.map();
}

Eigen::MatrixXf solve(const DenseFactors<float>& f, const Eigen::MatrixXf& right) {
  AlignedMatrix<float> x = aligned<float>(right);
  dense_kernel().solve_single(f.values.map().data(), f.swaps.size(), f.swaps.data(), x.map().data(),
                              static_cast<std::size_t>(right.cols()));
  return x.map();
}

} // namespace vlm
