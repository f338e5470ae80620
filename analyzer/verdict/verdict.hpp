// From findings and limits to one of three words, with reasons and the next bench step.
// pass: proven good. fail: fault found. resweep: not enough evidence. Doubt is resweep, never pass.
#pragma once

#include <string>
#include <vector>

#include "analyzer/measure/findings.hpp"

namespace paneproof {

struct Limits;

enum class Outcome : std::uint8_t { pass, fail, resweep };

enum class Condition : std::uint8_t { film, protector, glove, wet, cold, charging, open };

struct Reason {
  std::string id;                     // stable, snake_case: "dead_zone", "untested_area", "jitter_high"
  std::string text;                   // one sentence
  Outcome weight = Outcome::resweep;  // what this reason alone would make of the panel
};

struct Verdict {
  Outcome outcome = Outcome::resweep;
  std::vector<Reason> reasons;          // weightiest first; a pass has its reasons too
  std::vector<std::string> next_steps;  // the bench step, in order
  std::vector<std::string> cautions;    // when a step opens the device
  std::vector<std::string> not_tested;  // absolute position, force, display, masked area, ...
  std::string customer;                 // one sentence, ready to paste
};

Verdict judge(const Findings& findings, const Limits& limits, const std::vector<Condition>& conditions);

const char* word(Outcome outcome);  // "pass", "fail", "resweep"
const char* word(Condition condition);
const char* word(CellState state);  // "proven", ...
const char* word(ZoneKind kind);    // "line", "partial_line", "area", "edge_band", "bursts"

}  // namespace paneproof
