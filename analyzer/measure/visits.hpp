// Visits to a side of the panel: how near contacts come to it before they turn away or end.
//
// A hand turns where it means to within a few mm; glass that does not feel the finger ends or turns all
// visits at one depth, whatever the hand did.
#pragma once

#include <cstddef>
#include <cstdint>
#include <vector>

#include "analyzer/measure/findings.hpp"
#include "analyzer/measure/side.hpp"
#include "capture/model/trace.hpp"

namespace paneproof {

struct Visit {
  Point place;            // the nearest report of the visit
  double depth_mm = 0, along_mm = 0;  // from the side, and along it
  bool stopped = false;   // the contact ended, or had begun, there in full motion
};

inline constexpr double alike_mm = 1.0;  // visits within this of each other come to an end at one depth

// All visits that come nearer to the side by 3 mm or more, by depth; of visits as deep, the earlier first.
std::vector<Visit> visits_to(const Trace& trace, const std::vector<std::uint8_t>& counts, Side side);

// ln of the chance that so many visits [first, last), which lie within alike_mm, come to an end there, of all
// whose depth is up to 4 mm more. 0 for fewer than five, or fewer than three that stopped in full motion.
double log_alike(const std::vector<Visit>& visits, std::size_t first, std::size_t last);

}  // namespace paneproof
