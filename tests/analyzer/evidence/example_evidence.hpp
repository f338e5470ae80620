// A small evidence file in memory, and an insider's tools to forge it: everything but the panel's truth.
#pragma once

#include <functional>

#include "analyzer/evidence/evidence.hpp"

namespace paneproof {

// A coarse sweep of an invented panel, as CSV.
std::string example_log(int shift_um = 0);

struct Example {
  SigningKey key;
  Question question;
  std::vector<Part> traces;
  Evidence evidence;
  std::string bytes;  // signed
};
// 0: one sweep; 1: letter paper, another condition, names in other scripts; 2: two sweeps.
Example example_evidence(int which = 0);

// The file with the slot blanked, changed, and signed anew with the good key over its new digest.
std::string resigned(std::string bytes, const Example& example,
                     const std::function<void(Statement&)>& change = {});
// The same over changed objects, written in the right layout.
std::string rewritten(const Example& example,
                      const std::function<void(std::map<std::size_t, PdfObject>&)>& change);

}  // namespace paneproof
