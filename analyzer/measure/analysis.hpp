// Runs all measures over a trace and gives one result.
#pragma once

#include <optional>

#include "analyzer/measure/findings.hpp"
#include "capture/model/trace.hpp"

namespace paneproof {

struct AnalysisOptions {
  double fingertip_mm = 8.0;           // d
  double cell_mm = 5.0;                // grid
  double edge_deeper_mm = 2.0;         // an edge counts as insensitive this much deeper than the opposite one
  std::optional<Reference> reference;  // a known-good panel of the same model
  bool swept_all = false;              // the operator states that the finger went everywhere
};

// Pure: the same trace and options give the same findings on any machine. Linear in the reports but for
// the search of the largest circle. A trace without contacts gives findings of an unswept panel.
Findings analyse(const Trace& trace, const AnalysisOptions& options);

}  // namespace paneproof
