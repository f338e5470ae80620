#include "tests/truth/sensitivity.hpp"

#include <algorithm>

namespace paneproof {
namespace {

// A share stops at 1.
double moved_value(const LimitLine& line, double factor) {
  const double value = line.value * factor;
  return line.unit == "share" ? std::min(1.0, value) : value;
}

// The limits as text with one value changed, so that a limit added there is moved here too.
Limits with(const Limits& limits, const std::string& name, double factor) {
  for (const LimitLine& line : limit_lines(limits))
    if (line.name == name) {
      char text[120];
      std::snprintf(text, sizeof text, "%s = %.6f %s\n", line.name.c_str(), moved_value(line, factor),
                    line.unit.c_str());
      return parse_limits(text, "moved limits");
    }
  return limits;
}

// Does a limit reach into the analysis, or only into the judgement?
bool analysed_alike(const Limits& a, const Limits& b) {
  const AnalysisOptions x = options_of(a), y = options_of(b);
  return x.fingertip_mm == y.fingertip_mm && x.cell_mm == y.cell_mm && x.edge_deeper_mm == y.edge_deeper_mm;
}

}  // namespace

std::vector<MovedLimit> moved_limits(const Limits& limits) {
  std::vector<MovedLimit> moved;
  for (const LimitLine& line : limit_lines(limits))
    for (const double factor : {0.8, 1.2})
      moved.push_back({line.name, factor, with(limits, line.name, factor)});
  return moved;
}

std::vector<char> changes(const RehearsedCase& c, const std::vector<MovedLimit>& moved) {
  std::vector<char> changed;
  for (const MovedLimit& m : moved) {
    const bool alike = analysed_alike(m.limits, default_limits());
    const Verdict verdict = alike ? judge(c.findings, m.limits, {}) : judged(c.trace, m.limits);
    changed.push_back(verdict.outcome != c.verdict.outcome);
  }
  return changed;
}

}  // namespace paneproof
