// Do a recording and a touch log of the same sweep tell the same? Their clocks differ by a constant; where
// the finger was on the dragged thing differs by another, within a grab.
//
// The time between the two is the one at which the places lie nearest to each other (median of the distances,
// each grab's own constant taken out). Two that were not made of one sweep agree at no time.
#pragma once

#include <cstddef>
#include <string>

#include "capture/model/trace.hpp"

namespace paneproof {

struct Agreement {
  bool agrees = false;
  double later_s = 0;        // log time minus recording time of the same moment
  double apart_mm = 0;       // median distance left over
  double drift_ms = 0;       // the time found from the first half and from the second half differ by this
  double shared = 0;         // share of the recording's places at which the log has a touch
  std::size_t compared = 0;  // places
};

// Both in mm of one panel. Fewer than 30 places in common: does not agree, compared says how many.
Agreement agreement_of(const Trace& recording, const Trace& log);

// One sentence.
std::string told(const Agreement& agreement);

}  // namespace paneproof
