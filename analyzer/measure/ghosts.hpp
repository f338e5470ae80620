// Ghost touches: contacts that nobody made.
//
// Brief touches (brief_touches.hpp) that follow one another within 0.3 s and 12 mm are one spell. A spell
// that moves on, or stands beside a stroke or where one ends or begins, is a piece of a finger's stroke. Of
// the others these are ghosts:
//   far      a finger is on the glass further than 20 mm off, and no other is missing
//   hasty    no hand comes from the stroke before and goes to the stroke after that fast, or makes one of
//            these ways where it is longer than 20 mm
//   on line  it flickers for at most 0.1 s on the column or the row of a finger, further than 12 mm off:
//            noise of a supply enters at the finger and runs along its sense line
//   alike    ghosts of two spells were told so far: this panel makes them, and a sweeping hand does not tap.
//            Then a touch that keeps still for up to 1.5 s while a finger is far is one as well, and so is
//            what is 8 mm or more from the strokes
//   flood    20 ghosts were told so far: noise makes them by the dozen. One more, piece of a stroke or
//            not, is what lasts up to 0.15 s while a finger that stays is down further than 12 mm off, and
//            what lasts up to 0.05 s further than 8 mm from all strokes of that time
//   again    two ghosts were told at that place at other times, and no finger is within 8 mm
// Within 3 mm of the border only "again" counts, "alike" where it is far or hasty too, and "flood" up to 0.05
// s while one is down: a finger that runs beside the glass flickers there. A brief touch that vanishes
// together with all fingers, within 0.02 s, or after which they are taken away in full motion within 0.18 s,
// is a palm that the firmware noticed, and no ghost, unless three times as many spells are told to be ghosts:
// then it is chance that fingers lift as one more comes. Definitions ours; common practice, no source.
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
