// The slot that a dragged thing left: between a picture in which the thing lies there and one in which it is
// gone the slot has changed, and nothing about it has. So the thing's own plate is seen whole, whatever a
// hand covers of it later.
#pragma once

#include <optional>
#include <vector>

#include "capture/video/frames.hpp"
#include "capture/video/plate.hpp"

namespace paneproof::video {

// Of all pairs the one that shows least change, of a plate's size and shape and at most `reach` px from (x,
// y). The plate's x and y are px of the picture; nothing when no pair shows one.
std::optional<Plate> left_slot(const std::vector<const Plane*>& before,
                               const std::vector<const Plane*>& after, double x, double y, double reach);

// Does it look there now as in most of the pictures before, but for grain?
bool lies_as_before(const Plane& now, const std::vector<const Plane*>& before, const Plate& slot);

}  // namespace paneproof::video
