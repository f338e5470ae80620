// How often a finger went over a place and was reported there.
#pragma once

#include <vector>

#include "analyzer/measure/report_field.hpp"
#include "analyzer/measure/silence.hpp"

namespace paneproof {

// Passages other than the silence's own that were reported over the middle of its gap; those of the 512
// reports found first, as a place with so many was reported many times over.
int passages_reported(const Trace& trace, const ReportField& field, const Silence& s);

// Were the places along the gap reported by other passages, within 3/8 of a fingertip?
bool passed_again(const Trace& trace, const ReportField& field, const Silence& s, double fingertip_mm);

// By whole mm of x (column) or y, 0 to bins: how often a contact crossed it with reports at most 4 mm apart.
std::vector<int> reported_crossings(const Trace& trace, bool column, int bins);

}  // namespace paneproof
