// Ghost touches: contacts that nobody made.
//
// A brief touch stays where it appears (at most 0.15 s within 3 mm, or 0.5 s within 1 mm). Brief touches that
// follow one another within 0.3 s and 12 mm are one spell. A spell that moves on, or that stands beside a
// stroke or where one ends or begins, is a piece of a finger's stroke. Of the others these are ghosts:
//   far      a finger is on the glass further than 20 mm off, and no other is missing
//   hasty    no hand could have come and gone that fast from the strokes before and after it
//   on line  it flickers for at most 0.1 s on the column or the row of a finger, further than 12 mm off:
//            noise of a supply enters at the finger and runs along its sense line
//   again    two ghosts were told at that place at other times, and no finger is within 8 mm
// Within 3 mm of the border only "again" counts: a finger that runs beside the glass flickers there.
// A brief touch that vanishes together with all fingers, or after which they are taken away in full motion
// within 0.25 s, is a palm that the firmware noticed, and no ghost. Definitions ours; common practice, no
// source.
#pragma once

#include <cstdint>
#include <vector>

#include "analyzer/measure/contact_spans.hpp"
#include "analyzer/measure/findings.hpp"
#include "capture/model/trace.hpp"

namespace paneproof {

enum class Touch : std::uint8_t { finger, ghost, palm };

// What each contact is; those not of the tool `counted`, or taken away by the system, are fingers here.
std::vector<Touch> told_apart(const Trace& trace, const ContactSpans& spans, Tool counted);

}  // namespace paneproof
