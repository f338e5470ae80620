// The question that a piece of evidence answers, and its answer, made anew from the embedded bytes alone:
// when evidence is made and when it is checked the same function runs.
#pragma once

#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <vector>

#include "analyzer/report/check_result.hpp"
#include "capture/model/panel.hpp"

namespace paneproof {

// An embedded file.
struct Part {
  std::string name;
  std::string bytes;
};

// Every option that decides a result, none of it a file name to open.
struct Question {
  PanelRequest panel;
  std::optional<Axes> axes;  // where the log has none
  std::string device;        // --device
  std::string limits_text;   // of the file `limits.txt`, whole
  std::vector<Condition> conditions;
  std::optional<Reference> reference;
  bool swept_all = false;
};

// One part as it was read, in mm.
struct ReadPart {
  Trace trace;
  Notes notes;
};
// A log, or the path of a recording. Throws InputError (65).
ReadPart read_part(const Part& part, const Question& question);

struct Answer {
  Limits limits;
  Trace trace;
  Notes notes;
  Findings findings;
  Verdict verdict;
};

// Reads, scales, merges, analyses and judges. Throws InputError (65) where the traces cannot be used: none,
// two equal ones, sizes that differ.
Answer answer(const std::vector<Part>& traces, const Question& question);
// The same of parts that were read already.
Answer answer(std::vector<ReadPart> traces, const Question& question);

// The answer as the reports read it. Holds references into both.
CheckResult result_of(const Answer& answer, const Question& question);

// The version of this program, and what its judgement hangs on: a digest of the sources that read, measure,
// judge and draw. Two builds with one digest judge alike.
const char* program_version();
const char* judge_digest();

// The question as members of a statement (without the limits, which are a file of their own) and back.
// Throws InputError (65) for anything that question_json does not write.
nlohmann::json question_json(const Question& question);
Question question_of(const nlohmann::json& json);

}  // namespace paneproof
