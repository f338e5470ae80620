// Dead zones: connected silent and intermittent points; pieces along one line of electrodes are one zone, and
// lines that cross are two. What kind of fault they tell of: zone_kind.hpp.
#pragma once

#include <vector>

#include "analyzer/measure/coverage.hpp"
#include "analyzer/measure/findings.hpp"
#include "analyzer/measure/voids.hpp"

namespace paneproof {

std::vector<DeadZone> dead_zones(const std::vector<std::uint8_t>& states, const ReportField& field,
                                 const Panel& panel, const std::vector<Silence>& silences,
                                 const std::vector<Repeat>& repeats, const std::vector<EdgeBand>& bands,
                                 const Voids& voids);

// Unswept regions that hold a circle wider than d, for an operator who states that the finger went
// everywhere (--swept-all). Their cells stay unswept.
std::vector<DeadZone> attested_zones(const std::vector<std::uint8_t>& states, const ReportField& field,
                                     const Panel& panel, double fingertip_mm);

}  // namespace paneproof
