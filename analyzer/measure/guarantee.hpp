// The largest untested circle: the widest disc about a judged point that no report entered.
//
// Let R(c) be the distance from c to the nearest report. Every disc about c wider than 2 R(c) holds a
// report; the largest 2 R(c) over the judged area is what this sweep leaves untested. It does not hang
// on any estimate of speed or joined line. The search halves rectangles and keeps those whose upper
// bound R(centre) + half diagonal may still win (R is 1-Lipschitz), so the answer is exact to the
// stated tolerance. Same question as GEOS's LargestEmptyCircle, with the centre bounded by the judged
// area instead of a convex hull.
#pragma once

#include <vector>

#include "analyzer/measure/findings.hpp"
#include "analyzer/measure/report_field.hpp"

namespace paneproof {

inline constexpr double circle_tolerance_mm = 0.002;

// diameter_mm is an upper bound: at most 2 x tolerance above the true value, then rounded up to 0.01 mm.
// Without any report it is twice the panel's diagonal, about the panel's centre. Without any judged
// point it is 0.
Circle largest_untested_circle(const ReportField& field, const Panel& panel,
                               const std::vector<std::uint8_t>& judged);

}  // namespace paneproof
