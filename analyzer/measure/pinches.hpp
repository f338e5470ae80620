// Pinches: places that strokes on both sides of them swerve away from.
//
// Around a dead place narrower than the rows lie apart no contact is lost: the finger's other half is seen
// beside it, and the rows bow around it, away from each other, as only living electrodes tell of the finger.
// A hand that bows twice about one spot, outward on either side, was seen in one of 300 sound sweeps
// (docs/accuracy.md), so a pinch asks to drag there again and is no fault by itself.
#pragma once

#include <cstdint>
#include <vector>

#include "analyzer/measure/findings.hpp"
#include "analyzer/measure/report_field.hpp"
#include "capture/model/trace.hpp"

namespace paneproof {

struct Pinch {
  Point from, to;  // where the two strokes bow the most
  double t_s = 0;  // of the later one
  std::uint32_t sweep = 0;
};

// One a place (10 mm), the deepest; by time. counts: per contact, 0 for those that are no finger of the
// sweep.
std::vector<Pinch> pinches(const Trace& trace, const std::vector<std::uint8_t>& counts,
                           const ReportField& field);

}  // namespace paneproof
