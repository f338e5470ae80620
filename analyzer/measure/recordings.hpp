// What differs when a sweep comes from a recording of the screen (capture/video) and no log.
//
// The path in a recording is what the display showed of a dragged thing: its gaps are the recorder's or the
// tracking's, never the panel's, so the measures of silence, jitter and edges do not read it. What proves a
// fault is the thing being let go while the hand moved. What proves a place is its centre passing there, by
// the fingertip width less the path's uncertainty; the finger itself is somewhere on the thing, at one place
// of it within a grab, so a strip of half the thing along the panel's sides is not judged.
//
// Where the recording shows the touches themselves (dots, rings or cross lines that the system draws), a
// mark that vanishes is a contact that ended, so losses, their repeats and bursts are read from it as from a
// log. Voids and edges are not, and its gaps within a contact are the recorder's still.
#pragma once

#include <cstdint>
#include <vector>

#include "analyzer/measure/findings.hpp"
#include "analyzer/measure/silence.hpp"
#include "capture/model/trace.hpp"

namespace paneproof {

// Is there a recording among the sweeps?
bool has_recording(const Trace& trace);
// 1 for contacts of logs, 0 for those of recordings, and 0 where `counts` is.
std::vector<std::uint8_t> of_logs(const Trace& trace, const std::vector<std::uint8_t>& counts);
// The same, but 1 for touch marks as well where `counts` is.
std::vector<std::uint8_t> of_touches(const Trace& trace, const std::vector<std::uint8_t>& counts);
// Without the gaps of recorders, and what no picture shows to be gone.
std::vector<Silence> of_panel(const Trace& trace, std::vector<Silence> silences);
// Uncertainty of the path that coverage allows for, mm: two standard deviations, at their 95th percentile
// over the reports; 0 without a recording.
double uncertainty_mm(const Trace& trace);
// Drops as dropouts, doubtful ends and lost tracking as doubts, and what the recordings say of themselves.
// Of touch marks that vanished in motion only those are doubts whose loss `out` does not tell already and
// that did not run off the glass.
void tell_recordings(const Trace& trace, Findings& out);

}  // namespace paneproof
