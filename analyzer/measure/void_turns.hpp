// Turns beyond voids: a finger that vanished beside a void on its way to a side of the panel, and came back
// from there beside the same void. Did it turn on the glass, at the side, or was it lifted?
//
// A turn on a dead place takes as long as the way to the side and back takes at the finger's pace, and as
// much longer as the turns of this hand take that were seen. A hand that leaves the place out lifts and comes
// back in its own time, whatever the way to the side: in 0.33 s as the median of this model, 0.17 and 0.28 s
// of two others that are not kept here. Each turn is weighed by the ratio of the two densities, rounded from
// rehearsals; both allow for strays.
#pragma once

#include <cstdint>
#include <vector>

#include "analyzer/measure/raster.hpp"
#include "analyzer/measure/void_evidence.hpp"
#include "capture/model/trace.hpp"

namespace paneproof {

// What the hand's turns took beyond the way there and back at its pace, s; and how much that scatters.
struct UsualTurn {
  double beyond_s = 0.12, scatter_s = 0.035;
};
// From turns at the very side, within one contact and with a lift; the default where fewer than five are
// known. counts: per contact, 0 for those that are no finger of the sweep.
UsualTurn usual_turn(const Trace& trace, const std::vector<std::uint8_t>& counts);

// ln of the likelihood ratio of a turn, positive for a dead place; no one turn tells more than ln 5 either
// way. way_s: there and back at the finger's pace.
double log_turned(double way_s, double gap_s, const UsualTurn& usual);

// Fills log_turned of the voids. empty: per pixel of the raster, the label of the void about it, 0 for none;
// found: by label.
void measure_turns(const Trace& trace, const std::vector<std::uint8_t>& counts, const Raster& raster,
                   const std::vector<std::int32_t>& empty, std::vector<Void>& found);

}  // namespace paneproof
