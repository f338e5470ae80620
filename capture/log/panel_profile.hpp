// A panel profile: what is known of a model's glass, written once and used for each sweep.
//
//   # comment
//   width_mm = 68.4            height_mm = 142.0      size of the touch area, after turning
//   range_x = 1080             range_y = 2340         axis maxima, minimum 0
//   rotate_deg = 90            clockwise: 0, 90, 180 or 270
//   rim_mm = 1.5               corner_radius_mm = 6
//   mask = rectangle X Y WIDTH HEIGHT NAME            mm from the top left of the turned panel
//   mask = circle X Y DIAMETER NAME                   X Y: the centre
//
// One `name = value` a line, each once but mask, which may repeat. The name of a mask runs to the end of
// the line.
#pragma once

#include "capture/bytes/source.hpp"
#include "capture/model/panel.hpp"

namespace paneproof {

// Throws InputError (65) with the line and column of what is wrong. What the file does not say stays
// empty; size_origin is "profile NAME" when it says a size.
PanelRequest read_panel_profile(Source& source);

}  // namespace paneproof
