#include "tests/truth/sensitivity.hpp"

namespace paneproof {
namespace {

// The limits as text with one value changed, so that no limit can be forgotten here.
Limits with(const Limits& limits, const std::string& name, double factor) {
  for (const LimitLine& line : limit_lines(limits))
    if (line.name == name) {
      char text[120];
      std::snprintf(text, sizeof text, "%s = %.6f %s\n", line.name.c_str(), line.value * factor,
                    line.unit.c_str());
      return parse_limits(text, "moved limits");
    }
  return limits;
}

}  // namespace

std::vector<MovedLimit> moved_limits(const Limits& limits) {
  std::vector<MovedLimit> moved;
  for (const LimitLine& line : limit_lines(limits))
    for (const double factor : {0.8, 1.2}) moved.push_back({line.name, factor, with(limits, line.name, factor)});
  return moved;
}

std::vector<char> changes(const RehearsedCase& c, const std::vector<MovedLimit>& moved) {
  std::vector<char> changed;
  for (const MovedLimit& m : moved) {
    const bool analysed_anew = m.name == "fingertip" || m.name == "cell" || m.name == "edge_deeper";
    const Verdict verdict = analysed_anew ? judged(c.trace, m.limits) : judge(c.findings, m.limits, {});
    changed.push_back(verdict.outcome != c.verdict.outcome);
  }
  return changed;
}

}  // namespace paneproof
