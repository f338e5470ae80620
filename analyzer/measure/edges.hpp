// Edges: how near reports come to each side, and whether strokes stop short of one.
//
// Edge filters stop short by design, alike on opposite sides; a hand turns where it likes, slowing down
// as it does. Evidence for an insensitive edge band is that strokes running towards a side end there
// while still moving, all at the same depth, deeper than at the opposite side, and that no report lies
// nearer to that side along the stretch. The same holds for strokes that begin there.
#pragma once

#include <cstdint>
#include <vector>

#include "analyzer/measure/findings.hpp"
#include "capture/model/trace.hpp"

namespace paneproof {

enum class Side : std::uint8_t { left, right, top, bottom };

struct EdgeBand {
  Side side = Side::left;
  double depth_mm = 0;             // how far from the side the reports begin
  double from_mm = 0, to_mm = 0;   // along the side
  int stops = 0;                   // strokes that ended or began there
  std::vector<Point> places;       // where they did
};

struct Edges {
  EdgeDepth nearest;            // nearest counted report to each side, mm; 0 or less: on or past it
  std::vector<EdgeBand> bands;  // sides that stop short beyond doubt
};

// deeper_mm: how much deeper than the opposite side (and than the usual border cut) a band must be, or
// than the same side of a known-good panel where one is given (null: none).
Edges edges(const Trace& trace, const std::vector<std::uint8_t>& counts, double deeper_mm, const EdgeDepth* reference);

}  // namespace paneproof
