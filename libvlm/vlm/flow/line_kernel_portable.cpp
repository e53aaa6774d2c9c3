// For any processor: plain doubles, which the compiler runs side by side where it can.

#include <cmath>
#include <cstddef>

namespace {

using V = double;
using M = bool;
constexpr std::size_t LANES = 1;

inline V load(const double* p) {
  return *p;
}
inline void store(double* p, V a) {
  *p = a;
}
inline V set(double a) {
  return a;
}
inline V add(V a, V b) {
  return a + b;
}
inline V sub(V a, V b) {
  return a - b;
}
inline V mul(V a, V b) {
  return a * b;
}
inline V div(V a, V b) {
  return a / b;
}
inline V madd(V a, V b, V c) {
  return a * b + c;
}
inline V msub(V a, V b, V c) {
  return a * b - c;
}
inline V root(V a) {
  return __builtin_sqrt(a);
}
inline M less(V a, V b) {
  return a < b;
}
inline V select(M m, V yes, V no) {
  return m ? yes : no;
}

} // namespace

#include <vlm/flow/line_kernel_body.hpp>

namespace vlm {
extern const LineKernel portable_line_kernel{"portable", rays, panels};
} // namespace vlm
