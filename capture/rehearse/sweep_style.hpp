// The bare geometry of each style of sweep, before wander, lifts and omissions.
#pragma once

#include <vector>

#include "capture/rehearse/sweep_path.hpp"

namespace paneproof {

using Way = std::vector<Vec>;  // a polyline in mm

// The ways of the first finger, in order; a new way starts with the finger lifted. For two fingers,
// `second` is where the second finger is, seen from the first.
std::vector<Way> style_ways(const HandSpec& hand, double width_mm, double height_mm, Random& random,
                            Vec& second);

// Once round the panel, `inset` from the border, from a corner by chance.
Way border_way(double width_mm, double height_mm, double inset_mm, Random& random);

}  // namespace paneproof
