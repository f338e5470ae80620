// The outline of the glass, mm rulers along its top and left, and which way is up.
#pragma once

#include "analyzer/report/sketch.hpp"

namespace paneproof {

inline constexpr double ruler_room = 34;      // page units that the rulers take, above and to the left
inline constexpr double up_marker_room = 24;  // above the ruler

// A tick that is far enough from the next to be told apart: 1, 2, 5, 10, ... mm; at least `least`
// page units.
double tick_mm(double least, double units_per_mm);

void draw_rulers(Sketch& sketch, double width_mm, double height_mm, const PanelScale& scale);
void draw_outline(Sketch& sketch, double width_mm, double height_mm, double corner_radius_mm,
                  const PanelScale& scale);

}  // namespace paneproof
