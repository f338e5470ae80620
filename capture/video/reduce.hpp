// From a decoded picture to a small plane of luma: the mean of each square of `shrink` x `shrink` pixels.
// A mean, not a pick: edges keep their place to a fraction of a pixel.
#pragma once

#include "capture/video/frames.hpp"

struct AVFrame;

namespace paneproof::video {

// False when the pixel format has no plane of luma and is no palette or packed RGB that is read here.
// The last rows and columns that fill no square are left out.
bool reduce(const AVFrame& frame, int shrink, Plane& out);

// `count` means of squares of 2 x 2, from two rows.
void halve_rows(const std::uint8_t* upper, const std::uint8_t* lower, std::uint8_t* out, int count);

// Turned clockwise by 90, 180 or 270 degrees.
void turn(const Plane& in, int degrees, Plane& out);

}  // namespace paneproof::video
