// Length of a vector, by the correctly rounded square root: equal on every machine (a library's hypot
// need not be) and several times as fast.
#pragma once

#include <cmath>

namespace paneproof {

inline double length(double dx, double dy) { return std::sqrt(dx * dx + dy * dy); }

}  // namespace paneproof
