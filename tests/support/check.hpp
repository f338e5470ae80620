// A trace checked as the command does it: the built-in limits, the analysis, the verdict.
#pragma once

#include <algorithm>
#include <string>
#include <vector>

#include "analyzer/measure/analysis.hpp"
#include "analyzer/verdict/limits.hpp"
#include "analyzer/verdict/verdict.hpp"

namespace paneproof {

struct Checked {
  Findings findings;
  Verdict verdict;

  bool has(const std::string& id) const {
    return std::any_of(verdict.reasons.begin(), verdict.reasons.end(),
                       [&](const Reason& r) { return r.id == id; });
  }
  std::string reasons() const {
    std::string all = word(verdict.outcome);
    for (const Reason& reason : verdict.reasons) all += "\n  " + reason.id + ": " + reason.text;
    return all;
  }
};

inline AnalysisOptions options_of(const Limits& limits, bool swept_all = false) {
  AnalysisOptions options;
  options.fingertip_mm = limits.fingertip_mm;
  options.cell_mm = limits.cell_mm;
  options.edge_deeper_mm = limits.edge_deeper_mm;
  options.swept_all = swept_all;
  return options;
}

inline Checked check(const Trace& trace, bool swept_all = false,
                     const std::vector<Condition>& conditions = {}) {
  const Limits limits = default_limits();
  Checked checked;
  checked.findings = analyse(trace, options_of(limits, swept_all));
  checked.verdict = judge(checked.findings, limits, conditions);
  return checked;
}

}  // namespace paneproof
