// Where something lay in a film and lies no more: between a time at which a thing lies in its slot and one at
// which it is gone the slot has changed, all of it, and nothing about it has. So the thing's own plate is
// seen whole, whatever a hand covers of it later.
#pragma once

#include <functional>
#include <opencv2/core.hpp>
#include <vector>

#include "capture/video/frames.hpp"
#include "capture/video/plate.hpp"

namespace paneproof::video {

// What lies still, whatever passes over it: of a few pictures at a time, in order, what most of them agree on
// at each px. Nothing of fewer than three pictures.
std::vector<Plane> still(const std::vector<const Plane*>& pictures);

// A place at which something changed, joined to no side of the picture, as a hand is.
struct Vacated {
  Plate plate;                    // x and y are px of the picture
  int pairs = 0;                  // of a look before and one after, that show it
  const Plane* before = nullptr;  // of those before, one in which it lies there
};

// The plates that have gone from what lay still before to what does after: closed lines within which it
// changed. `may_be` is asked of each place first, of which only a box about all that changed there is known.
std::vector<Vacated> vacated(const std::vector<Plane>& before, const std::vector<Plane>& after,
                             const std::function<bool(const Vacated&)>& may_be);

// What of a plate, and of what is about it, a hand covers that was not there before: from a
// thing on which its finger lies it goes on, to one side only. What only wiggles there does not go on.
struct Touched {
  double share = 0;      // of the plate
  double around = 0;     // of a ring about it
  double one_sided = 1;  // 1: only in one direction from it; 0: in all, or in two that face each other
};

// What came between two pictures, asked of many plates.
class Covers {
 public:
  Covers(const Plane& before, const Plane& now);
  Touched touched(const Plate& plate) const;

 private:
  cv::Mat labels_, parts_;  // of what changed
};

}  // namespace paneproof::video
