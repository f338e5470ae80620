// The work of `check`: files in, one checked panel out.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "analyzer/cli/load.hpp"
#include "analyzer/measure/analysis.hpp"
#include "analyzer/report/check_result.hpp"
#include "analyzer/verdict/limits.hpp"
#include "analyzer/verdict/verdict.hpp"
#include "capture/model/notes.hpp"
#include "capture/model/trace.hpp"

namespace paneproof {

// All options in their final form: nothing of it changes while files are read.
struct CheckPlan {
  LoadOptions load;
  Limits limits;
  std::vector<Condition> conditions;
  std::optional<Reference> reference;
  bool swept_all = false;
  std::string with;  // a log of the same sweep as the recording
};

// One checked panel with everything that its reports refer to.
struct Checked {
  Trace trace;
  Notes notes;
  Findings findings;
  Verdict verdict;
};

// A sweep of a known-good panel of the same model, read and scaled as the one to be checked. Refused when
// it is faulty itself.
Reference reference_of(const std::string& file, const CheckPlan& plan);

// Sweeps of one panel, judged together. Throws InputError where they are of two sizes, or one twice.
Checked check(const std::vector<std::string>& files, const CheckPlan& plan);

CheckResult result_of(const Checked& checked, const CheckPlan& plan);

}  // namespace paneproof
