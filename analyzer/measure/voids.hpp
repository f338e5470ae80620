// Voids: places that hold no report, and which of them are dead rather than not swept.
//
// A void is a connected part of the judged area further than d/2 from every report, its margins along the
// panel's sides apart (void_parts.hpp); no sweep with one can pass. A hand that did not go there leaves a
// neat hole behind. A dead place does not: fingers vanish on one side of it and come back on another within
// moments, further off than their own way in that time (crossings), and fingers that run past it are reported
// too far away from it, as only the electrodes on the living side see them (bends), as are those that end or
// begin at it (veers). Crossings alone, however many, do not make it a fault: a hand may lift over the same
// place again and again. Where contacts all come to an end within the same millimetre (barriers.hpp), hands
// hardly did it.
#pragma once

#include <cstdint>
#include <vector>

#include "analyzer/measure/regions.hpp"
#include "analyzer/measure/repeats.hpp"
#include "analyzer/measure/report_field.hpp"
#include "analyzer/measure/silence.hpp"
#include "analyzer/measure/void_evidence.hpp"

namespace paneproof {

struct Voids {
  Regions regions;                  // pixels of the field's raster
  std::vector<std::int32_t> empty;  // label per pixel that is near a void and not near a report; 0 elsewhere
  std::vector<Void> found;          // by label of the regions; [0] stands for "no void"
};

// counts: per contact, 0 for those that are no finger of the sweep. `judged`: per pixel of the field's
// raster.
Voids voids(const Trace& trace, const std::vector<std::uint8_t>& counts, const std::vector<Silence>& silences,
            const std::vector<Repeat>& repeats, const ReportField& field,
            const std::vector<std::uint8_t>& judged, double fingertip_mm);

// Silences whose way leads through a dead void are its fault.
void claim(const Voids& voids, const ReportField& field, const std::vector<Silence>& silences,
           std::vector<Repeat>& repeats);

}  // namespace paneproof
