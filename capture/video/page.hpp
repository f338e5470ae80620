// A page that scrolls or turns, against a thing that is dragged: about the one all else that has a drawing
// goes the same way, about the other it stays or goes otherwise.
#pragma once

#include "capture/video/model.hpp"

namespace paneproof::video {

// Between two pictures a thing went by (dx, dy) px; `own` is where it is in the later one. Does much of what
// lies about it, over more than half of the picture both ways or of its width and a third of its height, go
// along?
bool goes_with_page(const Plane& earlier, const Plane& later, double dx, double dy, const Box& own);

}  // namespace paneproof::video
