// For processors with AVX2 and fused multiply-adds: four doubles at a time. For sources compiled for them
// alone.

#pragma once

#include <cstddef>

#include <immintrin.h>

namespace {

using V = __m256d;
using M = __m256d;
constexpr std::size_t LANES = 4;

inline V load(const double* p) {
  return _mm256_loadu_pd(p);
}
inline void store(double* p, V a) {
  _mm256_storeu_pd(p, a);
}
inline V set(double a) {
  return _mm256_set1_pd(a);
}
inline V add(V a, V b) {
  return _mm256_add_pd(a, b);
}
inline V sub(V a, V b) {
  return _mm256_sub_pd(a, b);
}
inline V mul(V a, V b) {
  return _mm256_mul_pd(a, b);
}
inline V div(V a, V b) {
  return _mm256_div_pd(a, b);
}
inline V madd(V a, V b, V c) {
  return _mm256_fmadd_pd(a, b, c);
}
inline V msub(V a, V b, V c) {
  return _mm256_fmsub_pd(a, b, c);
}
inline V nmadd(V a, V b, V c) { // c − a·b
  return _mm256_fnmadd_pd(a, b, c);
}
inline V magnitude(V a) {
  return _mm256_andnot_pd(_mm256_set1_pd(-0.0), a);
}
inline V root(V a) {
  return _mm256_sqrt_pd(a);
}
inline M less(V a, V b) {
  return _mm256_cmp_pd(a, b, _CMP_LT_OQ);
}
inline M negative(V a) {
  return a; // choices look at the sign alone
}
inline bool all_positive(V a) {
  return _mm256_movemask_pd(less(set(0), a)) == 15;
}
inline V select(M m, V yes, V no) {
  asm("vblendvpd %3, %2, %1, %0"
      : "=x"(no)
      : "x"(no), "x"(yes), "x"(m)); // g++ 12 puts a comparison before it
  return no;
}

// Of positive numbers a = mantissa·2^exponent, the first from 1 to below 2.
inline V exponent(V a) {
  const __m256i bits = _mm256_srli_epi64(_mm256_castpd_si256(a), 52);
  const V big = _mm256_castsi256_pd(_mm256_or_si256(bits, _mm256_set1_epi64x(0x4330000000000000)));
  return _mm256_sub_pd(big, _mm256_set1_pd(0x1p52 + 1023));
}
inline V mantissa(V a) {
  const __m256i bits = _mm256_and_si256(_mm256_castpd_si256(a), _mm256_set1_epi64x(0x000fffffffffffff));
  return _mm256_castsi256_pd(_mm256_or_si256(bits, _mm256_set1_epi64x(0x3ff0000000000000)));
}
inline V shifted(V before, V here) { // the last of one, then all but the last of the other
  return _mm256_shuffle_pd(_mm256_permute2f128_pd(before, here, 0x21), here, 5);
}
} // namespace
