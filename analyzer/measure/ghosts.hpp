// Ghost touches: contacts that nobody made.
//
// A ghost is short and stays where it appears (at most 0.15 s within 3 mm, or 0.5 s within 1 mm), and is
// no finger of the sweep: either a finger is on the glass elsewhere at that moment, further than 20 mm off, and no other
// contact stands within 12 mm of the place in the 0.6 s around it (a fragment of a stroke, a second
// finger losing contact); or no hand could have come and gone that fast from the touches around it.
// A brief touch after which all fingers are gone within 0.25 s is a palm that the firmware noticed, and no
// ghost. Definition ours; common practice, no source.
#pragma once

#include <cstdint>
#include <vector>

#include "analyzer/measure/findings.hpp"
#include "capture/model/trace.hpp"

namespace paneproof {

struct Roles {
  std::vector<std::uint8_t> counts;  // per contact: 1 when it is a finger (or, pen_only, the pen) of the sweep
  std::vector<Ghost> ghosts;
  bool pen_only = false;             // no finger in the log, but a pen
  int palms = 0;
  int most_at_once = 0;              // most contacts down at one time, palms and ghosts left out
};

Roles contact_roles(const Trace& trace);

}  // namespace paneproof
