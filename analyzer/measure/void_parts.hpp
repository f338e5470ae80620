// Parts of the places that hold no report, each to be judged by itself.
//
// A hand often stops short of a side all along it. Where such a margin meets a dead line both are one void,
// but what speaks for the line's death says nothing of the margin; and a margin all around the panel is so
// long that small signs add up along it. So a margin is parted from the rest, and those of several sides from
// each other. A place is in the margin of a side where nothing between the two is covered (a report within
// half a fingertip) and it is longer that way: what is covered on its two hands, along the side, is further
// apart than what lies ahead is deep, and than 18 mm (three dead lines).
#pragma once

#include <cstdint>
#include <vector>

#include "analyzer/measure/raster.hpp"
#include "analyzer/measure/regions.hpp"

namespace paneproof {

// Per pixel the side in whose margin it is, the nearest of several: 1 top, 2 bottom, 3 left, 4 right; 0 for
// none. covered: per pixel of the raster.
std::vector<std::uint8_t> margins(const Raster& raster, const std::vector<std::uint8_t>& covered);

// The same regions, but those in parts that reach 16 mm into the panel and 8 mm beyond the margins, or that
// lie along three sides or all. What lies along one side, or about one corner, stays whole.
Regions parts_of(const Regions& whole, const std::vector<std::uint8_t>& margin, const Raster& raster);

}  // namespace paneproof
