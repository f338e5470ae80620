// What kind of fault a dead zone's shape tells of.
//
// edge_band: along 70 % of one side, not deeper than 16 mm, with no living strip outside it. line: from side
// to side (88 % of it; 75 % where it works now and then, as losses near its ends may be wanting), up to 30 mm
// wide as reports leap it: an electrode's pitch is 4 to 6 mm, up to 10, three may be dead together, and a
// leap is longer than the gap by up to two pitches. partial_line: not across, and longer than the line is
// wide; both are told without the 6 mm by which leaps lengthen the zone the way they ran. area: any other.
// Bench practice; no source.
#pragma once

#include <array>

#include "analyzer/measure/findings.hpp"
#include "analyzer/measure/side.hpp"
#include "capture/model/panel.hpp"

namespace paneproof {

inline constexpr double widest_line_mm = 30.0;

struct Box {
  double x0 = 0, y0 = 0, x1 = 0, y1 = 0;
  double width() const { return x1 - x0; }
  double height() const { return y1 - y0; }
};

using Sides = std::array<bool, 4>;  // by Side

// Sets the zone's kind and which way it runs, given whether it is intermittent. living: sides along which
// reports lie outside the zone. leaps: the way most fingers crossed it; where that is not known, the narrow
// one.
void tell_kind(DeadZone& zone, const Box& box, const Panel& panel, const Sides& living = {},
               Along leaps = Along::none);

}  // namespace paneproof
