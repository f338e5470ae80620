// Plates that lie on plain ground, from one picture: what is unlike the ground, closed round and as large as
// a thing that is dragged. Where no one luma is the ground of the picture there are none.
#pragma once

#include <vector>

#include "capture/video/plate.hpp"

namespace paneproof::video {

struct OnGround {
  Box box;      // all that is unlike the ground, its shadow too
  Plate plate;  // x and y are px of the picture
};

std::vector<OnGround> on_ground(const Plane& plane);

}  // namespace paneproof::video
