// What differs when a sweep comes from a recording of the screen (capture/video) and no log.
//
// The path in a recording is what the display showed of a dragged thing: its gaps are the recorder's or the
// tracking's, never the panel's, so the measures of silence, jitter and edges do not read it. What proves a
// fault is the thing being let go while the hand moved. What proves a place is its centre passing there, by
// the fingertip width less the path's uncertainty; the finger itself is somewhere on the thing, at one place
// of it within a grab, so a strip of half the thing along the panel's sides is not judged.
#pragma once

#include <cstdint>
#include <vector>

#include "analyzer/measure/findings.hpp"
#include "capture/model/trace.hpp"

namespace paneproof {

// Is there a recording among the sweeps?
bool has_recording(const Trace& trace);
// 1 for contacts of logs, 0 for those of recordings, and 0 where `counts` is.
std::vector<std::uint8_t> of_logs(const Trace& trace, const std::vector<std::uint8_t>& counts);
// Uncertainty of the path that coverage allows for, mm: two standard deviations, at their 95th percentile
// over the reports; 0 without a recording.
double uncertainty_mm(const Trace& trace);
// Drops as dropouts, doubtful ends and lost tracking as doubts, and what the recordings say of themselves.
void tell_recordings(const Trace& trace, Findings& out);

}  // namespace paneproof
