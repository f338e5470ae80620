// Where a dragged thing lay before it was taken up, in pictures of that time.
#pragma once

#include <optional>
#include <vector>

#include "capture/video/frames.hpp"
#include "capture/video/plate.hpp"

namespace paneproof::video {

// The plate that lies at (x, y), px of the picture, in pictures from before it was taken up: a closed line,
// told by the look alone, on which most of them agree; nothing when they do not.
std::optional<Plate> lying(const std::vector<const Plane*>& before, double x, double y);

// Does the plate look in one picture as in another, but for grain?
bool same_there(const Plane& a, const Plane& b, const Plate& plate);

// Does it look there now as in most of the pictures before, but for grain?
bool lies_as_before(const Plane& now, const std::vector<const Plane*>& before, const Plate& slot);

}  // namespace paneproof::video
