// The cells of the grid, each state in its colour and with its own mark, and the places that nobody
// can test: the rim, the mask and the glass corners.
//   proven: plain.  silent: crosses.  intermittent: diagonals.  unswept: dots.  masked: level lines.
#pragma once

#include "analyzer/measure/findings.hpp"
#include "analyzer/report/sketch.hpp"
#include "capture/model/panel.hpp"

namespace paneproof {

void draw_cells(Sketch& sketch, const Grid& grid, double width_mm, double height_mm, const PanelScale& scale);
void draw_mask(Sketch& sketch, const Panel& panel, double width_mm, double height_mm,
               const PanelScale& scale);

// The sample of a state for the legend, in its colour with its mark.
void draw_swatch(Sketch& sketch, CellState state, const Rectangle& place);
void draw_masked_swatch(Sketch& sketch, const Rectangle& place);

// "cell-proven", ...: the role of a state's cells in the picture.
const char* cell_role(CellState state);

}  // namespace paneproof
