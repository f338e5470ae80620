// How well the glass was swept: speed against report rate, time in contact, and what is left to sweep
// as strokes to draw.
#pragma once

#include <vector>

#include "analyzer/measure/coverage.hpp"
#include "analyzer/measure/findings.hpp"

namespace paneproof {

// fastest_useful_mm_s: above it, steps at this report rate are wider than half a fingertip.
SweepQuality sweep_quality(const Trace& trace, const std::vector<std::uint8_t>& counts,
                           const ReportRate& rate, double fingertip_mm);

// One stroke for each run of unswept cells, along rows or columns, whichever needs fewer. Silent cells are
// no work left: a finger was there.
std::vector<StrokeLeft> strokes_left(const Grid& grid, const Panel& panel);

}  // namespace paneproof
