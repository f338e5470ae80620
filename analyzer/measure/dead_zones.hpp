// Dead zones: connected silent and intermittent points, and what kind of fault their shape tells of.
//
// edge_band: along one side, not deeper than 16 mm. line: rows or columns of electrodes from side to side
// (70 % of it), up to 30 mm wide as reports leap them: an electrode's pitch is 4 to 6 mm, up to 10, three
// may be dead together, and a leap is longer than the gap by up to two pitches. partial_line: up to 20 mm
// wide and at least twice as long, but not across. area: any other. Bench practice; no source.
#pragma once

#include <vector>

#include "analyzer/measure/coverage.hpp"
#include "analyzer/measure/findings.hpp"
#include "analyzer/measure/voids.hpp"

namespace paneproof {

std::vector<DeadZone> dead_zones(const std::vector<std::uint8_t>& states, const ReportField& field, const Panel& panel,
                                 const std::vector<Silence>& silences, const std::vector<Repeat>& repeats,
                                 const std::vector<EdgeBand>& bands, const Voids& voids);

// Unswept regions that hold a circle wider than d, for an operator who states that the finger went
// everywhere (--swept-all). Their cells stay unswept.
std::vector<DeadZone> attested_zones(const std::vector<std::uint8_t>& states, const ReportField& field, const Panel& panel,
                                     double fingertip_mm);

}  // namespace paneproof
