// One checked panel, as everything in this folder reads it: what was found, what was decided, and
// where it came from. Holds references; the caller keeps the parts alive. Nothing here computes
// anything about the panel.
#pragma once

#include <string>
#include <vector>

#include "analyzer/measure/findings.hpp"
#include "analyzer/verdict/limits.hpp"
#include "analyzer/verdict/verdict.hpp"
#include "capture/model/notes.hpp"
#include "capture/model/trace.hpp"

namespace paneproof {

struct CheckResult {
  const Findings& findings;
  const Verdict& verdict;
  const Trace& trace;
  const std::vector<Note>& notes;
  std::vector<LimitLine> limits;      // those that decided
  std::vector<Condition> conditions;  // as the operator stated them
  bool swept_all = false;             // the operator states that the finger went everywhere
  std::string version;                // of the program
};

}  // namespace paneproof
