// Decisions are made on values rounded to the printed decimals, so that every machine decides alike.
#pragma once

#include <cmath>

namespace paneproof {

inline double rounded(double value, double steps) { return std::floor(value * steps + 0.5) / steps; }
inline double round_mm(double mm) { return rounded(mm, 1e3); }  // micrometres
inline double round_s(double s) { return rounded(s, 1e6); }     // microseconds
inline double round_share(double share) { return rounded(share, 1e4); }
inline double round_hz(double hz) { return rounded(hz, 1e1); }
// Upwards to 0.01 mm: a length that must never be understated.
inline double ceil_mm(double mm) { return std::ceil(mm * 100.0 - 1e-9) / 100.0; }

}  // namespace paneproof
