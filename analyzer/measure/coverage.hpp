// Coverage: what each point of the panel has been shown to be, and the cells made of these points.
//
// A point is proven when a report lies within d/2 and no passage over it was silent. It is silent when
// a passage that repeats counts as a fault ran over it (within d/2 of the unreported way) and that way
// lies nearer than any report. It is intermittent when such a passage ran over it and a fair share of
// the other passages there were reported. Else it is unswept. A cell has the state that most of its
// judged area has; of equal shares the worse.
#pragma once

#include <cstdint>
#include <vector>

#include "analyzer/measure/edges.hpp"
#include "analyzer/measure/findings.hpp"
#include "analyzer/measure/repeats.hpp"
#include "analyzer/measure/report_field.hpp"
#include "analyzer/measure/voids.hpp"

namespace paneproof {

inline constexpr std::uint8_t not_judged = 255;

// Per pixel of the field's raster: a CellState, or not_judged.
std::vector<std::uint8_t> pixel_states(const ReportField& field, const std::vector<std::uint8_t>& judged,
                                       const std::vector<Silence>& silences,
                                       const std::vector<Repeat>& repeats, const std::vector<EdgeBand>& bands,
                                       const Voids& voids, const Panel& panel, double fingertip_mm);

// Square cells of cell_mm from the top left.
Grid cells_of(const std::vector<std::uint8_t>& states, const Raster& raster, const Panel& panel,
              double cell_mm);

// Shares of the judged area. The largest untested circle is left to guarantee.hpp.
Coverage shares_of(const std::vector<std::uint8_t>& states, const Raster& raster, const Panel& panel);

}  // namespace paneproof
