// Shifts beside voids: how far off their own way fingers are told that run past a void (bends), or that end
// or begin beside it (veers), away from its middle.
#pragma once

#include <cstdint>
#include <vector>

#include "analyzer/measure/raster.hpp"
#include "analyzer/measure/regions.hpp"
#include "analyzer/measure/void_evidence.hpp"
#include "capture/model/trace.hpp"

namespace paneproof {

// Fills shifts_mm of those voids that fingers crossed or came to twice. beside: per pixel of the raster, the
// label of the void that is near, 0 for none; found: by label. counts: per contact, 0 for those that are no
// finger of the sweep.
void measure_shifts(const Trace& trace, const std::vector<std::uint8_t>& counts, const Raster& raster,
                    const std::vector<std::int32_t>& beside, const Regions& regions,
                    std::vector<Void>& found);

}  // namespace paneproof
