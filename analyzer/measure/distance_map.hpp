// How far each pixel of a raster is from the nearest marked one: the exact Euclidean distance transform.
//
// Source: A. Meijster, J. Roerdink, W. Hesselink, "A general algorithm for computing distance transforms in
// linear time" (2000): down each column first, then along each row the lower envelope of the parabolas.
// Own code rather than an image library's: loading one costs as much time as the whole check of a sweep.
#pragma once

#include <cstddef>
#include <cstdint>
#include <vector>

namespace paneproof {

// Distance in pixels, centre to centre, for `height` rows of `width` pixels; marked where `marks` is not 0.
// Exact up to the rounding of the square root to float. 1e9 everywhere when nothing is marked.
std::vector<float> distance_map(const std::vector<std::uint8_t>& marks, int width, int height);

}  // namespace paneproof
