// Report rate: how often the panel reports a moving contact.
//
// Intervals are taken between successive reports of one contact. The rate is one over the mean of the
// intervals of the main cluster (within 35 % of the mode): frames that the host dropped double or
// triple an interval and must not slow the rate, and a finger at rest sends nothing. Definition ours.
#pragma once

#include <cstdint>
#include <vector>

#include "analyzer/measure/findings.hpp"
#include "capture/model/trace.hpp"

namespace paneproof {

// All of the trace. rate_hz is 0 with fewer than 8 intervals.
ReportRate report_rate(const Trace& trace);

// The usual interval of each contact, in s: its own median where it has 12 intervals or more, else the
// trace's (controllers change their rate; a contact rarely does). 0 when the trace has none.
std::vector<double> usual_intervals_s(const Trace& trace, const ReportRate& rate);

}  // namespace paneproof
