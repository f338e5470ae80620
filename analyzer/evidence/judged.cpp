#include "analyzer/evidence/judged.hpp"

#include "analyzer/evidence/recorded_path.hpp"
#include "analyzer/measure/analysis.hpp"
#include "analyzer/verdict/one_panel.hpp"
#include "capture/bytes/source.hpp"
#include "capture/log/formats.hpp"
#include "capture/model/input_error.hpp"
#include "capture/model/panel_shape.hpp"

namespace paneproof {

ReadPart read_part(const Part& part, const Question& question) {
  ReadPart made;
  if (is_recorded_path(part.bytes)) {
    Recording path = read_recorded_path(part.bytes, part.name, made.notes);
    note_doubtful_size(path.axes, question.panel, made.notes);
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
  note_doubtful_size(recording.axes, question.panel, made.notes);
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
    made.notes.append(part.notes);
    add_sweep(sweeps, std::move(part.trace), made.notes);
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
