// What shows of a filmed thing beside the finger that holds it. A hand that has lost the thing goes on, and
// is followed on; but what showed beside its finger is gone from there.
#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "capture/video/frames.hpp"
#include "capture/video/plate.hpp"

namespace paneproof::video {

struct Sample;

class BesideFinger {
 public:
  BesideFinger() = default;
  // As it lay, and in the same place with the finger on it: what is alike in both shows.
  BesideFinger(const Plane& lay, const Plane& taken, const Plate& slot);
  double shows() const { return shows_; }  // share of the plate
  // How much that differs with the plate's middle at (x, y), of its contrast: bare ground by 1 or so. -1: it
  // does not lie in the picture, or has no drawing.
  double misfit(const Plane& plane, double x, double y) const;

 private:
  struct Place {
    float x, y, level;  // px from the middle
  };
  std::vector<Place> places_;
  double shows_ = 0, contrast_ = 0;
};

// The last sample, from `from` on, in which it showed beside the finger, when it is gone from there in all
// that follow; nothing when it shows to the end, or fades.
std::optional<std::size_t> gone_after(const std::vector<Sample>& samples, std::size_t from);

}  // namespace paneproof::video
