#include "analyzer/evidence/judged.hpp"

#include <algorithm>
#include <cmath>

#include "analyzer/measure/analysis.hpp"
#include "capture/bytes/source.hpp"
#include "capture/log/formats.hpp"
#include "capture/model/input_error.hpp"

namespace paneproof {
namespace {

Trace read_part(const Part& part, const Question& question, Notes& notes) {
  ReadOptions read;
  read.device = question.device;
  read.axes = question.axes;
  const auto source = memory_source(part.name, part.bytes, {.largest_bytes = std::uint64_t{1} << 30, .hash = true});
  Recording recording = read_log(*source, read, notes);
  recording.source.file = part.name;
  recording.source.sha256 = sha256_of(*source);
  return scale(std::move(recording), question.panel, notes);
}

bool same_sweep(const Trace& a, const Trace& b) {
  return std::equal(a.reports.begin(), a.reports.end(), b.reports.begin(), b.reports.end(),
                    [](const Report& r, const Report& s) { return r.t_us == s.t_us && r.x == s.x && r.y == s.y; });
}

void refuse_unfit(const std::vector<Trace>& sweeps, const std::string& file) {
  const Trace& last = sweeps.back();
  for (std::size_t i = 0; i + 1 < sweeps.size(); ++i)
    if (same_sweep(sweeps[i], last)) throw InputError(file, "", "sweeps that differ, but this one is the same as an earlier one", "give each sweep once: a copy proves nothing twice");
  const Panel& first = sweeps.front().panel;
  if (std::abs(first.width_mm - last.panel.width_mm) > 0.01 || std::abs(first.height_mm - last.panel.height_mm) > 0.01)
    throw InputError(file, "", "expected sweeps of one panel, but this one's size differs from the first's", "give --panel WIDTHxHEIGHT");
}

}  // namespace

Answer answer(const std::vector<Part>& traces, const Question& question) {
  Answer made;
  made.limits = parse_limits(question.limits_text, "limits.txt");
  std::vector<Trace> sweeps;
  for (const Part& part : traces) {
    sweeps.push_back(read_part(part, question, made.notes));
    refuse_unfit(sweeps, part.name);
  }
  if (sweeps.empty()) throw InputError("", "", "expected at least one trace", "");
  made.trace = merge(std::move(sweeps));
  const Limits& limits = made.limits;
  made.findings = analyse(made.trace, {limits.fingertip_mm, limits.cell_mm, limits.edge_deeper_mm, question.reference, question.swept_all});
  made.verdict = judge(made.findings, limits, question.conditions);
  return made;
}

CheckResult result_of(const Answer& made, const Question& question) {
  return {made.findings, made.verdict, made.trace, made.notes.all(), limit_lines(made.limits), question.conditions, question.swept_all, program_version()};
}

const char* program_version() { return PANEPROOF_VERSION; }

}  // namespace paneproof
