// Where something lay in a film and lies no more: between a picture in which a thing lies in its slot and one
// in which it is gone the slot has changed, all of it, and nothing about it has. So the thing's own plate is
// seen whole, whatever a hand covers of it later.
#pragma once

#include <vector>

#include "capture/video/frames.hpp"
#include "capture/video/plate.hpp"

namespace paneproof::video {

struct Vacated {
  Plate plate;                    // x and y are px of the picture; sure: share of it that changed
  int pairs = 0;                  // of pictures that show it
  const Plane* before = nullptr;  // one in which something lies there and no hand does
};

// All places of a plate's size and shape that changed from the pictures before to those after; what changed
// and reaches the picture's side is a hand. Those that most pairs of pictures show come first.
std::vector<Vacated> vacated(const std::vector<const Plane*>& before, const std::vector<const Plane*>& after);

// What of a plate, and of what is about it, a hand covers that was not there before: from a
// thing on which its finger lies it goes on, to one side only. What only wiggles there does not go on.
struct Touched {
  double share = 0;      // of the plate
  double around = 0;     // of a ring about it
  double one_sided = 1;  // 1: only in one direction from it; 0: in all, or in two that face each other
};
Touched touched(const Plane& before, const Plane& now, const Plate& plate);

}  // namespace paneproof::video
