// What was found, drawn over the panel: dead zones, dropouts, ghosts, jumps, doubts, the largest
// untested circle and the strokes that are left to draw. Faults are in the colour of faults, what is
// still to ask in another; each has its own form as well.
#pragma once

#include <cstddef>
#include <string>

#include "analyzer/measure/findings.hpp"
#include "analyzer/report/labels.hpp"
#include "analyzer/report/sketch.hpp"

namespace paneproof {

// More marks of one kind than this are not drawn; the legend says so.
inline constexpr std::size_t most_marks = 2000;

// "A", "B", ... "Z", "AA", ...: how the picture and its list call the zone at this index.
std::string zone_letter(std::size_t index);

void draw_fault_marks(Sketch& sketch, const Findings& findings, const PanelScale& scale);

// One sample of each mark for the legend, centred in `place`.
void draw_zone_sample(Sketch& sketch, const Rectangle& place);
void draw_dropout_sample(Sketch& sketch, const Rectangle& place);
void draw_ghost_sample(Sketch& sketch, const Rectangle& place);
void draw_jump_sample(Sketch& sketch, const Rectangle& place);
void draw_doubt_sample(Sketch& sketch, const Rectangle& place);
void draw_untested_sample(Sketch& sketch, const Rectangle& place);
void draw_stroke_sample(Sketch& sketch, const Rectangle& place);

}  // namespace paneproof
