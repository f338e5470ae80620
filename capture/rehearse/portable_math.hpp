// exp, log, sin and cos out of additions and multiplications only. A rehearsal must give the same
// bytes on every machine; the C library's versions may differ in the last bit, and a last bit can
// decide whether a touch crosses a threshold. (Square root, floor and ldexp are exact by IEEE 754.)
#pragma once

#include <cmath>
#include <cstdint>

namespace paneproof::portable {

// Relative error below 1e-15 for -700 < x < 700.
inline double exp(double x) {
  const double n = std::floor(x * 1.4426950408889634 + 0.5);
  const double r = (x - n * 0.693147180369123816490) - n * 1.90821492927058770002e-10;
  double sum = 1;
  for (int k = 14; k >= 1; --k) sum = 1 + sum * r / k;
  return std::ldexp(sum, static_cast<int>(n));
}

// x > 0.
inline double log(double x) {
  int power = 0;
  double m = std::frexp(x, &power);
  if (m < 0.70710678118654752) {
    m *= 2;
    --power;
  }
  const double s = (m - 1) / (m + 1), s2 = s * s;
  double sum = 0;
  for (int k = 23; k >= 1; k -= 2) sum = sum * s2 + 1.0 / k;
  return 2 * s * sum + power * 0.69314718055994531;
}

struct Turn {
  double sin, cos;
};

// Sine and cosine of an angle in radians; |angle| < 1e6 (absolute error below 1e-9 there).
inline Turn turn(double angle) {
  const double n = std::floor(angle * 0.63661977236758134 + 0.5);
  const double r = (angle - n * 1.57079632673412561417) - n * 6.07710050650619224932e-11;
  const double r2 = r * r;
  double s = 1, c = 1;
  for (int k = 10; k >= 1; --k) {
    s = 1 - s * r2 / (2 * k * (2 * k + 1));
    c = 1 - c * r2 / (2 * k * (2 * k - 1));
  }
  s *= r;
  switch (static_cast<std::int64_t>(n) & 3) {
    case 0:
      return {s, c};
    case 1:
      return {c, -s};
    case 2:
      return {-s, -c};
    default:
      return {-c, s};
  }
}

inline double sin(double angle) { return turn(angle).sin; }
inline double cos(double angle) { return turn(angle).cos; }
inline double length(double x, double y) { return std::sqrt(x * x + y * y); }

}  // namespace paneproof::portable
