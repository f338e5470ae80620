// The panel to scale between its rulers, with its cells, the path and what was found: what the heatmap, the
// evidence page and the page on the device all show.
#pragma once

#include <string>

#include "analyzer/report/check_result.hpp"
#include "analyzer/report/picture.hpp"
#include "analyzer/report/sketch.hpp"

namespace paneproof {

// Lays it on `sketch`: the glass at the scale's place, the rulers above it and to its left.
void draw_panel(Sketch& sketch, const CheckResult& result, const PanelScale& scale);

// The panel alone, at most `width` by `height` page units and `largest_scale` of them a mm.
Picture panel_picture(const CheckResult& result, double width, double height, double largest_scale);

// For a small screen that shows verdict and steps as text already: the panel as wide as the screen, and what
// its cells and marks mean below it, in letters that can be read without zooming.
Picture pocket_picture(const CheckResult& result);
std::string pocket_svg(const CheckResult& result);

}  // namespace paneproof
