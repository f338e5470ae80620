// JSON Lines of W3C Pointer Events (Level 3): one event a line, with the standard's own field names.
//
//   {"screen":{"width":412,"height":892,"left":0,"top":24}}                       optional first line
//   {"type":"pointerdown","pointerId":2,"pointerType":"touch","timeStamp":812.4,"clientX":31,"clientY":7}
//   {"type":"pointermove",...,"coalesced":[{"timeStamp":820.7,"clientX":33.2,"clientY":9.1},...]}
//
// x = clientX + left, y = clientY + top in CSS px; the axes run from 0 to the screen's width and height,
// and one px is as long across as down. Coalesced points stand in place of their parent unless the list
// is empty, and take its pointer. Moves or raw updates prove, never both: a contact's raw updates count
// only when it has no pointermove. A pointer that hovers (buttons 0, or pressure 0 when buttons is not
// given), predicted events and the mouse prove nothing. A cancelled contact ends as cancelled; its
// pointercancel has no place of its own. Unknown keys are ignored.
//
// Two keys of our own that converted files carry: "all_reports":true on the first line (the moves hold
// every report of the panel, not one a displayed frame), and "tool":"palm" on an event.
// Keys that the live page writes: "px_per_mm" (from a card held against the glass) and "unreachable_left",
// "_top", "_right", "_bottom" (strips in px where no page can feel a finger) in the screen, which may come
// again with the same size when the page moves on it; and lines of type "interruption" with a "kind".
#pragma once

#include "capture/log/reader.hpp"

namespace paneproof {

const Format& pointer_jsonl_format();

}  // namespace paneproof
