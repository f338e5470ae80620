// Straight ways and how far apart they are. Squared distances, in mm2: they are only compared.
#pragma once

#include "analyzer/measure/findings.hpp"

namespace paneproof {

struct Segment {
  Point a, b;
};

// Squared distance between the nearest points of two segments; 0 where they cross.
double squared_distance(const Segment& s, const Segment& t);
// Are the boxes about two segments further apart than `mm` in x or in y? Cheaper, and never wrong if true.
bool boxes_apart(const Segment& s, const Segment& t, double mm);

}  // namespace paneproof
