// Four numbers at once: the same result, in the same order, on any machine.
#pragma once

#include <cmath>
#include <cstdint>
#include <cstring>
#ifdef __SSE2__
#include <emmintrin.h>
#endif

#include "capture/video/frames.hpp"

namespace paneproof::video {

using Four = float __attribute__((vector_size(16)));
using FourInts = std::int32_t __attribute__((vector_size(16)));  // -1 where a comparison holds

constexpr Four in_order{0, 1, 2, 3};

inline Four four(float f) { return Four{f, f, f, f}; }
inline Four four(const std::uint8_t* p) {
  return Four{static_cast<float>(p[0]), static_cast<float>(p[1]), static_cast<float>(p[2]),
              static_cast<float>(p[3])};
}
inline Four absolute(Four f) { return f < 0 ? -f : f; }
inline Four lesser(Four a, Four b) { return a < b ? a : b; }
inline Four root(Four f) {
#ifdef __SSE2__
  return _mm_sqrt_ps(f);
#else
  return Four{std::sqrt(f[0]), std::sqrt(f[1]), std::sqrt(f[2]), std::sqrt(f[3])};
#endif
}
// Bit k: whether the comparison of the kth holds.
inline int which(FourInts compared) {
#ifdef __SSE2__
  return _mm_movemask_ps(reinterpret_cast<__m128>(compared));
#else
  return (compared[0] & 1) | (compared[1] & 2) | (compared[2] & 4) | (compared[3] & 8);
#endif
}
inline float sum(Four f) { return (f[0] + f[1]) + (f[2] + f[3]); }

// Four times two pixels side by side, the left one in the lower eight bits.
inline FourInts pairs(const std::uint8_t* p, FourInts at) {
#ifdef __SSE2__
  const auto two = [&](int k) {
    std::uint16_t both;
    std::memcpy(&both, p + at[k], sizeof both);
    return both;
  };
  __m128i all = _mm_cvtsi32_si128(two(0));
  all = _mm_insert_epi16(all, two(1), 2), all = _mm_insert_epi16(all, two(2), 4);
  return reinterpret_cast<FourInts>(_mm_insert_epi16(all, two(3), 6));
#else
  const auto two = [&](int k) -> std::int32_t { return p[at[k]] | p[at[k] + 1] << 8; };
  return FourInts{two(0), two(1), two(2), two(3)};
#endif
}

// Of a picture between its pixel centres, as sample() is; all places inside, as it asks, and less than 2^24
// pixels.
inline Four sample(const Plane& plane, Four x, Four y) {
  x -= 0.5F, y -= 0.5F;
  const Four i = __builtin_convertvector(__builtin_convertvector(x, FourInts), Four),
             j = __builtin_convertvector(__builtin_convertvector(y, FourInts), Four), a = x - i, b = y - j;
  const FourInts at = __builtin_convertvector(j * static_cast<float>(plane.width) + i, FourInts);
  const std::uint8_t* p = plane.luma.data();
  const FourInts upper = pairs(p, at), lower = pairs(p + plane.width, at);
  const auto between = [&](FourInts two) {
    const FourInts left = two & 255, right = two >> 8;
    return __builtin_convertvector(left, Four) + a * __builtin_convertvector(right - left, Four);
  };
  const Four top = between(upper), low = between(lower);
  return top + b * (low - top);
}

}  // namespace paneproof::video
