// Edges: how near reports come to each side, and whether strokes stop short of one.
//
// Edge filters stop short by design, alike on opposite sides; a hand turns where it likes, here a little
// nearer to the side and there a little further off. Evidence for an insensitive edge band is that visits to
// a side (a contact that comes nearer by 3 mm or more, then turns away, ends or had begun there) come to an
// end at one depth, within 1 mm, deeper than at the opposite side; that hardly any come nearer; that far
// more lie at this depth than chance puts there of all that come within 4 mm of it (kind by kind, or of all
// ends and beginnings together where they agree to a fifth of a millimetre, as at a line of electrodes; where
// fingers turned alike out of sight, turnarounds.hpp, the chance of that counts with it); that some of them
// are contacts that ended, or began, in full motion; and that no finger that ran along the side was reported
// within the band for a quarter of its length.
#pragma once

#include <cstdint>
#include <vector>

#include "analyzer/measure/findings.hpp"
#include "analyzer/measure/side.hpp"
#include "capture/model/trace.hpp"

namespace paneproof {

struct EdgeBand {
  Side side = Side::left;
  double depth_mm = 0;            // how far from the side the reports begin
  double from_mm = 0, to_mm = 0;  // along the side
  int stops = 0;                  // visits that came to an end there
  std::vector<Point> places;      // where they did
};

struct Edges {
  EdgeDepth nearest;            // nearest counted report to each side, mm; 0 or less: on or past it
  std::vector<EdgeBand> bands;  // sides that stop short beyond doubt
};

// deeper_mm: how much deeper than the opposite side (and than the usual border cut) a band must be, or
// than the same side of a known-good panel where one is given (null: none).
Edges edges(const Trace& trace, const std::vector<std::uint8_t>& counts, double deeper_mm,
            const EdgeDepth* reference);

}  // namespace paneproof
