// The plate of a thing whose look was learnt: its outline without shadow, label and badge.
//
// It is the closed line, from a circle to a rectangle, that best separates what is steady inside from what
// changes or looks different outside. A shadow has no sharp line, a label and a badge do not close.
#pragma once

#include "capture/video/model.hpp"

namespace paneproof::video {

struct Plate {
  double x = 0, y = 0;           // its centre from the model's centre, px
  double width = 0, height = 0;  // 0: not found
  double corner = 0;             // radius over the shorter side
  double sure = 0;               // 0 to about 1.3: how well the line separates
  double proved = 0;             // share of the line outside which the surroundings changed
};

// thoroughly: for the last word; some 10 ms more.
Plate find_plate(const Model& model, bool thoroughly);

// Is it of a size and shape that things on a home screen have, or a row of a list, in a picture this wide?
bool plausible(const Plate& plate, double width);
bool is_row(const Plate& plate, double width);

// Neither surely seen nor proved by what changed about it: what is followed may be anything, a shadow or
// parts of two things, and where its middle is is not known.
bool unsure(const Plate& plate);

// Is the plate as it was seen lying before the lift better than the one learnt since? Where little changed
// about it its shadow was as steady as itself, and before the lift it had none. A little off it may be by
// that shadow; far off is another line, as round two slots side by side.
bool tells_better(const Plate& lying, const Plate& learnt);

}  // namespace paneproof::video
