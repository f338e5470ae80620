// Connected regions of a raster, after hairlines between them are closed.
//
// Closing is the dilation with a square and then the erosion with the same square; regions are joined over
// edges and corners (8-connected). Own code rather than an image library's: see distance_map.hpp.
#pragma once

#include <cstdint>
#include <vector>

namespace paneproof {

struct Region {
  int left = 0, top = 0, right = 0, bottom = 0;  // pixels, right and bottom one past the last
  int pixels = 0;
};

struct Regions {
  std::vector<std::int32_t> labels;  // per pixel: index into found; 0 outside every region
  std::vector<Region> found;         // found[0] stands for "outside" and is empty
};

// Regions of the pixels of `mask` that are not 0, `height` rows of `width`; gaps of up to 2 `reach` pixels
// between them are closed first. Labels are numbered in the order in which a row-by-row scan meets them.
Regions regions_of(const std::vector<std::uint8_t>& mask, int width, int height, int reach);

}  // namespace paneproof
