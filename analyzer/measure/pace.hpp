// Pace: how fast and which way a finger came to a report, or went from it.
//
// Measured over a stretch of its way, not of time: from 14 mm to 4 mm before the report (after it). Near a
// dead place reports slow down, stop and bend, because they are pulled to the living electrodes (pitch 4
// to 6 mm), and a landing is held and then leaps 2 to 6 mm: the 4 mm next to the report tell of these
// and not of the finger.
#pragma once

#include <cstdint>
#include <optional>

#include "capture/model/trace.hpp"

namespace paneproof {

struct Pace {
  double speed_mm_s = 0;
  double direction_x = 0, direction_y = 0;  // unit vector, over the whole stretch
  double turn_rad_s = 0;                    // how fast the way turned over the stretch, from x towards y
  double since_s = 0;                       // from the stretch's middle to the report
  bool whole = true;  // false: the contact was too short for the whole stretch, it may just turn there
};

// Over the same contact's reports up to `report`. Where the contact is shorter than the stretch, over
// what there is; nullopt when that is less than 1.5 mm long or a single step.
std::optional<Pace> pace_before(const Trace& trace, std::uint32_t report);
// The same from `report` on.
std::optional<Pace> pace_after(const Trace& trace, std::uint32_t report);

// Of a finger between two reports: the mean of its paces on both sides, or the one that is known. One must
// be.
double pace_between_mm_s(const std::optional<Pace>& before, const std::optional<Pace>& after);

}  // namespace paneproof
