// Bends: how far a passage swerves beside a place, against its own straight way before and after.
//
// The way is the line from 6 mm before the stretch beside the place to 6 mm after it; a passage is told only
// where it ran along that line further out as well: a turn or an arc beside the place says nothing.
// Veers: the same for a contact that ends (or begins) beside the place, against the parabola through the 20
// mm of its way before (after) the stretch (own_way.hpp).
#pragma once

#include <cstdint>
#include <optional>

#include "analyzer/measure/findings.hpp"
#include "capture/model/trace.hpp"

namespace paneproof {

// The largest shift in mm of the reports [first, last] of contact `c` away from `place` (negative: towards
// it), at most 4 mm either way; nullopt where the way before or after cannot tell.
std::optional<double> bend_mm(const Trace& trace, std::uint32_t c, std::uint32_t first, std::uint32_t last,
                              Point place);

// How far off its own line, away from `place` (negative: towards it), contact `c` ends, or begins, mm; at
// most 4 mm either way. [first, last]: its reports beside the place, up to its end (from its beginning).
// nullopt where the way outside is shorter than 10 mm or bent sharply, or the end further than 20 mm from it.
std::optional<double> veer_mm(const Trace& trace, std::uint32_t c, std::uint32_t first, std::uint32_t last,
                              Point place);

}  // namespace paneproof
