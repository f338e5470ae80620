#include "tests/truth/rehearsed_case.hpp"

#include "capture/log/formats.hpp"

namespace paneproof {
namespace {

Trace in_mm(Recording&& recording, const RehearsalSpec& spec) {
  PanelRequest request;
  request.width_mm = spec.width_mm;
  request.height_mm = spec.height_mm;
  request.size_origin = "rehearsal";
  Notes notes;
  return merge({scale(std::move(recording), request, notes)});
}

}  // namespace

Trace trace_of(const Rehearsed& rehearsed) { return in_mm(Recording(rehearsed.recording), rehearsed.spec); }

Trace trace_through(const Rehearsed& rehearsed, const std::string& format) {
  const std::string text = write_rehearsal(rehearsed, format);
  const auto source = memory_source(format, text);
  ReadOptions options;
  options.axes = rehearsed.recording.axes;
  Notes notes;
  return in_mm(read_log(*source, options, notes), rehearsed.spec);
}

AnalysisOptions options_of(const Limits& limits) {
  AnalysisOptions options;
  options.fingertip_mm = limits.fingertip_mm;
  options.cell_mm = limits.cell_mm;
  options.edge_deeper_mm = limits.edge_deeper_mm;
  return options;
}

Verdict judged(const Trace& trace, const Limits& limits) {
  return judge(analyse(trace, options_of(limits)), limits, {});
}

RehearsedCase run_case(const RehearsalSpec& spec, double through, const Limits& limits) {
  RehearsedCase c;
  c.rehearsed = rehearse(spec);
  Random draw(spec.seed, 777);
  if (draw.chance(through)) {
    const std::vector<std::string> formats = rehearsal_formats();
    c.format = formats[static_cast<std::size_t>(draw.below(static_cast<int>(formats.size())))];
  }
  c.trace = c.format.empty() ? trace_of(c.rehearsed) : trace_through(c.rehearsed, c.format);
  c.findings = analyse(c.trace, options_of(limits));
  c.verdict = judge(c.findings, limits, {});
  return c;
}

}  // namespace paneproof
