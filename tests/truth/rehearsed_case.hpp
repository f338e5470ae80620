// One case of the benchmark: a rehearsal, read as a log would be, analysed and judged.
#pragma once

#include <string>

#include "analyzer/measure/analysis.hpp"
#include "analyzer/verdict/limits.hpp"
#include "analyzer/verdict/verdict.hpp"
#include "capture/rehearse/rehearsal.hpp"

namespace paneproof {

struct RehearsedCase {
  Rehearsed rehearsed;
  std::string format;  // that the trace went through; "" for none
  Trace trace;         // mm
  Findings findings;
  Verdict verdict;
};

// The recording in mm, as it is.
Trace trace_of(const Rehearsed& rehearsed);
// The same through a log: written in the format, read back by the reader that knows it. Axes that the
// format does not tell come from the recording, as from a companion file.
Trace trace_through(const Rehearsed& rehearsed, const std::string& format);

AnalysisOptions options_of(const Limits& limits);
Verdict judged(const Trace& trace, const Limits& limits);

// `through`: share of cases, drawn by the seed, that go through a format, drawn too.
RehearsedCase run_case(const RehearsalSpec& spec, double through, const Limits& limits);

}  // namespace paneproof
