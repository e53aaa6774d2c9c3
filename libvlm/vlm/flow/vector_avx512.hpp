// For processors with AVX-512: eight doubles at a time. For sources compiled for them alone.

#pragma once

#include <cstddef>

#include <immintrin.h>

namespace {

using V = __m512d;
using M = __mmask8;
constexpr std::size_t LANES = 8;

inline V load(const double* p) {
  return _mm512_loadu_pd(p);
}
inline void store(double* p, V a) {
  _mm512_storeu_pd(p, a);
}
inline V set(double a) {
  return _mm512_set1_pd(a);
}
inline V add(V a, V b) {
  return _mm512_add_pd(a, b);
}
inline V sub(V a, V b) {
  return _mm512_sub_pd(a, b);
}
inline V mul(V a, V b) {
  return _mm512_mul_pd(a, b);
}
inline V madd(V a, V b, V c) {
  return _mm512_fmadd_pd(a, b, c);
}
inline V msub(V a, V b, V c) {
  return _mm512_fmsub_pd(a, b, c);
}
inline V nmadd(V a, V b, V c) { // c − a·b
  return _mm512_fnmadd_pd(a, b, c);
}
// By Newton's method from a guess of 14 bits: the processor's own division, eight times one after the other,
// keeps the square roots waiting. Right to a bit of the last place; b = 0, an infinite or a denormal one
// gives no number, and so does what is too large for one.
inline V div(V a, V b) {
  const V guess = _mm512_rcp14_pd(b), off = nmadd(b, guess, set(1));
  const V better = madd(guess, madd(off, off, off), guess); // 42 bits
  const V q = mul(a, better), rest = nmadd(b, q, a);
  return madd(rest, better, q);
}
inline V magnitude(V a) {
  return _mm512_abs_pd(a);
}
inline V root(V a) {
  return _mm512_sqrt_pd(a);
}
inline M less(V a, V b) {
  return _mm512_cmp_pd_mask(a, b, _CMP_LT_OQ);
}
inline M negative(V a) {
  return less(a, set(0));
}
inline bool all_positive(V a) {
  return less(set(0), a) == 255;
}
inline V select(M m, V yes, V no) {
  return _mm512_mask_blend_pd(m, no, yes);
}

// Of positive numbers a = mantissa·2^exponent, the first from 1 to below 2.
inline V exponent(V a) {
  return _mm512_getexp_pd(a);
}
inline V mantissa(V a) {
  return _mm512_getmant_pd(a, _MM_MANT_NORM_1_2, _MM_MANT_SIGN_zero);
}
inline V shifted(V before, V here) { // the last of one, then all but the last of the other
  return _mm512_castsi512_pd(_mm512_alignr_epi64(_mm512_castpd_si512(here), _mm512_castpd_si512(before), 7));
}
} // namespace
