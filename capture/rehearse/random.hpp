// Random numbers that are the same on every machine and compiler: SplitMix64 (Steele, Lea and Flood
// 2014; constants from memory) with transforms of our own, since the standard's distributions are
// not portable. One stream a purpose, so that a change in one part leaves the others as they were.
#pragma once

#include <cmath>
#include <cstdint>

#include "capture/rehearse/portable_math.hpp"

namespace paneproof {

class Random {
 public:
  // The seed is scrambled: SplitMix64 started at neighbouring multiples of its step would give one
  // sequence, shifted.
  explicit Random(std::uint64_t seed, std::uint64_t stream = 0)
      : state_(scramble(scramble(seed + 0x632be59bd9b4e019ull) + stream * 0xd1b54a32d192ed03ull)) {}

  std::uint64_t next() {
    state_ += 0x9e3779b97f4a7c15ull;
    return scramble(state_);
  }
  // In [0, 1).
  double uniform() { return static_cast<double>(next() >> 11) * 0x1p-53; }
  double uniform(double low, double high) { return low + (high - low) * uniform(); }
  // Evenly in the logarithm; low > 0.
  double log_uniform(double low, double high) {
    return low * portable::exp(uniform() * portable::log(high / low));
  }
  // In 0..count-1; count > 0.
  int below(int count) { return static_cast<int>(uniform() * count); }
  int between(int low, int high) { return low + below(high - low + 1); }
  bool chance(double p) { return uniform() < p; }
  // Standard normal (polar method).
  double normal() {
    if (spare_held_) {
      spare_held_ = false;
      return spare_;
    }
    for (;;) {
      const double u = 2 * uniform() - 1, v = 2 * uniform() - 1, s = u * u + v * v;
      if (s >= 1 || s == 0) continue;
      const double scale = std::sqrt(-2 * portable::log(s) / s);
      spare_ = v * scale;
      spare_held_ = true;
      return u * scale;
    }
  }
  // Waiting time of a Poisson process; rate > 0.
  double exponential(double rate) { return -portable::log(1 - uniform()) / rate; }

 private:
  static std::uint64_t scramble(std::uint64_t z) {
    z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9ull;
    z = (z ^ (z >> 27)) * 0x94d049bb133111ebull;
    return z ^ (z >> 31);
  }
  std::uint64_t state_;
  double spare_ = 0;
  bool spare_held_ = false;
};

}  // namespace paneproof
