// Writes touches as CSV, Pointer Events (JSON Lines) or InkML, piece by piece to a sink.
//
// A Trace is written in mm, exactly: times are whole us and positions whole um, and both are printed
// with all their decimals. A Recording (no panel size known) is written in the log's units, each number
// as the shortest text that reads back as the same double, or in mm when the log is. Contacts are numbered
// from 1 in their order.
//
// What a format cannot tell is not invented: CSV and Pointer Events know no `broken` ending (written as
// cancel), none of them holes, the panel's rim and mask, or contacts of a merged second sweep. Lift times
// are not part of a Trace, so an end is written with the last report's time and place.
#pragma once

#include <functional>
#include <string_view>

#include "capture/model/trace.hpp"

namespace paneproof {

using Sink = std::function<void(std::string_view)>;

// t_s,contact,x_mm,y_mm,phase (x,y for a Recording); a column `tool` only when not all are fingers.
// Rows in order of time, those of equal time by contact.
void write_csv(const Trace& trace, const Sink& sink);
void write_csv(const Recording& recording, const Sink& sink);

// One event a line in order of time. For a Trace the screen is the panel: 1 CSS px stands for 1 mm. For a
// Recording there is a screen only when both axes start at 0 and share one unit, as CSS px do.
void write_jsonl(const Trace& trace, const Sink& sink);
void write_jsonl(const Recording& recording, const Sink& sink);

// One trace a contact; channels X, Y (units mm for a Trace) with their range as far as known, and T in ms.
void write_inkml(const Trace& trace, const Sink& sink);
void write_inkml(const Recording& recording, const Sink& sink);

}  // namespace paneproof
