// Is the panel's size a slip of the pen? The ranges of a log's axes have a shape too.
#pragma once

#include "capture/model/panel.hpp"

namespace paneproof {

// Notes a size that is far from what the log tells, as 68 x 242 mm is where it tells 68 x 142: a side from
// its units/mm, else the shape from that of its axes. No more than a note: drivers give wrong units/mm, and a
// controller may count more units a mm along one side than along the other. Silent where the axes tell no
// shape: both ranges alike, or each a round number of its own (4095, 32767); and for a size by its diagonal,
// which takes the axes' shape.
void note_doubtful_size(const Axes& axes, const PanelRequest& request, Notes& notes);

}  // namespace paneproof
