// InkML (W3C Recommendation, 20 September 2011), as a stream: channels X, Y and T, in any order among
// others, one trace a contact.
//
// traceFormat (3.1.1) lists the channels; it may stand in inkSource, context or definitions, and a trace
// picks one by contextRef, else the latest counts. X grows to the right and Y downward (3.1.3); for
// orientation "-ve" the axis is turned over, which needs its min and max. T needs units ms or s: "if no
// units are specified, no assumption can be made" (3.1.7). T with respectTo counts on that timestamp's
// clock. Without it T counts from the start of its trace (3.1.7): the trace's timeOffset (ms) tells when
// that was; when no trace has one, T is taken as one running clock if the traces start one after another
// (a note says so), else the log is refused, for nothing relates the traces' times.
//
// Values (3.2.1): plain or explicit `!`, `*` repeats. The difference forms ' and " and the unknown `?`
// are refused on X, Y and T. A trace of type penUp, or points whose tip switch S is off, touch nothing.
// Units of length (mm, cm, m, in, pt, pc) on X and Y give units/mm, or positions in mm where the format
// has no range; a channelProperty "resolution" counts too. A DOCTYPE with its own declarations is
// refused, so no entity can grow.
//
// Two annotations of our own that converted files carry, on a traceGroup around the trace: type
// "pointerType" = touch, pen or palm, and type "ending" = cancelled, broken or open.
#pragma once

#include "capture/log/reader.hpp"

namespace paneproof {

const Format& inkml_format();

}  // namespace paneproof
