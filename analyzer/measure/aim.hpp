// Aim: do touches land where the finger is? From touches at marks of known place, after the sweep.
//
// Each axis is fitted apart by least squares, touch = offset + scale x mark about the marks' middle. Axes are
// swapped when the touches' x follows the marks' y better than their x; mirrored when the scale is negative.
// A hand misses a mark by a few mm itself, so an offset under about 3 mm tells nothing (common practice, no
// source).
#pragma once

#include <vector>

#include "analyzer/measure/findings.hpp"

namespace paneproof {

struct AimTouch {
  Point mark, touch;
};

struct Aim {
  double offset_x_mm = 0, offset_y_mm = 0;  // at the marks' middle
  double scale_x = 1, scale_y = 1;          // touch way over mark way
  bool mirrored_x = false, mirrored_y = false, swapped = false;
  double largest_miss_mm = 0;
};

// At least two marks that differ in x and in y; with fewer everything is as if the aim were true.
Aim aim_of(const std::vector<AimTouch>& touches);

}  // namespace paneproof
