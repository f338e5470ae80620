// The way that the fingers took, as thin lines; taps as dots.
#pragma once

#include "analyzer/report/sketch.hpp"
#include "capture/model/trace.hpp"

namespace paneproof {

// Steps wider than `widest_step_mm` are not joined: nothing was reported between their ends.
// Drawing stays bounded whatever the trace holds: reports nearer than a page unit to the last one drawn
// are left out, and a place that has been drawn over a few times is not drawn again.
void draw_path(Sketch& sketch, const Trace& trace, double widest_step_mm, const PanelScale& scale);

}  // namespace paneproof
