// The plate of a thing whose look was learnt: its outline without shadow, label and badge.
//
// Each side is the outermost edge that is sharp and runs along most of the middle of that side. A shadow is
// not sharp, a label does not run through, a badge sits at a corner and not in the middle.
#pragma once

#include "capture/video/model.hpp"

namespace paneproof::video {

struct Plate {
  double x = 0, y = 0;           // its centre from the model's centre, px
  double width = 0, height = 0;  // 0: not found
};

Plate find_plate(const Model& model);

}  // namespace paneproof::video
