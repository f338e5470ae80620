// The result as a technician reads it in a terminal.
#pragma once

#include <string>

#include "analyzer/report/check_result.hpp"

namespace paneproof {

// Lines of at most 80 characters that end in a line break: the verdict and its reasons, a small cell
// map with the key figures, dead zones, next steps with cautions, what was not tested, notes, and the
// sentence for the customer. Escape codes only when `colour`; without them nothing is lost. Foreign
// text is made safe.
std::string terminal_summary(const CheckResult& result, bool colour);

}  // namespace paneproof
