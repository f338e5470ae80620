// What lies on plain ground, in a recording of few pictures a second (see lying.cpp and left.cpp).
#pragma once

#include "capture/video/plate.hpp"

namespace paneproof::video {

constexpr int lay_for = 2, looked_for = 3;  // pictures
constexpr double stays_px = 2.5;            // a thing that wiggles about its place

// Is a plate larger, or smaller, both ways than that by what tells a lift?
bool other_size(const Plate& plate, double width, double height);

}  // namespace paneproof::video
