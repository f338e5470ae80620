// Turnarounds out of sight: fingers that vanish heading for a side and come back heading away from it.
//
// Where glass feels nothing up to its border, a finger goes on at its pace, turns and comes back. Pace and
// time tell how far it went, and stroke after stroke it turned at about the same place, at the border or off
// it; it vanished within a step of its reports from the same depth. A hand that lifts short of a side stays
// away as long as it likes: the places at which it would have turned lie all over.
#pragma once

#include <cstdint>
#include <vector>

#include "analyzer/measure/findings.hpp"
#include "analyzer/measure/side.hpp"
#include "capture/model/trace.hpp"

namespace paneproof {

struct Turnaround {
  Point from;            // where it was last seen
  double depth_mm = 0;   // of `from`, from the side
  double step_mm = 0;    // between reports, at its pace
  double turned_mm = 0;  // depth at which it turned; less than 0: off the glass
};

// By depth, at most a thousand. counts: per contact, 0 for those that are no finger of the sweep.
std::vector<Turnaround> turnarounds_at(const Trace& trace, const std::vector<std::uint8_t>& counts,
                                       Side side);

// Those that turned at one place, the border or beyond, and vanished at one depth.
struct TurnedAlike {
  std::vector<Turnaround> turnarounds;  // by depth
  double log_chance = 0;                // ln of the chance that hands alone do this; 0 for fewer than five
};
TurnedAlike turned_alike(const std::vector<Turnaround>& turnarounds);

}  // namespace paneproof
