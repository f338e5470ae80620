// Length of a vector, by the correctly rounded square root: equal on every machine (a library's hypot
// need not be) and several times as fast.
#pragma once

#include <cmath>

namespace paneproof {

inline double length(double dx, double dy) { return std::sqrt(dx * dx + dy * dy); }

// Up to the next of so many parts of a mm: for a length that must not be understated.
inline double rounded_up(double mm, int parts) { return std::ceil(mm * parts - 1e-6) / parts; }

}  // namespace paneproof
