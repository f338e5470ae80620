// Four numbers at once: the same result, in the same order, on any machine.
#pragma once

#include <cmath>
#include <cstdint>
#ifdef __SSE__
#include <xmmintrin.h>
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
#ifdef __SSE__
  return _mm_sqrt_ps(f);
#else
  return Four{std::sqrt(f[0]), std::sqrt(f[1]), std::sqrt(f[2]), std::sqrt(f[3])};
#endif
}
inline float sum(Four f) { return (f[0] + f[1]) + (f[2] + f[3]); }

// Two pixels side by side, the left one in the lower eight bits.
inline std::int32_t pair(const std::uint8_t* p) { return p[0] | p[1] << 8; }

// Of a picture between its pixel centres, as sample() is; all places inside, as it asks.
inline Four sample(const Plane& plane, Four x, Four y) {
  x -= 0.5F, y -= 0.5F;
  const FourInts i = __builtin_convertvector(x, FourInts), j = __builtin_convertvector(y, FourInts);
  const Four a = x - __builtin_convertvector(i, Four), b = y - __builtin_convertvector(j, Four);
  const FourInts at = j * plane.width + i;
  const std::uint8_t *p = plane.luma.data(), *q = p + plane.width;
  const FourInts upper{pair(p + at[0]), pair(p + at[1]), pair(p + at[2]), pair(p + at[3])},
      lower{pair(q + at[0]), pair(q + at[1]), pair(q + at[2]), pair(q + at[3])};
  const auto between = [&](FourInts two) {
    const FourInts left = two & 255, right = two >> 8;
    return __builtin_convertvector(left, Four) + a * __builtin_convertvector(right - left, Four);
  };
  const Four top = between(upper), low = between(lower);
  return top + b * (low - top);
}

}  // namespace paneproof::video
