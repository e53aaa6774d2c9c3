// For any processor: two doubles side by side, which the compiler keeps in whatever it has for them.

#pragma once

#include <cstddef>

namespace {

using V = double __attribute__((vector_size(16)));
using M = long long __attribute__((vector_size(16)));
using Unaligned = double __attribute__((vector_size(16), aligned(8), may_alias));
constexpr std::size_t LANES = 2;

inline V load(const double* p) {
  return *reinterpret_cast<const Unaligned*>(p);
}
inline void store(double* p, V a) {
  *reinterpret_cast<Unaligned*>(p) = a;
}
inline V set(double a) {
  return V{a, a};
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
inline V nmadd(V a, V b, V c) { // c − a·b
  return c - a * b;
}
inline V magnitude(V a) {
  return V(M(a) & M{0x7fffffffffffffff, 0x7fffffffffffffff});
}
inline V root(V a) {
  return V{__builtin_sqrt(a[0]), __builtin_sqrt(a[1])};
}
inline M less(V a, V b) {
  return a < b;
}
inline M negative(V a) {
  return a < set(0);
}
inline bool all_positive(V a) {
  return a[0] > 0 && a[1] > 0;
}
inline V select(M m, V yes, V no) {
  return m ? yes : no;
}

// Of positive numbers a = mantissa·2^exponent, the first from 1 to below 2.
inline V exponent(V a) {
  const M bits = M(a) >> 52 | M{0x4330000000000000, 0x4330000000000000};
  return V(bits) - set(0x1p52 + 1023);
}
inline V mantissa(V a) {
  const M bits = M(a) & M{0x000fffffffffffff, 0x000fffffffffffff};
  return V(bits | M{0x3ff0000000000000, 0x3ff0000000000000});
}
inline V shifted(V before, V here) { // the last of one, then all but the last of the other
  return V{before[1], here[0]};
}
} // namespace
