#include "analyzer/evidence/judged.hpp"

#include <algorithm>
#include <cmath>

#include "analyzer/evidence/recorded_path.hpp"
#include "analyzer/measure/analysis.hpp"
#include "capture/bytes/source.hpp"
#include "capture/log/formats.hpp"
#include "capture/model/input_error.hpp"

namespace paneproof {
namespace {

bool same_sweep(const Trace& a, const Trace& b) {
  return std::equal(
      a.reports.begin(), a.reports.end(), b.reports.begin(), b.reports.end(),
      [](const Report& r, const Report& s) { return r.t_us == s.t_us && r.x == s.x && r.y == s.y; });
}

void refuse_unfit(const std::vector<Trace>& sweeps, const std::string& file) {
  const Trace& last = sweeps.back();
  for (std::size_t i = 0; i + 1 < sweeps.size(); ++i)
    if (same_sweep(sweeps[i], last))
      throw InputError(file, "", "expected sweeps that differ, but this one is the same as an earlier one",
                       "give each sweep once: a copy proves nothing twice");
  const Panel& first = sweeps.front().panel;
  if (std::abs(first.width_mm - last.panel.width_mm) > 0.01 ||
      std::abs(first.height_mm - last.panel.height_mm) > 0.01)
    throw InputError(file, "", "expected sweeps of one panel, but this one's size differs from the first's",
                     "give --panel WIDTHxHEIGHT");
}

}  // namespace

ReadPart read_part(const Part& part, const Question& question) {
  ReadPart made;
  if (is_recorded_path(part.bytes)) {
    Recording path = read_recorded_path(part.bytes, part.name, made.notes);
    made.trace = scale(std::move(path), question.panel, made.notes);
    return made;
  }
  ReadOptions read;
  read.device = question.device;
  read.axes = question.axes;
  const auto source =
      memory_source(part.name, part.bytes, {.largest_bytes = std::uint64_t{1} << 30, .hash = true});
  Recording recording = read_log(*source, read, made.notes);
  recording.source.file = part.name;
  recording.source.sha256 = sha256_of(*source);
  made.trace = scale(std::move(recording), question.panel, made.notes);
  return made;
}

Answer answer(const std::vector<Part>& traces, const Question& question) {
  std::vector<ReadPart> read;
  for (const Part& part : traces) read.push_back(read_part(part, question));
  return answer(std::move(read), question);
}

Answer answer(std::vector<ReadPart> traces, const Question& question) {
  Answer made;
  made.limits = parse_limits(question.limits_text, "limits.txt");
  std::vector<Trace> sweeps;
  for (ReadPart& part : traces) {
    const std::string file = part.trace.sweeps.front().file;
    made.notes.append(part.notes);
    sweeps.push_back(std::move(part.trace));
    refuse_unfit(sweeps, file);
  }
  if (sweeps.empty()) throw InputError("", "", "expected at least one trace", "");
  made.trace = merge(std::move(sweeps));
  const Limits& limits = made.limits;
  made.findings = analyse(made.trace, {limits.fingertip_mm, limits.cell_mm, limits.edge_deeper_mm,
                                       question.reference, question.swept_all});
  made.verdict = judge(made.findings, limits, question.conditions);
  return made;
}

CheckResult result_of(const Answer& made, const Question& question) {
  return {
      made.findings,       made.verdict,       made.trace,       made.notes.all(), limit_lines(made.limits),
      question.conditions, question.swept_all, program_version()};
}

const char* program_version() { return PANEPROOF_VERSION; }

}  // namespace paneproof
